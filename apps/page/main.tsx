/** Starts the page. */
import { render } from "preact";
import { TopBar } from "./panel/top-bar.tsx";
import { Waiting } from "./panel/waiting.tsx";
import { ArmRoom } from "./rooms/arm.tsx";
import { WayIn } from "./rooms/way-in.tsx";
import { openPage, redo, undo } from "./state/actions.ts";
import { followAddress, readAddress } from "./state/address.ts";
import { followArm } from "./state/draw-maps.ts";
import { startLook } from "./state/look.ts";
import { room, standing } from "./state/store.ts";

function Page() {
  return (
    <>
      <TopBar />
      {standing.value.kind !== "ready" ? <Waiting /> : room.value === "arm" ? <ArmRoom /> : <WayIn />}
    </>
  );
}

startLook();
readAddress();
followAddress();
followArm();
document.addEventListener("keydown", (event) => {
  const typing = event.target instanceof HTMLInputElement;
  if (typing || !(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
  event.preventDefault();
  void (event.shiftKey ? redo() : undo());
});
render(<Page />, document.getElementById("page") as HTMLElement);
void openPage();
