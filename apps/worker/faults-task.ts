/** Faults of one plan as tasks: each takes some of them; the planned shapes they begin from are solved once a thread. */
import {
  createFaultsState,
  createFaultsWork,
  type FaultsState,
  type FaultsWork,
  type SharedWays,
  stepFaults,
  takeShared,
} from "../../src/faults/index.ts";
import type { Job } from "../../src/job/index.ts";
import { createPlan, createPlanFaults, type PlanResult } from "../../src/plan/index.ts";
import type { TaskKind } from "./task.ts";

export interface FaultsCommon {
  readonly job: Job;
  readonly result: PlanResult;
}

export interface FaultsShare {
  /** of the model's faults, by index */
  readonly which: readonly number[];
  /** what is found once for all */
  readonly shared: SharedWays;
}

export type FaultsAnswer = Pick<FaultsState, "findings" | "locked" | "limp">;

export const faultsTask: TaskKind<FaultsCommon, FaultsShare, FaultsState, FaultsAnswer> = {
  open({ job, result }) {
    const plan = createPlan(job);
    const model = createPlanFaults(plan, result);
    if (model === undefined) throw new Error("bug: a plan without a way out has nothing to fail on");
    let work: FaultsWork | undefined;
    let planned: FaultsState["planned"] | undefined;
    return {
      start({ which, shared }, saved) {
        const state = saved ?? createFaultsState(model, which);
        if (saved === undefined) takeShared(model, state, { ...shared, ...(planned === undefined ? {} : { planned }) });
        work ??= createFaultsWork(model, plan.space);
        const made = work;
        return {
          step() {
            stepFaults(model, state, made);
            if (state.planned.length === model.wayIn.length) planned ??= state.planned;
          },
          isDone: () => state.done,
          progress: () => ({ done: state.progress, says: state.says }),
          save: () => state,
          answer: () => ({ findings: state.findings, locked: state.locked, limp: state.limp }),
        };
      },
    };
  },
};
