/** The cross-section of one section to scale, seen from the base: x to the right, y down. Webs are measured where they are thinnest. */
import { useState } from "preact/hooks";
import type { Web } from "../../../src/arm/index.ts";
import type { ArmPicture } from "../../worker/index.ts";
import { sayLength } from "../say.ts";
import { lengthUnit } from "../state/store.ts";
import { useSize } from "./use-size.ts";

/** px round the rim, for the cables' numbers */
const room = 24;
/** how many webs are listed */
const listed = 5;

export function CrossSection({ arm, index }: { readonly arm: ArmPicture; readonly index: number }) {
  const [pointed, setPointed] = useState<number | undefined>(undefined);
  const { host, width, height } = useSize<HTMLDivElement>();
  const section = arm.description.sections[index];
  if (section === undefined) return null;
  const unit = lengthUnit.value;
  const box = Math.max(36, Math.min(width, height) / 2);
  const rim = box - room;
  const scale = rim / (section.outerDiameter / 2);
  const webs = (arm.webs[index] ?? []).slice(0, listed);
  const shown = pointed ?? 0;
  const cables = arm.cables.flatMap((cable, c) => (cable.section >= index ? [{ ...cable, c }] : []));
  const rods = (arm.rods[arm.sections[index]?.firstSpan ?? 0] ?? []).map((rod) => ({ ...rod, turned: false }));
  const turned = section.alternating ? rods.map((rod) => ({ ...rod, x: -rod.y, y: rod.x, turned: true })) : [];
  return (
    <div class="cross-section">
      <div class="cross-host" ref={host}>
        <svg
          width={width}
          height={height}
          viewBox={`${-width / 2} ${-height / 2} ${width} ${height}`}
          role="img"
          aria-label={`Cross-section of section ${index + 1}, seen from the base, to scale`}
        >
          <circle class="rim" r={rim} />
          {cables.map(({ c, x, y, section: of }) => (
            <path key={c} class={of === index ? "spoke-line own" : "spoke-line"} d={`M0,0L${scale * x},${scale * y}`} />
          ))}
          {section.channelDiameter > 0 ? <circle class="channel" r={(scale * section.channelDiameter) / 2} /> : null}
          {[...turned, ...rods].map((rod) => (
            <circle
              key={`${rod.x} ${rod.y} ${rod.turned}`}
              class={rod.turned ? "rod turned" : "rod"}
              cx={scale * rod.x}
              cy={scale * rod.y}
              r={(scale * rod.diameter) / 2}
            />
          ))}
          {cables.map(({ c, x, y, section: of }) => {
            const r = Math.sqrt(x * x + y * y);
            return (
              <g key={c} class={of === index ? "hole own" : "hole"}>
                <circle cx={scale * x} cy={scale * y} r={(scale * section.holeDiameter) / 2} />
                <text x={((rim + 11) * x) / r} y={((rim + 11) * y) / r + 4} text-anchor="middle">
                  {of + 1}
                </text>
                <title>{`cable ${c + 1} (section ${of + 1})`}</title>
              </g>
            );
          })}
          {webs.map((web, k) => (
            <WebMark key={web.says} web={web} scale={scale} lit={k === shown} />
          ))}
          <path
            class="axes"
            d={`M${-width / 2 + 4},${height / 2 - 26}h14m-4,-3l4,3l-4,3M${-width / 2 + 4},${height / 2 - 26}v14m-3,-4l3,4l3,-4`}
          />
          <text class="axes-name" x={-width / 2 + 21} y={height / 2 - 22}>
            x
          </text>
          <text class="axes-name" x={-width / 2 + 9} y={height / 2 - 4}>
            y
          </text>
        </svg>
      </div>
      <ul class="webs" aria-label="Thinnest webs" data-test="webs">
        {webs.map((web, k) => (
          <li key={web.says}>
            <button
              type="button"
              class="plain"
              aria-pressed={k === shown}
              title={web.says}
              onClick={() => setPointed(k)}
              onPointerEnter={() => setPointed(k)}
              onFocus={() => setPointed(k)}
            >
              <span>{web.between.join(" to ")}</span> <b>{sayLength(web.width, unit, unit === "mm" ? 2 : 3)}</b>
            </button>
          </li>
        ))}
        <li class="quiet">least that is made {sayLength(arm.leastWeb, unit, unit === "mm" ? 2 : 3)}</li>
      </ul>
    </div>
  );
}

function WebMark({ web, scale, lit }: { readonly web: Web; readonly scale: number; readonly lit: boolean }) {
  const [x1, y1] = web.from.map((one) => one * scale) as [number, number];
  const [x2, y2] = web.to.map((one) => one * scale) as [number, number];
  const size = Math.hypot(x2 - x1, y2 - y1) || 1;
  const [nx, ny] = [(3 * (y1 - y2)) / size, (3 * (x2 - x1)) / size];
  return (
    <path
      class={lit ? "web lit" : "web"}
      d={`M${x1},${y1}L${x2},${y2}M${x1 - nx},${y1 - ny}L${x1 + nx},${y1 + ny}M${x2 - nx},${y2 - ny}L${x2 + nx},${y2 + ny}`}
    />
  );
}
