/**
 * The cable rose: the arm's cross-section seen from its base, a ring a section (the base outside, the tip within), a spoke a
 * cable at its true angle (x to the right, y down). A spoke's length is its tension against its working load; a slack cable is hollow.
 */
import { useState } from "preact/hooks";
import type { CablePicture } from "../../worker/index.ts";
import { sayForce, sayUse } from "../say.ts";
import { picture, plan, pointedSection, record } from "../state/store.ts";

/** Below this a cable carries nothing, N. */
const slackBelow = 0.05;
const outer = 92;
const inner = 9;

export function CableRose() {
  const job = picture.value;
  const [pointed, setPointed] = useState<number | undefined>(undefined);
  if (job === undefined) return null;
  const { sections, cables } = job.arm;
  const tension = record.value?.tension;
  const band = (outer - inner) / sections.length;
  const point = (section: number | undefined, cable?: number) => {
    pointedSection.value = section;
    setPointed(cable);
  };
  return (
    <section class="card rose" aria-label="Cable rose">
      <header class="card-head">
        <h2>Cable rose</h2>
        <span class="quiet">tip inside</span>
      </header>
      {/* biome-ignore lint/a11y/useSemanticElements: there is no fieldset in a drawing */}
      <svg
        viewBox="-104 -104 208 208"
        role="group"
        aria-label="Cross-section, one ring a section, one spoke a cable"
        onPointerLeave={() => point(undefined)}
      >
        {sections.map((section, s) => {
          const to = outer - band * s;
          const from = to - band;
          const lit = pointedSection.value === s;
          return (
            // biome-ignore lint/a11y/useSemanticElements: there is no button in a drawing
            <g
              key={section.name}
              class={lit ? "ring lit" : "ring"}
              role="button"
              tabindex={0}
              aria-label={sayRing(s, cables, tension)}
              data-test={`ring-${s + 1}`}
              onPointerEnter={() => point(s)}
              onFocus={() => point(s)}
              onBlur={() => point(undefined)}
            >
              <path class="ring-band" d={ringPath(from, to)} fill-rule="evenodd" />
              {cables.map((cable, c) =>
                cable.section === s ? (
                  <Spoke key={c} cable={cable} tension={tension?.[c]} from={from} to={to} onPoint={() => point(s, c)} />
                ) : null,
              )}
            </g>
          );
        })}
        <circle class="rose-channel" r={inner} />
        {/* biome-ignore lint/a11y/noAriaHiddenOnFocusable: a group of a drawing takes no focus */}
        <g class="rose-numbers" aria-hidden="true">
          {sections.map((section, s) => (
            <text key={section.name} x="0" y={outer - band * (s + 0.5) + 2.6} text-anchor="middle">
              {s + 1}
            </text>
          ))}
        </g>
        {/* biome-ignore lint/a11y/noAriaHiddenOnFocusable: a group of a drawing takes no focus */}
        <g class="rose-axes" aria-hidden="true">
          <path d={`M ${outer} 0 H 97 M 0 ${outer} V 97`} />
          <text x="97.5" y="3">
            x
          </text>
          <text x="0" y="104" text-anchor="middle">
            y
          </text>
        </g>
      </svg>
      <p class="readout" data-test="rose-readout">
        {sayPointed(pointedSection.value, pointed, cables, tension)}
      </p>
    </section>
  );
}

interface SpokeProps {
  readonly cable: CablePicture;
  readonly tension: number | undefined;
  readonly from: number;
  readonly to: number;
  readonly onPoint: () => void;
}

function Spoke({ cable, tension, from, to, onPoint }: SpokeProps) {
  const room = to - from - 2;
  const use = tension === undefined ? 0 : tension / cable.workingLoad;
  const slack = tension !== undefined && tension < slackBelow;
  const wide = Math.min(14, 0.16 * (from + to) * 0.5 + 3);
  const turn = (Math.atan2(cable.y, cable.x) * 180) / Math.PI;
  const state = use > 1 ? "over" : use > 0.8 ? "warning" : "ok";
  const start = from + 1;
  return (
    <g transform={`rotate(${turn})`} class={`spoke ${slack ? "slack" : state}`} onPointerEnter={onPoint}>
      <rect class="spoke-room" x={start} y={-wide / 2} width={room} height={wide} rx="1" />
      {slack || tension === undefined ? null : (
        <rect class="spoke-use" x={start} y={-wide / 2} width={Math.max(0.8, room * Math.min(1, use))} height={wide} rx="1" />
      )}
      {use > 1 ? <path class="spoke-over" d={`M ${to - 1} ${-wide / 2 - 1} l 3 ${wide / 2 + 1} l -3 ${wide / 2 + 1} z`} /> : null}
    </g>
  );
}

function ringPath(from: number, to: number): string {
  const round = (r: number) => `M ${r} 0 A ${r} ${r} 0 1 0 ${-r} 0 A ${r} ${r} 0 1 0 ${r} 0 Z`;
  return `${round(to - 0.4)} ${round(from + 0.4)}`;
}

function sayRing(section: number, cables: readonly CablePicture[], tension: Float64Array | undefined): string {
  const own = cables.flatMap((cable, c) => (cable.section === section ? [c] : []));
  const list = own.map((c) => `cable ${c + 1} ${sayCable(c, cables, tension)}`).join(", ");
  return `Section ${section + 1}: ${list}`;
}

function sayPointed(
  section: number | undefined,
  cable: number | undefined,
  cables: readonly CablePicture[],
  tension: Float64Array | undefined,
): string {
  if (section === undefined) {
    if (tension === undefined) return plan.value === undefined ? "No depth solved yet." : "No depth could be solved.";
    let worst = 0;
    cables.forEach((one, c) => {
      const most = cables[worst] as CablePicture;
      if ((tension[c] as number) / one.workingLoad > (tension[worst] as number) / most.workingLoad) worst = c;
    });
    const at = cables[worst] as CablePicture;
    return `Hardest pulled where it enters the arm: cable ${worst + 1} (section ${at.section + 1}), ${sayCable(worst, cables, tension)}.`;
  }
  if (cable === undefined || cables[cable]?.section !== section) {
    const own = cables.flatMap((one, c) => (one.section === section ? [c] : []));
    return `Section ${section + 1}: ${tension === undefined ? "not solved" : own.map((c) => ((tension[c] as number) < slackBelow ? "slack" : sayForce(tension[c] as number))).join(", ")}.`;
  }
  return `Cable ${cable + 1} (section ${section + 1}): ${sayCable(cable, cables, tension)}.`;
}

function sayCable(c: number, cables: readonly CablePicture[], tension: Float64Array | undefined): string {
  const cable = cables[c] as CablePicture;
  if (tension === undefined) return "not solved";
  const value = tension[c] as number;
  const angle = Math.round(((Math.atan2(cable.y, cable.x) * 180) / Math.PI + 360) % 360);
  if (value < slackBelow) return `at ${angle}°: slack`;
  return `at ${angle}°: ${sayForce(value)} of ${sayForce(cable.workingLoad)} (${sayUse(value / cable.workingLoad)})`;
}
