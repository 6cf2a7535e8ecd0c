/** Plans a job, and the changed arms that were asked for, with progress; ends when told to. */
import { availableParallelism } from "node:os";
import { type Fault, InputError } from "../../src/base/index.ts";
import type { Job } from "../../src/job/index.ts";
import type { OfferedRoute, PlanResult, PlanState } from "../../src/plan/index.ts";
import { runFaultsOnCores } from "../worker/faults-on-cores.ts";
import { openPool } from "../worker/open-pool.ts";
import { type RunAnswer, runFaults, runPlan, runRoutes, runSeek, runTurns } from "../worker/run.ts";
import { Cancelled, type Console, stopIfCancelled } from "./console.ts";
import { createProgressBar } from "./show-progress.ts";

/** Routes sought unless a higher number is asked for. */
export const routesSought = 4;

/** @param most routes wanted @returns none where no route meets any demand @throws InputError, Cancelled */
export async function seekRoutes(job: Job, most: number, console: Console): Promise<readonly OfferedRoute[]> {
  const bar = createProgressBar(console);
  try {
    stopIfCancelled(console);
    const offers = await runRoutes(job, most, {
      now: () => performance.now(),
      isCancelled: () => console.signal.aborted,
      report: (progress, says) => bar.show(progress, says),
    });
    if (offers === undefined) throw new Cancelled("cancelled");
    return offers;
  } finally {
    bar.end();
  }
}

/** The offered route of a number. @throws InputError `command.option` */
export function pickRoute(offers: readonly OfferedRoute[], number: number): OfferedRoute {
  const picked = offers.find((offer) => offer.number === number && offer.route.status === "found");
  if (picked !== undefined) return picked;
  const found = offers.filter(({ route }) => route.status === "found").length;
  const fault: Fault = {
    code: "command.option",
    path: "--route",
    problem: `is ${number}, and ${found === 0 ? "no route was" : found === 1 ? "one route was" : `${found} routes were`} found.`,
    hint:
      found === 0 ? "Leave it out to be told what stands in the way." : `Give 1${found > 1 ? ` to ${found}` : ""}; --routes lists them.`,
  };
  throw new InputError([fault]);
}

export interface PlanMore {
  /** how many changes of the arm to plan again */
  readonly turns: number;
  /** whether to look at what may fail */
  readonly faults: boolean;
  /** whether to look for the smallest change that would do, where the plan is no go */
  readonly seek: boolean;
}

/**
 * @param given the offered route to plan by, and all that were offered
 * @throws InputError, Cancelled
 */
export async function planJob(
  job: Job,
  { turns, faults, seek }: PlanMore,
  console: Console,
  given?: { readonly route: OfferedRoute; readonly routes: readonly OfferedRoute[] },
): Promise<PlanResult> {
  const bar = createProgressBar(console);
  const part = 1 / (1 + turns + (faults ? 1 : 0) + (seek ? 8 : 0));
  const caller = { now: () => performance.now(), isCancelled: () => console.signal.aborted };
  try {
    stopIfCancelled(console);
    const news = { ...caller, report: ({ progress }: PlanState) => bar.show(part * progress.done, progress.says) };
    const made = resultOf(await runPlan(job, news, given?.route));
    let plan = given === undefined ? made : { ...made, routes: given.routes };
    let done = part;
    if (faults) {
      plan = resultOf(await lookAtFaults(job, plan, console, (progress, says) => bar.show(done + part * progress, says)));
      done += part;
    }
    if (turns > 0) {
      const share = turns * part;
      plan = resultOf(await runTurns(job, plan, turns, { ...caller, report: (progress, says) => bar.show(done + share * progress, says) }));
      done += share;
    }
    if (!seek) return plan;
    return resultOf(await runSeek(job, plan, { ...caller, report: (progress, says) => bar.show(done + (1 - done) * progress, says) }));
  } finally {
    bar.end();
  }
}

/**
 * Shapes from which threads are started: every one makes the walls and the planned shapes anew. At 2800 (the valve gallery, 14 s on one core) two
 * threads took longer than one (bench/faults.ts, on a busy machine).
 */
const fewShapes = 6000;

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
