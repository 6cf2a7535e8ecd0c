/** One drawn truth as a task. Each thread reads the files, makes the plan's model and finds the plan's commands again once, then draws. */

import { createInsertionWork } from "../../src/insertion/index.ts";
import { openJobSource } from "../../src/job/index.ts";
import { createPlan, insertionModel, type PlanResult } from "../../src/plan/index.ts";
import {
  createDrawState,
  createDrawWork,
  createReplay,
  type DrawAnswer,
  type DrawModel,
  isReplayDone,
  listUnknowns,
  stepDraw,
  stepReplay,
} from "../../src/study/index.ts";
import type { TaskKind } from "./task.ts";

export interface DrawCommon {
  readonly main: string;
  /** all that the job names */
  readonly files: ReadonlyMap<string, Uint8Array>;
  /** of the job as it is written */
  readonly result: PlanResult;
  readonly seed: number;
  readonly mode: DrawModel["mode"];
}

export const drawTask: TaskKind<DrawCommon, number, undefined, DrawAnswer> = {
  open({ main, files, result, seed, mode }) {
    const source = openJobSource(main, files);
    const job = source.redraw({ job: new Map(), arm: new Map() });
    const plan = createPlan(job);
    const replay = createReplay(plan.arm);
    const model: DrawModel = { source, plan, result, unknowns: listUnknowns(job, source), replay, seed, mode };
    const inner = mode === "held" ? insertionModel(plan, result.route) : undefined;
    const work = inner === undefined ? undefined : createInsertionWork(inner, plan.space);
    return {
      start(index) {
        const state = createDrawState();
        const drawing = createDrawWork();
        return {
          step() {
            if (inner !== undefined && work !== undefined && !isReplayDone(replay, result)) stepReplay(inner, result, replay, work);
            else stepDraw(model, index, state, drawing);
          },
          isDone: () => state.answer !== undefined,
          progress: () => ({ done: state.done, says: "" }),
          save: () => undefined,
          answer: () => state.answer as DrawAnswer,
        };
      },
    };
  },
};
