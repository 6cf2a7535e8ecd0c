/** Plans a job, and the changed arms that were asked for, with progress; ends when told to. */
import { availableParallelism } from "node:os";
import type { Job } from "../../src/job/index.ts";
import type { PlanResult } from "../../src/plan/index.ts";
import { runFaultsOnCores } from "../worker/faults-on-cores.ts";
import { openPool } from "../worker/open-pool.ts";
import { type RunAnswer, runFaults, runPlan, runTurns } from "../worker/run.ts";
import { Cancelled, type Console, stopIfCancelled } from "./console.ts";
import { createProgressBar } from "./show-progress.ts";

/**
 * @param turns how many changes of the arm to plan again
 * @param faults whether to look at what may fail
 * @throws InputError, Cancelled
 */
export async function planJob(job: Job, turns: number, faults: boolean, console: Console): Promise<PlanResult> {
  const bar = createProgressBar(console);
  const part = 1 / (1 + turns + (faults ? 1 : 0));
  const caller = { now: () => performance.now(), isCancelled: () => console.signal.aborted };
  try {
    stopIfCancelled(console);
    let plan = resultOf(await runPlan(job, { ...caller, report: ({ progress }) => bar.show(part * progress.done, progress.says) }));
    let done = part;
    if (faults) {
      plan = resultOf(await lookAtFaults(job, plan, console, (progress, says) => bar.show(done + part * progress, says)));
      done += part;
    }
    if (turns === 0) return plan;
    return resultOf(
      await runTurns(job, plan, turns, { ...caller, report: (progress, says) => bar.show(done + (1 - done) * progress, says) }),
    );
  } finally {
    bar.end();
  }
}

/** Shapes at which a thread more begins to pay: below it, starting threads takes longer than what they save. */
const fewShapes = 1500;

/** On all cores where there is enough to do. */
async function lookAtFaults(
  job: Job,
  plan: PlanResult,
  console: Console,
  report: (done: number, says: string) => void,
): Promise<RunAnswer> {
  const cables = job.arm.sections.reduce((sum, section) => sum + section.cableAngles.length, 0);
  if (availableParallelism() === 1 || 2 * cables * plan.wayIn.length < fewShapes)
    return runFaults(job, plan, { now: () => performance.now(), isCancelled: () => console.signal.aborted, report });
  const pool = openPool();
  try {
    return await runFaultsOnCores(job, plan, pool, console.signal, report);
  } finally {
    pool.close();
  }
}

function resultOf(answer: RunAnswer): PlanResult {
  if (answer.kind === "cancelled") throw new Cancelled("cancelled");
  return answer.result;
}
