/** What may fail and does not come out by itself: which, from which depth, and why. */
import { listFaults } from "../../worker/index.ts";
import { faultWords, namesOf } from "../ribbon/fault-lane.tsx";
import { setDepth } from "../state/cursor.ts";
import { picture, plan } from "../state/store.ts";

export function FaultsList() {
  const faults = plan.value?.faults;
  const job = picture.value;
  if (job === undefined || faults === undefined) return null;
  const lines = listFaults(namesOf(job), faults);
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
            {line.says}.{" "}
            <button type="button" class="link" onClick={() => setDepth(line.downTo)}>
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
