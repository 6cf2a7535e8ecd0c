/** Tasks that misbehave, and one that does not, for the pool's tests; served on a thread of Node. */
import { parentPort } from "node:worker_threads";
import { serveTasks } from "../../apps/worker/serve-tasks.ts";
import type { TaskKind } from "../../apps/worker/task.ts";
import { InputError } from "../../src/base/index.ts";

export interface OddInput {
  readonly does: "count" | "throw" | "fault" | "die" | "die-without-state" | "hang";
  readonly steps: number;
  /** ms each */
  readonly wait: number;
}

export interface OddState {
  steps: number;
  /** a number that depends on every step made */
  sum: number;
}

export interface OddAnswer {
  readonly sum: number;
  /** from which step this thread went on, and how many batches it has met */
  readonly from: number;
  readonly opened: number;
}

let opened = 0;

const odd: TaskKind<{ readonly start: number }, OddInput, OddState, OddAnswer> = {
  open({ start }) {
    if (start < 0) throw new InputError([{ code: "quantity.limit", path: "start", problem: `is ${start}.`, hint: "Give 0 or more." }]);
    opened++;
    return {
      start(input, saved) {
        const state = saved ?? { steps: 0, sum: start };
        const from = state.steps;
        return {
          step() {
            const end = performance.now() + input.wait;
            while (performance.now() < end);
            state.steps++;
            state.sum = Math.sin(state.sum + state.steps);
            if (state.steps < input.steps) return;
            if (input.does === "throw") throw new Error("thrown on purpose");
            if (input.does === "fault")
              throw new InputError([{ code: "quantity.limit", path: "x", problem: "is odd.", hint: "Give another." }]);
            if (input.does === "die" || (input.does === "die-without-state" && saved === undefined)) process.exit(7);
            while (input.does === "hang");
          },
          isDone: () => state.steps >= input.steps,
          progress: () => ({ done: state.steps / input.steps, says: `step ${state.steps}` }),
          save: () => state,
          answer: () => ({ sum: state.sum, from, opened }),
        };
      },
    };
  },
};

const port = parentPort;
if (port !== null) {
  serveTasks({ post: (message, move) => port.postMessage(message, move), listen: (heard) => port.on("message", heard) }, async () => {
    return odd as unknown as TaskKind<unknown, unknown, unknown, unknown>;
  });
}
