/** Plans a job, and the changed arms that were asked for, with progress; ends when told to. */
import type { Job } from "../../src/job/index.ts";
import type { PlanResult } from "../../src/plan/index.ts";
import { createTurns, createTurnsState, createTurnsWork, stepTurns, withTurns } from "../../src/study/index.ts";
import { runPlan } from "../worker/run.ts";
import { Cancelled, type Console, stopIfCancelled } from "./console.ts";
import { createProgressBar, type ProgressBar } from "./show-progress.ts";

/** @param turns how many changes of the arm to plan again @throws InputError, Cancelled */
export async function planJob(job: Job, turns: number, console: Console): Promise<PlanResult> {
  const bar = createProgressBar(console);
  const part = 1 / (1 + turns);
  try {
    stopIfCancelled(console);
    const answer = await runPlan(job, {
      now: () => performance.now(),
      report: ({ progress }) => bar.show(part * progress.done, progress.says),
      isCancelled: () => console.signal.aborted,
    });
    if (answer.kind === "cancelled") throw new Cancelled("cancelled");
    return turns === 0 ? answer.result : await planTurns(job, answer.result, turns, bar, part, console);
  } finally {
    bar.end();
  }
}

async function planTurns(
  job: Job,
  result: PlanResult,
  count: number,
  bar: ProgressBar,
  part: number,
  console: Console,
): Promise<PlanResult> {
  const model = createTurns(job, result, count);
  const state = createTurnsState();
  const work = createTurnsWork();
  let paused = performance.now();
  while (!state.done) {
    stepTurns(model, state, work);
    if (performance.now() - paused < 30) continue;
    bar.show(part + (1 - part) * state.progress, state.says);
    await new Promise((resolve) => setImmediate(resolve));
    stopIfCancelled(console);
    paused = performance.now();
  }
  return withTurns(result, state.turns);
}
