/** Every arm of the rack against the job: which can, by how much, why the others cannot. A row opens that arm's plan. */
import { useEffect } from "preact/hooks";
import { sayFault } from "../../../src/base/index.ts";
import type { RackEntry } from "../../../src/study/index.ts";
import { type LengthUnit, lengthIn, sayLength, sayUse } from "../say.ts";
import {
  isRackOpenable,
  planRack,
  rackDone,
  rackDrawn,
  rackEntries,
  rackPointed,
  rackProblem,
  rackRunning,
  rackShown,
  showRackArm,
  stopRack,
} from "../state/rack.ts";
import { lengthUnit, rackFiles } from "../state/store.ts";
import { AnswerMark, answerKind } from "./answer-mark.tsx";

export function RackPanel() {
  useEffect(() => {
    rackShown.value = true;
    return () => {
      rackShown.value = false;
      rackPointed.value = undefined;
    };
  }, []);
  const entries = rackEntries.value;
  const can = entries.filter((entry) => entry.kind === "planned" && entry.answer.startsWith("go")).length;
  return (
    <div class="rack">
      <section aria-label="Arms of the rack">
        <header class="panel-head">
          <h2 data-test="rack-count">{sayCount(entries, can)}</h2>
          {rackRunning.value ? (
            <button type="button" onClick={stopRack}>
              Stop
            </button>
          ) : (
            <button type="button" class="primary" onClick={() => void planRack()}>
              {entries.length === 0 ? "Plan every arm" : "Plan them again"}
            </button>
          )}
        </header>
        {rackProblem.value === undefined ? null : <p class="over">{rackProblem.value}</p>}
        {entries.length === 0 ? (
          <p class="quiet">
            Each arm is planned against this job, on all cores of this machine, and drawn at the target beside the others.
          </p>
        ) : (
          <>
            <label class="rack-draw">
              <input
                type="checkbox"
                checked={rackDrawn.value}
                onChange={(event) => {
                  rackDrawn.value = event.currentTarget.checked;
                }}
              />{" "}
              Draw them at the target
            </label>
            <table data-test="rack">
              <thead>
                <tr>
                  <th scope="col">Arm</th>
                  <th scope="col">Used</th>
                  <th scope="col">Reach</th>
                  <th scope="col">Clearance</th>
                </tr>
              </thead>
              {entries.map((entry) => (
                <RackRow key={entry.file} entry={entry} />
              ))}
            </table>
          </>
        )}
      </section>
    </div>
  );
}

function sayCount(entries: readonly RackEntry[], can: number): string {
  if (entries.length === 0) return `${rackFiles.value.length} arms in the rack`;
  const open = entries.filter(({ kind }) => kind === "waiting").length;
  return open === 0 ? `${can} of ${entries.length} arms can` : `${can} can, ${open} of ${entries.length} still open`;
}

function RackRow({ entry }: { entry: RackEntry }) {
  const unit = lengthUnit.value;
  const lit = rackPointed.value === entry.file;
  const point = () => {
    rackPointed.value = entry.file;
  };
  const leave = () => {
    if (rackPointed.value === entry.file) rackPointed.value = undefined;
  };
  const planned = entry.kind === "planned" ? entry : undefined;
  const whole = planned?.reach === undefined ? "" : sayPair(planned.reach.found, planned.reach.allowed, unit);
  return (
    <tbody class={lit ? "lit" : ""} data-test="rack-arm" onPointerEnter={point} onPointerLeave={leave}>
      <tr>
        <th scope="row">
          {isRackOpenable(entry.file) ? (
            <button
              type="button"
              class="link"
              title="Show its plan"
              onClick={() => void showRackArm(entry.file)}
              onFocus={point}
              onBlur={leave}
            >
              {entry.arm ?? entry.file}
            </button>
          ) : (
            (entry.arm ?? entry.file)
          )}
        </th>
        <td>{planned?.worst === undefined ? "" : sayUse(planned.worst.use)}</td>
        <td>{whole}</td>
        <td>{planned?.clearance === undefined ? "" : sayClearance(planned.clearance.found, unit)}</td>
      </tr>
      <tr class="rack-why">
        <td colSpan={4}>
          <RackWords entry={entry} />
        </td>
      </tr>
    </tbody>
  );
}

function RackWords({ entry }: { entry: RackEntry }) {
  if (entry.kind === "waiting") {
    const done = rackDone.value[entry.file];
    if (!rackRunning.value) return <span class="quiet">not planned to its end</span>;
    return <span class="quiet">{done === undefined ? "waits for a core" : `planning, ${Math.round(100 * done)} %`}</span>;
  }
  if (entry.kind === "failed") return <span class="over">withy failed: {entry.says.split("\n")[0]}</span>;
  if (entry.kind === "faulty") {
    return (
      <ul class="plain-list">
        {entry.faults.map((fault) => (
          <li key={`${fault.path} ${fault.problem}`}>{sayFault(fault)}</li>
        ))}
      </ul>
    );
  }
  return (
    <>
      <b class={answerKind(entry.answer)}>
        <AnswerMark answer={entry.answer} /> {entry.answer}
      </b>{" "}
      <span class="quiet">
        {entry.drives} drives in {entry.sections} sections
        {entry.worst === undefined ? "" : `; worst is ${entry.worst.title.toLowerCase()}`}
      </span>
      {entry.answer.startsWith("go") ? null : (
        <ul class="plain-list">
          {(entry.reasons.length > 0 ? entry.reasons : [entry.says]).map((reason) => (
            <li key={reason}>{reason}</li>
          ))}
          {entry.hint === undefined ? null : <li>What would help first: {entry.hint}.</li>}
        </ul>
      )}
    </>
  );
}

function sayClearance(found: number, unit: LengthUnit): string {
  return Number.isFinite(found) ? sayLength(found, unit) : "none near";
}

/** The unit is said once: there is little room. */
function sayPair(found: number, allowed: number, unit: LengthUnit): string {
  return `${lengthIn(found, unit).toFixed(unit === "mm" ? 0 : 1)} of ${sayLength(allowed, unit, unit === "mm" ? 0 : 1)}`;
}
