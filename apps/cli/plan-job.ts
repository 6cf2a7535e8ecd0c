/** Plans a job, and the changed arms that were asked for, with progress; ends when told to. */
import type { Job } from "../../src/job/index.ts";
import type { PlanResult } from "../../src/plan/index.ts";
import { type RunAnswer, runPlan, runSeek, runTurns } from "../worker/run.ts";
import { Cancelled, type Console, stopIfCancelled } from "./console.ts";
import { createProgressBar } from "./show-progress.ts";

export interface PlanMore {
  /** how many changes of the arm to plan again */
  readonly turns: number;
  /** whether to look for the smallest change that would do, where the plan is no go */
  readonly seek: boolean;
}

/** @throws InputError, Cancelled */
export async function planJob(job: Job, { turns, seek }: PlanMore, console: Console): Promise<PlanResult> {
  const bar = createProgressBar(console);
  const part = seek ? 0.1 : 1 / (1 + turns);
  const caller = { now: () => performance.now(), isCancelled: () => console.signal.aborted };
  const after = { ...caller, report: (progress: number, says: string) => bar.show(part + (1 - part) * progress, says) };
  try {
    stopIfCancelled(console);
    const plan = resultOf(await runPlan(job, { ...caller, report: ({ progress }) => bar.show(part * progress.done, progress.says) }));
    const tried = turns === 0 ? plan : resultOf(await runTurns(job, plan, turns, after));
    return seek ? resultOf(await runSeek(job, tried, after)) : tried;
  } finally {
    bar.end();
  }
}

function resultOf(answer: RunAnswer): PlanResult {
  if (answer.kind === "cancelled") throw new Cancelled("cancelled");
  return answer.result;
}
