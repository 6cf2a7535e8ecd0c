/** Shares long batches out over the cores of this machine. For Node alone. */
import { createRequire } from "node:module";
import { fileURLToPath, pathToFileURL } from "node:url";
import { Piscina } from "piscina";
import { type Fault, InputError } from "../../src/base/index.ts";
import { createLoadAnswers, type LoadAnswers, type LoadBatch, solveLoads } from "./solve-loads.ts";

export interface ManyCoresCaller {
  /** threads, >= 1: more than the machine has cores gains nothing */
  readonly cores: number;
  /** ends the batch: the promise is rejected by the signal's reason */
  readonly signal?: AbortSignal;
  /** called after each share, with how many loads are done */
  report?(done: number, of: number): void;
}

/** What a thread sends back: faults as data, which lose nothing on the way. */
export type ShareAnswer =
  | { readonly kind: "answers"; readonly answers: LoadAnswers }
  | { readonly kind: "faults"; readonly faults: readonly Fault[] };

/** Loads a thread takes at once: enough that making the arm and its reference balance is a hundredth, few enough that the last ones to end wait little. */
const share = 200;

/**
 * Each answer depends on its load alone: the same bits in the same order, however many cores there are.
 *
 * @throws InputError as `solveLoads`
 */
export async function solveLoadsOn(batch: LoadBatch, { cores, signal, report }: ManyCoresCaller): Promise<LoadAnswers> {
  const { loads } = batch;
  // what is wrong with the arm or the reference is said once
  const first = solveLoads({ ...batch, loads: [] });
  const cables = batch.arm.sections.reduce((sum, section) => sum + section.cableAngles.length, 0);
  const whole = createLoadAnswers(loads.length, cables);
  whole.reference = first.reference;
  const faults: Fault[] = [];
  const pool = new Piscina({ ...threads(), minThreads: cores, maxThreads: cores, concurrentTasksPerWorker: 1 });
  let done = 0;
  const solveShare = async (from: number): Promise<void> => {
    const part = { ...batch, loads: loads.slice(from, from + share) };
    const answer = (await pool.run(part, signal === undefined ? {} : { signal })) as ShareAnswer;
    if (answer.kind === "faults") for (const fault of answer.faults) faults.push({ ...fault, path: counted(fault.path, from) });
    else putShare(whole, answer.answers, from, cables);
    done += part.loads.length;
    report?.(done, loads.length);
  };
  try {
    const starts = Array.from({ length: Math.ceil(loads.length / share) }, (_, k) => share * k);
    await Promise.all(starts.map(solveShare));
  } catch (error) {
    throw signal?.aborted ? signal.reason : error;
  } finally {
    await pool.destroy();
  }
  if (faults.length > 0) throw new InputError(faults.sort((a, b) => indexOf(a.path) - indexOf(b.path)));
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

const counting = /^loads\[(\d+)\]/;

function indexOf(path: string): number {
  return Number(counting.exec(path)?.[1] ?? -1);
}

function counted(path: string, from: number): string {
  return path.replace(counting, (_, k) => `loads[${from + Number(k)}]`);
}

/** The thread's file beside this one; from the sources it is read as they are. */
function threads(): { filename: string; execArgv?: string[] } {
  const source = import.meta.url.endsWith(".ts");
  const filename = fileURLToPath(new URL(source ? "./solve-share.ts" : "./solve-share.js", import.meta.url));
  if (!source) return { filename };
  return { filename, execArgv: ["--import", pathToFileURL(createRequire(import.meta.url).resolve("tsx")).href] };
}
