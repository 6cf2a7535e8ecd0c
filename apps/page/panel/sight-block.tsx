/** What the tool sees of its target from the planned pose, in numbers. */
import { sayAngle, sayLength } from "../say.ts";
import { lengthUnit, plan, target, visit } from "../state/store.ts";

export function SightBlock() {
  const sight = (visit.value ?? plan.value)?.sight;
  const unit = lengthUnit.value;
  if (sight === undefined) return null;
  const { look } = sight;
  const fine = (metres: number): string => sayLength(metres, unit, unit === "mm" ? 3 : 5);
  const lines: [string, string][] = [
    ["From the tool to the place", sayLength(sight.distance, unit)],
    [
      look === undefined ? "Tool to the normal" : "Line of sight to the normal",
      Number.isNaN(sight.tilt) ? "no surface near" : sayAngle(sight.tilt),
    ],
  ];
  if (look !== undefined) {
    lines.push(["Place off the axis", sayAngle(sight.offAxis)]);
    lines.push(["Camera may shift, line free", look.cutBy === undefined ? sayLength(look.room, unit) : "cut"]);
    if (look.pixel !== undefined) lines.push(["A pixel, square on", fine(look.pixel)]);
    if (look.footprint !== undefined) lines.push(["A pixel, along the tilt", fine(look.footprint)]);
    if (look.worstFootprint !== undefined) lines.push([`The same, off by ${sayLength(look.shift, unit)}`, fine(look.worstFootprint)]);
  }
  return (
    <section aria-label="At the target">
      <header class="panel-head">
        <h2>{look === undefined ? "At the target" : "What the camera sees"}</h2>
        <span class="quiet">{target.value?.name}</span>
      </header>
      <dl class="sight" data-test="sight">
        {lines.map(([what, says]) => (
          <div key={what}>
            <dt>{what}</dt>
            <dd>{says}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}
