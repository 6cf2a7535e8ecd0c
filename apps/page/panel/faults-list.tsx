/** What may fail and does not come out by itself: which, from which depth, and why. */
import { faultWords, listFaults, shownLanes } from "../ribbon/fault-lane.tsx";
import { setDepth } from "../state/cursor.ts";
import { lengthUnit, plan } from "../state/store.ts";

export function FaultsList() {
  const lanes = shownLanes();
  const faults = plan.value?.faults;
  if (lanes === undefined || faults === undefined) return null;
  const lines = listFaults(lanes, lengthUnit.value);
  return (
    <section aria-label="What may fail" data-test="faults-list">
      <header class="panel-head">
        <h2>What may fail</h2>
        <span class="quiet">any one cable, drive, or the power</span>
      </header>
      {lines.length === 0 ? <p>Whatever of these fails, and wherever, the arm is drawn out, also with drives that only hold.</p> : null}
      <ul class="plain-list">
        {lines.map((line) => (
          <li key={line.says}>
            <span class={`fault-word fault-${line.state}`}>
              {faultWords[line.state].mark} {faultWords[line.state].word}
            </span>{" "}
            {line.says}{" "}
            <button type="button" class="link" onClick={() => setDepth(line.depth)}>
              Show the depth
            </button>
          </li>
        ))}
      </ul>
      <ul class="plain-list quiet">
        {faults.notes.map((note) => (
          <li key={note}>{note}</li>
        ))}
      </ul>
    </section>
  );
}
