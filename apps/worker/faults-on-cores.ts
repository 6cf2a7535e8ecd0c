/** All faults of a plan over the threads of a pool: what all need first, then the rest in shares; put together by their order, whoever was first. */
import { InputError } from "../../src/base/index.ts";
import { readFaults } from "../../src/faults/index.ts";
import type { Job } from "../../src/job/index.ts";
import { createPlan, createPlanFaults, type PlanResult, withFaults } from "../../src/plan/index.ts";
import type { FaultsAnswer, FaultsShare } from "./faults-task.ts";
import type { Pool } from "./pool.ts";
import type { RunAnswer } from "./run.ts";
import type { TaskEnd } from "./task.ts";

/** Shares a thread: small enough that none waits long for the last, large enough that what a share begins with is little of it. */
const sharesEach = 4;

/** @param report progress, 0 to 1, and which fault is looked at @throws InputError of the job */
export async function runFaultsOnCores(
  job: Job,
  result: PlanResult,
  pool: Pool,
  signal: AbortSignal,
  report: (done: number, says: string) => void,
): Promise<RunAnswer> {
  const plan = createPlan(job);
  const model = createPlanFaults(plan, result);
  if (model === undefined) return { kind: "result", result };
  const common = { job, result };
  const first = [...model.faults.keys()].filter((k) => (model.faults[k]?.cable ?? -1) < 0);
  const rest = [...model.faults.keys()].filter((k) => !first.includes(k));
  const shares = Math.min(rest.length, sharesEach * pool.cores);
  const inputs = Array.from({ length: shares }, (_, s): number[] => rest.filter((_, k) => k % shares === s));
  const part = first.length / model.faults.length;
  const run = (which: readonly FaultsShare[], from: number, to: number) => {
    const done = which.map(() => 0);
    return pool.run("faults", common, which, {
      signal,
      heard: (news) => {
        if (news.kind === "end") done[news.index] = 1;
        else if (news.kind === "progress") done[news.index] = news.done;
        else return;
        const mean = done.reduce((sum, share) => sum + share, 0) / done.length;
        report(from + (to - from) * mean, news.kind === "progress" ? news.says : "");
      },
    });
  };
  const [power] = answersOf(await run([{ which: first, shared: {} }], 0, part));
  if (power === undefined) return { kind: "cancelled" };
  const shared = {
    ...(power.locked === undefined ? {} : { locked: power.locked }),
    ...(power.limp === undefined ? {} : { limp: power.limp }),
  };
  const others = answersOf(
    await run(
      inputs.map((which) => ({ which, shared })),
      part,
      1,
    ),
  );
  if (others.length < inputs.length) return { kind: "cancelled" };
  return { kind: "result", result: withFaults(plan, result, readFaults(model, [power, ...others])) };
}

/** Those that are done. @throws what ended one otherwise than by a cancel */
function answersOf(ends: readonly TaskEnd<unknown, FaultsAnswer>[]): FaultsAnswer[] {
  return ends.flatMap((end) => {
    if (end.kind === "faults") throw new InputError(end.faults);
    if (end.kind === "failed") throw new Error(end.says);
    return end.kind === "done" ? [end.answer] : [];
  });
}
