/** A whole plan as a task. */
import type { Job } from "../../src/job/index.ts";
import { createPlan, createPlanState, createPlanWork, type PlanResult, type PlanState, readPlan, stepPlan } from "../../src/plan/index.ts";
import type { TaskKind } from "./task.ts";

export const planTask: TaskKind<undefined, Job, PlanState, PlanResult> = {
  open: () => ({
    start(job, saved) {
      const model = createPlan(job);
      const state = saved ?? createPlanState(model);
      const work = createPlanWork(model);
      return {
        step: () => stepPlan(model, state, work),
        isDone: () => state.progress.stage === "done",
        progress: () => ({ done: state.progress.done, says: state.progress.says }),
        save: () => state,
        answer: () => readPlan(model, state),
      };
    },
  }),
};
