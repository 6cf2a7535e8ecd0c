/** One arm of a rack as a task: the job is handed to each thread once. */
import type { Job } from "../../src/job/index.ts";
import type { PlanResult } from "../../src/plan/index.ts";
import {
  createRackState,
  createRackWork,
  isRackDone,
  type RackArm,
  type RackEntry,
  type RackModel,
  type RackState,
  rackProgress,
  stepRack,
} from "../../src/study/index.ts";
import type { TaskKind } from "./task.ts";

export interface RackAnswer {
  readonly entry: RackEntry;
  /** absent where the arm could not be planned */
  readonly result?: PlanResult;
}

export const rackTask: TaskKind<Job, RackArm, RackState, RackAnswer> = {
  open: (job) => ({
    start(arm, saved) {
      const model: RackModel = { job, arms: [arm] };
      const state = saved ?? createRackState(model);
      const work = createRackWork();
      return {
        step: () => stepRack(model, state, work),
        isDone: () => isRackDone(state),
        progress: () => rackProgress(model, state),
        save: () => state,
        answer() {
          const [place] = state.places;
          if (place?.stage !== "ended") throw new Error("bug: the arm is not at its end");
          return { entry: place.entry, ...(place.result === undefined ? {} : { result: place.result }) };
        },
      };
    },
  }),
};
