/**
 * Steps a plan to its end. The only place that knows of time while planning: the planner itself has neither
 * clock nor promise. Serves the page's worker and the command line alike.
 */
import type { Job } from "../../src/job/index.ts";
import {
  createPlan,
  createPlanState,
  createPlanWork,
  type PlanModel,
  type PlanResult,
  type PlanState,
  readPlan,
  stepPlan,
} from "../../src/plan/index.ts";

export interface RunCaller {
  /** milliseconds, of any origin */
  now(): number;
  /** called after every slice, with the state as it stands; do not keep or change it */
  report(state: PlanState, model: PlanModel): void;
  /** asked after every slice */
  isCancelled(): boolean;
}

export type RunAnswer = { readonly kind: "result"; readonly result: PlanResult } | { readonly kind: "cancelled" };

/** Milliseconds of work between two pauses. */
const slice = 30;

/** @throws InputError when the job cannot be planned at all */
export async function runPlan(job: Job, caller: RunCaller): Promise<RunAnswer> {
  const model = createPlan(job);
  const state = createPlanState(model);
  const work = createPlanWork(model);
  while (!isDone(state)) {
    const end = caller.now() + slice;
    do {
      stepPlan(model, state, work);
    } while (!isDone(state) && caller.now() < end);
    caller.report(state, model);
    await pause();
    if (caller.isCancelled()) return { kind: "cancelled" };
  }
  return { kind: "result", result: readPlan(model, state) };
}

function isDone(state: PlanState): boolean {
  return state.progress.stage === "done";
}

/** A macrotask: lets messages and key strokes in, which a resolved promise alone does not, and is not slowed as nested timers are. */
function pause(): Promise<void> {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(0);
  });
}
