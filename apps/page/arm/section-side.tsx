/**
 * One section from the side, large and to scale: vertebrae, rods in the hinges, cables through the holes, channel, and the way each hinge
 * bends. The arm's y points down and its x towards the reader, as in the cross-section beside it.
 */
import type { ArmPicture } from "../../worker/index.ts";
import { sayLength } from "../say.ts";
import { lengthUnit } from "../state/store.ts";
import { discPath } from "./disc-path.ts";
import { useSize } from "./use-size.ts";

/** px */
const left = 70;
const right = 14;
const above = 28;
const below = 40;

export function SectionSide({ arm, index }: { readonly arm: ArmPicture; readonly index: number }) {
  const { host, width, height } = useSize<HTMLDivElement>();
  const unit = lengthUnit.value;
  const part = arm.sections[index];
  const section = arm.description.sections[index];
  if (part === undefined || section === undefined) return null;
  const { firstSpan, endSpan } = part;
  const begin = (arm.along[firstSpan] as number) - (arm.below[firstSpan] as number);
  const end = (arm.along[endSpan] as number) + (arm.above[endSpan] as number);
  const tall = Math.max(section.outerDiameter, arm.diameter[firstSpan] as number);
  const scale = Math.max(1, Math.min((width - left - right) / (end - begin), (height - above - below) / tall));
  const x = (along: number) => left + (along - begin) * scale;
  const middle = above + 0.5 * tall * scale;
  const half = 0.5 * section.outerDiameter * scale;
  const spans = Array.from({ length: endSpan - firstSpan }, (_, k) => firstSpan + k);
  const gap = (i: number): readonly [number, number] => [
    (arm.along[i] as number) + (arm.above[i] as number),
    (arm.along[i + 1] as number) - (arm.below[i + 1] as number),
  ];
  const own = cableLines(arm, index, true);
  const passing = cableLines(arm, index, false).filter((y) => !own.some((one) => Math.abs(one - y) < 1e-6));
  const tip = arm.along[endSpan] as number;
  return (
    <div class="section-side" ref={host}>
      {width < 60 || height < 60 ? null : (
        <svg width={width} height={height} role="img" aria-label={describe(arm, index, unit)}>
          {passing.map((y) => (
            <path key={y} class="cable-through" d={`M${x(begin)},${middle + y * scale}H${x(end)}`} />
          ))}
          {spans.map((i) => (
            <Rods key={i} arm={arm} span={i} from={x(gap(i)[0])} to={x(gap(i)[1])} middle={middle} scale={scale} />
          ))}
          <path class="discs" d={discPath(arm, firstSpan, endSpan, x, middle, scale)} />
          {section.channelDiameter > 0
            ? [-0.5, 0.5].map((k) => (
                <path key={k} class="channel-line" d={`M${x(begin)},${middle + k * section.channelDiameter * scale}H${x(end)}`} />
              ))
            : null}
          {own.map((y) => (
            <g key={y} class="cable-own">
              <path d={`M${x(begin)},${middle + y * scale}H${x(tip)}`} />
              <circle cx={x(tip)} cy={middle + y * scale} r={Math.max(2, 0.5 * section.holeDiameter * scale)} />
            </g>
          ))}
          {spans.map((i) => (
            <HingeMark key={i} turn={arm.easy[i] as number} x={x((gap(i)[0] + gap(i)[1]) / 2)} y={middle + half + 11} />
          ))}
          <Measure
            from={x(arm.along[firstSpan + 1] as number)}
            to={x(arm.along[firstSpan + 2] ?? tip)}
            y={above - 9}
            says={`pitch ${sayLength(section.pitch, unit)}`}
            shown={spans.length > 1}
          />
          <Measure
            from={x(gap(endSpan - 1)[0])}
            to={x(gap(endSpan - 1)[1])}
            y={above - 9}
            says={`gap ${sayLength(section.flexible, unit)}`}
            shown
          />
          <Measure
            from={x(arm.along[firstSpan] as number)}
            to={x(tip)}
            y={middle + half + 26}
            says={sayLength(section.pitch * section.spans, unit)}
            shown
          />
          <g class="measure">
            <path d={`M${left - 10},${middle - half}h-6m3,0V${middle + half}m-3,0h6`} />
            <text x={left - 18} y={middle + 4} text-anchor="end">
              {sayLength(section.outerDiameter, unit)}
            </text>
          </g>
        </svg>
      )}
    </div>
  );
}

interface RodsProps {
  readonly arm: ArmPicture;
  readonly span: number;
  readonly from: number;
  readonly to: number;
  readonly middle: number;
  readonly scale: number;
}

/** Rods behind each other are drawn once. */
function Rods({ arm, span, from, to, middle, scale }: RodsProps) {
  const rods = (arm.rods[span] ?? []).filter((rod, k, all) => all.findIndex((one) => Math.abs(one.y - rod.y) < 1e-6) === k);
  return (
    <>
      {rods.map((rod) => (
        <rect
          key={rod.y}
          class="rod"
          x={from}
          y={middle + (rod.y - 0.5 * rod.diameter) * scale}
          width={Math.max(0.5, to - from)}
          height={Math.max(1, rod.diameter * scale)}
        />
      ))}
    </>
  );
}

/** How the hinge bends most easily, as it would be seen here: up and down, towards the reader, or every way. */
function HingeMark({ turn, x, y }: { readonly turn: number; readonly x: number; readonly y: number }) {
  const every = Number.isNaN(turn);
  const inPicture = every || Math.abs(turn) < Math.PI / 4;
  const outOfIt = every || !inPicture;
  return (
    <g class="hinge-mark" transform={`translate(${x.toFixed(1)} ${y.toFixed(1)})`}>
      {inPicture ? <path d="M0,-4.500V4.500M-2,-2.500L0,-4.500L2,-2.500M-2,2.500L0,4.500L2,2.500" /> : null}
      {outOfIt ? <circle r={every ? 1.6 : 3.4} /> : null}
      {outOfIt && !every ? <circle class="dot" r="1" /> : null}
    </g>
  );
}

function Measure({ from, to, y, says, shown }: MeasureProps) {
  if (!shown) return null;
  const text = 6.4 * says.length;
  const middle = (from + to) / 2;
  const wide = to - from > text + 20;
  const line = wide ? `H${middle - text / 2}M${middle + text / 2},${y}H${to}` : `H${to}`;
  return (
    <g class="measure">
      <path d={`M${from},${y - 3}v6m0,-3${line}m0,-3v6`} />
      <text x={middle} y={wide ? y + 4 : y - 6} text-anchor="middle">
        {says}
      </text>
    </g>
  );
}

interface MeasureProps {
  readonly from: number;
  readonly to: number;
  readonly y: number;
  readonly says: string;
  readonly shown: boolean;
}

/** [line] height of the cables that end at this section's last vertebra, or of those that run through it, m. */
function cableLines(arm: ArmPicture, index: number, own: boolean): number[] {
  const heights = arm.cables.flatMap((cable) => ((own ? cable.section === index : cable.section > index) ? [cable.y] : []));
  return heights.filter((y, k) => heights.findIndex((one) => Math.abs(one - y) < 1e-6) === k);
}

function describe(arm: ArmPicture, index: number, unit: "mm" | "in"): string {
  const part = arm.sections[index];
  const section = arm.description.sections[index];
  if (part === undefined || section === undefined) return "";
  return `Section ${index + 1} from the side, to scale: ${part.endSpan - part.firstSpan} vertebrae of ${sayLength(section.outerDiameter, unit)}, pitch ${sayLength(section.pitch, unit)}, hinge gap ${sayLength(section.flexible, unit)}.`;
}
