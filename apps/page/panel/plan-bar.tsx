/** What is going on: a running plan with its progress and time left, a plan of old numbers, a lost worker, a refused job. */
import { bringBackChanges, cancelPlan, declineChanges, makePlan, restartWorker } from "../state/actions.ts";
import { isStale, keptFiles, plan, planFaults, planning, workerLost } from "../state/store.ts";

export function PlanBar() {
  const running = planning.value;
  const old = isStale.value && plan.value !== undefined;
  if (workerLost.value !== undefined) return <LostBar />;
  if (running !== undefined) {
    const done = Math.round(100 * running.progress.done);
    return (
      <div class="plan-bar" role="status" data-test="planning">
        <span class="plan-says">
          Planning, {running.progress.stage}: {running.progress.says}
          {old ? <b class="old"> Shown below: the result of the old numbers.</b> : null}
        </span>
        <progress max={100} value={done} aria-label="Progress of the plan" />
        <span class="plan-done">
          {done} % {timeLeft(running.progress.done, running.now - running.since)}
        </span>
        <button type="button" onClick={() => void cancelPlan()}>
          Cancel
        </button>
      </div>
    );
  }
  if (planFaults.value.length > 0) {
    return (
      <div class="plan-bar over" role="alert">
        <span>{planFaults.value.map((fault) => `${fault.path} ${fault.problem} ${fault.hint}`).join(" ")}</span>
      </div>
    );
  }
  if (keptFiles.value !== undefined) return <KeptBar />;
  if (old || plan.value === undefined) {
    return (
      <div class="plan-bar" role="status" data-test="stale">
        <span>{old ? <b class="old">The numbers were changed. What is shown is the result of the old ones.</b> : "Not planned yet."}</span>
        <button type="button" onClick={() => void makePlan()}>
          Plan now
        </button>
      </div>
    );
  }
  return null;
}

/** The worker that reads and plans is lost: nothing can be changed until there is another. */
export function LostBar() {
  if (workerLost.value === undefined) return null;
  return (
    <div class="plan-bar over" role="alert" data-test="worker-lost">
      <span>The planner stopped by itself ({workerLost.value}). What is shown was finished before and stands.</span>
      <button type="button" onClick={() => void restartWorker()}>
        Start it again
      </button>
    </div>
  );
}

/** Changes of an earlier visit. */
export function KeptBar() {
  if (keptFiles.value === undefined) return null;
  return (
    <div class="plan-bar" role="status" data-test="kept">
      <span>Changes of the arm from your last visit were not saved to a file. They are kept in this browser.</span>
      <button type="button" onClick={() => void bringBackChanges()}>
        Bring them back
      </button>
      <button type="button" onClick={declineChanges}>
        Forget them
      </button>
    </div>
  );
}

/** From the share done so far; said only when there is something to go by. */
function timeLeft(done: number, spent: number): string {
  if (done < 0.05 || spent < 1500) return "";
  const left = (spent / 1000) * ((1 - done) / done);
  return left < 1 ? "· almost done" : `· about ${left < 90 ? `${Math.ceil(left)} s` : `${Math.ceil(left / 60)} min`} left`;
}
