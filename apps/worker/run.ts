/**
 * Steps a plan to its end. The only place that knows of time while planning: the planner itself has neither
 * clock nor promise. Serves the page's worker and the command line alike.
 */
import { createFaultsState, createFaultsWork, readFaults, stepFaults } from "../../src/faults/index.ts";
import type { Job } from "../../src/job/index.ts";
import {
  createOffersState,
  createPlan,
  createPlanFaults,
  createPlanState,
  createPlanWork,
  type OfferedRoute,
  type PlanModel,
  type PlanResult,
  type PlanState,
  readPlan,
  stepOffers,
  stepPlan,
  withFaults,
} from "../../src/plan/index.ts";
import {
  createSeek,
  createSeekState,
  createSeekWork,
  createTurns,
  createTurnsState,
  createTurnsWork,
  stepSeek,
  stepTurns,
  withSeek,
  withTurns,
} from "../../src/study/index.ts";
import { type Caller, runInSlices } from "./slices.ts";

export interface RunCaller extends Caller {
  /** called after every slice, with the state as it stands; do not keep or change it */
  report(state: PlanState, model: PlanModel): void;
}

export interface TurnsCaller extends Caller {
  /** @param progress 0 to 1 @param says which change is being planned, and where it stands */
  report(progress: number, says: string): void;
}

export type RunAnswer = { readonly kind: "result"; readonly result: PlanResult } | { readonly kind: "cancelled" };

export interface RoutesCaller extends Caller {
  /** @param progress 0 to 1 */
  report(progress: number, says: string): void;
}

/**
 * Looks for the routes there are.
 *
 * @param most routes wanted
 * @returns undefined when it was cancelled; none where no route meets any demand
 * @throws InputError when the job cannot be planned at all
 */
export async function runRoutes(job: Job, most: number, caller: RoutesCaller): Promise<readonly OfferedRoute[] | undefined> {
  const model = createPlan(job);
  const state = createOffersState();
  const work = createPlanWork(model);
  const ended = await runInSlices(
    () => stepOffers(model, most, state, work),
    () => state.done,
    () => caller.report(state.progress, state.says),
    caller,
  );
  return ended ? state.offers : undefined;
}

/** @param given the offered route to plan by; sought when absent @throws InputError when the job cannot be planned at all */
export async function runPlan(job: Job, caller: RunCaller, given?: OfferedRoute): Promise<RunAnswer> {
  const model = createPlan(job);
  const state = createPlanState(model, given);
  const work = createPlanWork(model);
  const ended = await runInSlices(
    () => stepPlan(model, state, work),
    () => state.progress.stage === "done",
    () => caller.report(state, model),
    caller,
  );
  return ended ? { kind: "result", result: readPlan(model, state) } : { kind: "cancelled" };
}

/** What comes of broken cables, stalled drives and lost power on a plan; the plan as it was where the arm did not get in. */
export async function runFaults(job: Job, result: PlanResult, caller: TurnsCaller): Promise<RunAnswer> {
  const model = createPlan(job);
  const faults = createPlanFaults(model, result);
  if (faults === undefined) return { kind: "result", result };
  const state = createFaultsState(faults);
  const work = createFaultsWork(faults, model.space);
  const ended = await runInSlices(
    () => stepFaults(faults, state, work),
    () => state.done,
    () => caller.report(state.progress, state.says),
    caller,
  );
  return ended ? { kind: "result", result: withFaults(model, result, readFaults(faults, [state])) } : { kind: "cancelled" };
}

/** Plans the first few likely changes of the arm. @param result the plan of the job as it is @returns it, with what was tried */
export async function runTurns(job: Job, result: PlanResult, count: number, caller: TurnsCaller): Promise<RunAnswer> {
  const model = createTurns(job, result, count);
  const state = createTurnsState();
  const work = createTurnsWork();
  const ended = await runInSlices(
    () => stepTurns(model, state, work),
    () => state.done,
    () => caller.report(state.progress, state.says),
    caller,
  );
  return ended ? { kind: "result", result: withTurns(result, state.turns) } : { kind: "cancelled" };
}

/** Looks for the smallest allowed change that turns the answer. @param result the plan of the job as it is: one that goes is given back as it is */
export async function runSeek(job: Job, result: PlanResult, caller: TurnsCaller): Promise<RunAnswer> {
  const { answer } = result.verdict;
  if (answer === "go" || answer === "go with conditions") return { kind: "result", result };
  const model = createSeek(job, result);
  const state = createSeekState();
  const work = createSeekWork();
  const ended = await runInSlices(
    () => stepSeek(model, state, work),
    () => state.stage === "done",
    () => caller.report(state.progress, state.says),
    caller,
  );
  return ended ? { kind: "result", result: withSeek(result, model, state) } : { kind: "cancelled" };
}
