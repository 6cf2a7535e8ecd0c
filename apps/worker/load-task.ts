/** Loads on one arm as a task: the arm and its reference balance are made once a thread, a load is a step. */
import { type Fault, InputError } from "../../src/base/index.ts";
import type { Load } from "../../src/rod/index.ts";
import { createLoadAnswers, createLoadSolver, type LoadAnswers, type LoadBatch } from "./solve-loads.ts";
import type { TaskKind } from "./task.ts";

export interface LoadShare {
  /** index of the first of them in the whole batch: faults are named by it */
  readonly from: number;
  readonly loads: readonly Load[];
}

export const loadTask: TaskKind<Omit<LoadBatch, "loads">, LoadShare, undefined, LoadAnswers> = {
  open(common) {
    const solver = createLoadSolver(common);
    return {
      start({ from, loads }) {
        const answers = createLoadAnswers(loads.length, solver.cables);
        answers.reference = solver.reference;
        const faults: Fault[] = [];
        let k = 0;
        return {
          step() {
            try {
              solver.solve(loads[k] as Load, `loads[${from + k}]`, k, answers);
            } catch (error) {
              if (!(error instanceof InputError)) throw error;
              faults.push(...error.faults);
            }
            k++;
            if (k === loads.length && faults.length > 0) throw new InputError(faults);
          },
          isDone: () => k === loads.length,
          progress: () => ({ done: k / loads.length, says: "" }),
          save: () => undefined,
          answer: () => answers,
          buffersOf: ({ tip, tension, iterations }) => [tip, tension, iterations].map((one) => one.buffer as ArrayBuffer),
        };
      },
    };
  },
};
