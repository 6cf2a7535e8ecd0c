/** Plans a job, and the changed arms that were asked for, with progress; ends when told to. */
import type { Job } from "../../src/job/index.ts";
import type { PlanResult } from "../../src/plan/index.ts";
import { type RunAnswer, runPlan, runTurns } from "../worker/run.ts";
import { Cancelled, type Console, stopIfCancelled } from "./console.ts";
import { createProgressBar } from "./show-progress.ts";

/** @param turns how many changes of the arm to plan again @throws InputError, Cancelled */
export async function planJob(job: Job, turns: number, console: Console): Promise<PlanResult> {
  const bar = createProgressBar(console);
  const part = 1 / (1 + turns);
  const caller = { now: () => performance.now(), isCancelled: () => console.signal.aborted };
  try {
    stopIfCancelled(console);
    const plan = resultOf(await runPlan(job, { ...caller, report: ({ progress }) => bar.show(part * progress.done, progress.says) }));
    if (turns === 0) return plan;
    return resultOf(
      await runTurns(job, plan, turns, { ...caller, report: (progress, says) => bar.show(part + (1 - part) * progress, says) }),
    );
  } finally {
    bar.end();
  }
}

function resultOf(answer: RunAnswer): PlanResult {
  if (answer.kind === "cancelled") throw new Cancelled("cancelled");
  return answer.result;
}
