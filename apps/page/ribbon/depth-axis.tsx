/** The scale under the lanes: depth of feed from the port. */
import { niceStep } from "../nice-step.ts";
import type { LengthUnit } from "../say.ts";

interface Props {
  readonly span: readonly [number, number];
  readonly unit: LengthUnit;
  /** px */
  readonly left: number;
  readonly width: number;
}

export function DepthAxis({ span, unit, left, width }: Props) {
  const step = niceStep(span[1] / Math.max(2, Math.floor(width / 90)));
  const ticks = Array.from({ length: Math.floor(span[1] / step + 1e-9) + 1 }, (_, k) => k * step);
  const places = step < 1 ? 1 : 0;
  return (
    <div class="lane axis">
      <div class="lane-title quiet">Depth of feed</div>
      <div class="axis-ticks" aria-hidden="true">
        {ticks.map((tick) => {
          const at = left + (width * tick) / span[1];
          return (
            <span key={tick} class="tick" style={{ left: `${at}px` }}>
              {tick === 0 ? "port" : `${tick.toFixed(places)} ${unit}`}
            </span>
          );
        })}
      </div>
      <div class="lane-reading quiet axis-note">in · out</div>
    </div>
  );
}
