/** The tip camera's picture with its mask, the mark of the target and the statement of its scale. */
import { useEffect, useRef, useState } from "preact/hooks";
import { sayAngle, sayLength } from "../say.ts";
import { lengthUnit, picture, plan, record, target } from "../state/store.ts";
import { view } from "./main-view.tsx";

/** pixels of the picture drawn here; the real camera's own number is said in words */
const drawn = 400;

export function TipView() {
  const job = picture.value;
  const camera = job?.arm.camera;
  const canvas = useRef<HTMLCanvasElement>(null);
  const [mask, setMask] = useState<"round" | "square">("round");
  const [aim, setAim] = useState<{ x: number; y: number } | undefined>(undefined);
  const shown = view.value;
  useEffect(() => {
    if (shown === undefined || canvas.current === null) return;
    shown.setTip(canvas.current, (place) => setAim(place));
    return () => shown.setTip(undefined, () => undefined);
  }, [shown, camera === undefined]);
  if (job === undefined) return null;
  const here = record.value;
  const unit = lengthUnit.value;
  const place = target.value?.place;
  const distance =
    here === undefined || place === undefined
      ? undefined
      : Math.hypot(...[0, 1, 2].map((k) => (here.tool[k] as number) - (place[k] as number)));
  const inside = aim !== undefined && (mask === "round" ? Math.hypot(aim.x, aim.y) < 1 : Math.max(Math.abs(aim.x), Math.abs(aim.y)) < 1);
  return (
    <section class="card tip" aria-label="Tip camera">
      <header class="card-head">
        <h2>Tip camera</h2>
        {camera === undefined ? null : (
          <fieldset class="segmented small" aria-label="Shape of the picture">
            <button type="button" aria-pressed={mask === "round"} onClick={() => setMask("round")}>
              Round
            </button>
            <button type="button" aria-pressed={mask === "square"} onClick={() => setMask("square")}>
              Square
            </button>
          </fieldset>
        )}
      </header>
      {camera === undefined ? (
        <p class="quiet tip-none">
          The tool “{job.arm.tool.name}” carries no camera. Give it one in the arm file (tool, camera) to see what it would see.
        </p>
      ) : (
        <>
          <div class="tip-room">
            <div class={`tip-picture ${mask}${here === undefined ? " blank" : ""}`}>
              <canvas
                ref={canvas}
                width={drawn}
                height={drawn}
                role="img"
                aria-label={`What the tip camera would see at this depth, simulated`}
              />
              {inside ? <i class="tip-aim" style={{ left: `${50 + 50 * aim.x}%`, top: `${50 - 50 * aim.y}%` }} /> : null}
            </div>
          </div>
          <p class="readout" data-test="tip-scale">
            {distance === undefined
              ? plan.value === undefined
                ? "No depth solved yet."
                : "No depth could be solved, so there is nothing to see."
              : `Target ${sayLength(distance, unit, distance > 0.1 ? 0 : 1)} away, ${inside ? "in view if nothing hides it" : "out of view"}. There ${sayLength((2 * distance * Math.tan(camera.fieldOfView / 2)) / camera.pixels, unit, 3)} a pixel; field ${sayAngle(camera.fieldOfView, 0)}. Simulated.`}
          </p>
        </>
      )}
    </section>
  );
}
