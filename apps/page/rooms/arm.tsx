/** The Arm room: the arm drawn to scale, its numbers, and what they let it do. */
import { ArmDrawing } from "../arm/arm-drawing.tsx";
import { ArmMaps } from "../arm/arm-maps.tsx";
import { ArmPanel } from "../panel/arm-panel.tsx";
import { KeptBar, LostBar } from "../panel/plan-bar.tsx";

export function ArmRoom() {
  return (
    <main class="whole-room">
      <LostBar />
      <KeptBar />
      <div class="arm-room">
        <ArmDrawing />
        <ArmMaps />
        <aside class="panel" aria-label="Numbers of the arm">
          <ArmPanel />
        </aside>
      </div>
    </main>
  );
}
