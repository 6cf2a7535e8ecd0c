/** What may fail, over the depth of feed: a strip a kind, its stretches told by shape, mark and word as well as by colour. */
import { useState } from "preact/hooks";
import type { FaultLane, LaneStretch } from "../../../src/verdict/index.ts";
import { type JobPicture, layFaultLanes } from "../../worker/index.ts";

import { type LengthUnit, sayDepth } from "../say.ts";
import { cancelPlan, findFaults, mayFail } from "../state/actions.ts";
import { setDepth } from "../state/cursor.ts";
import { depth, faulting, isStale, lengthUnit, picture, plan, record, recordsIn } from "../state/store.ts";

/** Mark and word of each state. */
export const faultWords = {
  ok: { mark: "\u2713", word: "out" },
  helped: { mark: "\u21c4", word: "with help" },
  stuck: { mark: "\u2715", word: "no way out" },
  unknown: { mark: "?", word: "not known" },
} as const;

/** What the words need of the job that is shown. */
export function namesOf(job: JobPicture) {
  return { arm: { sectionOfCable: job.arm.cables.map((cable) => cable.section) }, bodies: job.bodies };
}

/** The strips of the plan that is shown; undefined where that was not looked at. */
function shownLanes(): FaultLane[] | undefined {
  const job = picture.value;
  const faults = plan.value?.faults;
  if (job === undefined || faults === undefined) return undefined;
  const depths = recordsIn.value.map((one) => one.depth);
  return layFaultLanes(namesOf(job), faults, depths);
}

/** px from the lane's left edge to the depth of 0, and width of the plotted area */
export function FaultLaneRow({ left, width, end }: { left: number; width: number; end: number }) {
  const lanes = shownLanes();
  const unit = lengthUnit.value;
  const [said, setSaid] = useState("");
  const at = record.value?.depth ?? depth.value;
  return (
    <div class="lane fault-lane" data-test="fault-lane">
      <div class="lane-title">
        <b>What may fail</b>
        {lanes === undefined ? null : lanes.map((lane) => <span key={lane.kind}>{short[lane.kind]}</span>)}
      </div>
      {lanes === undefined ? (
        <FaultsToCome />
      ) : (
        <div class="fault-strips">
          <p class="fault-said" aria-live="polite">
            {said === "" ? "Point at a stretch, or go to it by Tab, to read why." : said}
          </p>
          {lanes.map((lane) => (
            <ol key={lane.kind} class="fault-strip" aria-label={lane.title} style={{ marginLeft: `${left}px`, width: `${width}px` }}>
              {lane.stretches.map((stretch) => (
                <Stretch key={stretch.from} lane={lane} stretch={stretch} end={end} width={width} unit={unit} say={setSaid} />
              ))}
            </ol>
          ))}
        </div>
      )}
      <div class="lane-reading" data-test="reading-faults">
        <span class="reading">&nbsp;</span>
        {lanes?.map((lane) => {
          const here = lane.stretches.find((stretch) => at <= stretch.to + 1e-9) ?? lane.stretches.at(-1);
          return here === undefined ? null : (
            <span key={lane.kind} class={`reading fault-${here.state}`}>
              {faultWords[here.state].mark} {faultWords[here.state].word}
            </span>
          );
        })}
      </div>
    </div>
  );
}

const short = { broken: "cable broken", stalled: "drive stalled", locked: "power lost, held", released: "power lost, let go" } as const;

interface StretchProps {
  readonly lane: FaultLane;
  readonly stretch: LaneStretch;
  /** m */
  readonly end: number;
  /** px of the whole strip */
  readonly width: number;
  readonly unit: LengthUnit;
  say(text: string): void;
}

function Stretch({ lane, stretch, end, width, unit, say }: StretchProps) {
  const { mark, word } = faultWords[stretch.state];
  const share = (stretch.to - stretch.from) / end;
  const text = `${lane.title}, ${sayDepth(stretch.from, unit)} to ${sayDepth(stretch.to, unit)}, ${word}: ${stretch.says}.`;
  const room = share * width;
  return (
    <li style={{ left: `${(100 * stretch.from) / end}%`, width: `${100 * share}%` }}>
      <button
        type="button"
        class={`fault-stretch fault-${stretch.state}`}
        aria-label={text}
        onMouseEnter={() => say(text)}
        onFocus={() => say(text)}
        onClick={() => {
          say(text);
          setDepth(stretch.to);
        }}
      >
        <span aria-hidden="true">{room > 70 ? `${mark} ${word}` : room > 10 ? mark : ""}</span>
      </button>
    </li>
  );
}

function FaultsToCome() {
  const running = faulting.value;
  const result = plan.value;
  if (running !== undefined) {
    const done = Math.round(100 * running.done);
    return (
      <div class="fault-wait" role="status" data-test="faulting">
        <span>Looking at what may fail. {running.says}</span>
        <progress max={100} value={done} aria-label="Progress of the look at what may fail" />
        <span>{done} %</span>
        <button type="button" onClick={() => void cancelPlan()}>
          Cancel
        </button>
      </div>
    );
  }
  const may = result !== undefined && !isStale.value && mayFail(result);
  return (
    <div class="fault-wait quiet">
      <span>{may ? "Not looked at." : "Looked at once there is a plan with a way out."}</span>
      {may ? (
        <button type="button" onClick={() => void findFaults()}>
          Look now
        </button>
      ) : null}
    </div>
  );
}
