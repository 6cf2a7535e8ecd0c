/** The straight arm from base to tip, to scale: every vertebra, the sections by name, the tool. A section can be picked. */
import type { ArmPicture } from "../../worker/index.ts";
import { sayLength } from "../say.ts";
import { armSection, pointedLimit, question } from "../state/arm-room.ts";
import { lengthUnit } from "../state/store.ts";
import { discPath } from "./disc-path.ts";
import { useSize } from "./use-size.ts";

/** px */
const side = 10;
const nameRow = 18;
const lengthRow = 18;
const tallest = 36;

export function WholeArm({ arm }: { readonly arm: ArmPicture }) {
  const { host, width } = useSize<HTMLDivElement>();
  const unit = lengthUnit.value;
  const widest = Math.max(arm.tool.diameter, ...arm.sections.map((section) => section.outerDiameter));
  const first = arm.below[0] as number;
  const scale = Math.min((width - 2 * side) / (arm.length + first), tallest / widest);
  const x = (along: number) => side + (along + first) * scale;
  const middle = nameRow + 0.5 * widest * scale;
  const foot = nameRow + widest * scale;
  const last = arm.along[arm.spans] as number;
  const step = (by: number) => {
    armSection.value = Math.min(arm.sections.length - 1, Math.max(0, armSection.value + by));
  };
  const picked = Math.min(armSection.value, arm.sections.length - 1);
  return (
    <div class="whole-arm" ref={host}>
      {width < 60 ? null : (
        // biome-ignore lint/a11y/useSemanticElements: there is no fieldset in a drawing
        <svg
          width={width}
          height={foot + lengthRow}
          role="group"
          aria-label={`The straight arm, ${sayLength(arm.length, unit)} to the tool point, to scale`}
        >
          {arm.sections.map((section, s) => {
            const from = s === 0 ? -first : (arm.along[section.firstSpan] as number);
            const to = arm.along[section.endSpan] as number;
            const room = (to - from) * scale;
            return (
              // biome-ignore lint/a11y/useSemanticElements: there is no button in a drawing
              <g
                key={section.name}
                class={s === picked ? "part picked" : "part"}
                role="button"
                tabindex={s === picked ? 0 : -1}
                aria-pressed={s === picked}
                aria-label={`${section.name}: ${section.endSpan - section.firstSpan} vertebrae, ${sayLength(to - Math.max(0, from), unit)}`}
                data-test={`part-${s + 1}`}
                onClick={() => {
                  armSection.value = s;
                }}
                onKeyDown={(event) => {
                  const by = { ArrowRight: 1, ArrowLeft: -1, Home: -Infinity, End: Infinity }[event.key];
                  if (by === undefined) return;
                  event.preventDefault();
                  step(by);
                  const next = event.currentTarget.parentElement?.querySelector<SVGGElement>(`[data-test=part-${armSection.value + 1}]`);
                  next?.focus();
                }}
              >
                <rect class="part-ground" x={x(from)} y={1} width={room} height={foot + lengthRow - 2} />
                <text class="part-name" x={x(from) + room / 2} y={12} text-anchor="middle">
                  {room > 7 * section.name.length ? section.name : s + 1}
                </text>
                {room < 44 ? null : (
                  <text class="part-length" x={x(from) + room / 2} y={foot + 13} text-anchor="middle">
                    {sayLength(to - Math.max(0, from), unit)}
                  </text>
                )}
              </g>
            );
          })}
          <path class="discs" d={discPath(arm, 0, arm.spans, x, middle, scale)} />
          <LimitLine arm={arm} x={x} middle={middle} scale={scale} top={nameRow} foot={foot} />
          <rect
            class="tool"
            x={x(last + (arm.above[arm.spans] as number))}
            y={middle - 0.5 * arm.tool.diameter * scale}
            width={Math.max(0, (arm.length - last - (arm.above[arm.spans] as number)) * scale)}
            height={arm.tool.diameter * scale}
          >
            <title>{arm.tool.name}</title>
          </rect>
        </svg>
      )}
    </div>
  );
}

interface LimitProps {
  readonly arm: ArmPicture;
  readonly x: (along: number) => number;
  readonly middle: number;
  readonly scale: number;
  readonly top: number;
  readonly foot: number;
}

/** Where the limit of the payload that is pointed at is met: across a joint, or along a cable from the base to where it ends. */
function LimitLine({ arm, x, middle, scale, top, foot }: LimitProps) {
  const pointed = pointedLimit.value;
  if (pointed === undefined || pointed.of !== question.value) return null;
  const { section, joint, cable } = pointed.place;
  if (joint !== undefined) {
    const from = (arm.along[joint - 1] as number) + (arm.above[joint - 1] as number);
    const to = (arm.along[joint] as number) - (arm.below[joint] as number);
    return <path class="limit-line" data-test="limit-line" d={`M${x((from + to) / 2)},${top - 3}V${foot + 3}`} />;
  }
  const own = arm.cables.filter((one) => one.section === section - 1)[(cable ?? 1) - 1];
  const end = arm.along[arm.sections[section - 1]?.endSpan ?? 0] as number;
  if (own === undefined) return null;
  return <path class="limit-line" data-test="limit-line" d={`M${x(0)},${middle + own.y * scale}H${x(end)}`} />;
}
