/** Loads on one arm shared out over the threads of a pool. */
import { type Fault, InputError } from "../../src/base/index.ts";
import type { Pool } from "./pool.ts";
import { createLoadAnswers, type LoadAnswers, type LoadBatch, solveLoads } from "./solve-loads.ts";

export { openPool } from "./open-pool.ts";
export type { Pool } from "./pool.ts";

export interface ManyCoresCaller {
  /** kept by the caller: the next batch starts warm */
  readonly pool: Pool;
  /** ends the batch: the promise is rejected by the signal's reason */
  readonly signal?: AbortSignal;
  /** called after each share, with how many loads are done */
  report?(done: number, of: number): void;
}

/** Loads a thread takes at once: enough that handing them over is nothing, few enough that the last ones to end wait little. */
const share = 50;

/**
 * Each answer depends on its load alone: the same bits in the same order, however many cores there are.
 *
 * @throws InputError as `solveLoads`; Error when a thread failed
 */
export async function solveLoadsOn(batch: LoadBatch, { pool, signal, report }: ManyCoresCaller): Promise<LoadAnswers> {
  const { loads, ...common } = batch;
  // what is wrong with the arm or the reference is said once
  const first = solveLoads({ ...batch, loads: [] });
  const cables = batch.arm.sections.reduce((sum, section) => sum + section.cableAngles.length, 0);
  const whole = createLoadAnswers(loads.length, cables);
  whole.reference = first.reference;
  const shares = Array.from({ length: Math.ceil(loads.length / share) }, (_, k) => {
    return { from: share * k, loads: loads.slice(share * k, share * (k + 1)) };
  });
  let done = 0;
  const ends = await pool.run("loads", common, shares, {
    ...(signal === undefined ? {} : { signal }),
    heard(news) {
      if (news.kind !== "end" || news.end.kind === "stopped") return;
      done += shares[news.index]?.loads.length ?? 0;
      report?.(done, loads.length);
    },
  });
  const faults: Fault[] = [];
  ends.forEach((end, k) => {
    if (end.kind === "done") putShare(whole, end.answer, share * k, cables);
    else if (end.kind === "faults") faults.push(...end.faults);
    else if (end.kind === "failed") throw new Error(end.says);
    else throw signal?.reason ?? new Error("The pool was closed.");
  });
  if (faults.length > 0) throw new InputError(faults);
  return whole;
}

function putShare(whole: LoadAnswers, part: LoadAnswers, from: number, cables: number): void {
  part.status.forEach((status, k) => {
    whole.status[from + k] = status;
  });
  whole.tip.set(part.tip, 12 * from);
  whole.tension.set(part.tension, cables * from);
  whole.iterations.set(part.iterations, from);
}
