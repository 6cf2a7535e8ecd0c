/** `withy rack`: every arm of a folder against a job, on all cores. */
import { refuse } from "../../src/base/index.ts";
import type { Job } from "../../src/job/index.ts";
import { type RackArm, type RackEntry, type RackState, sortRack } from "../../src/study/index.ts";
import { openPool } from "../worker/open-pool.ts";
import { type CommonOptions, type Console, stopIfCancelled } from "./console.ts";
import { exitCodeOf, exitCodes } from "./exit-codes.ts";
import { createKeeper, type Keeper, type Kept, readKept } from "./keep-rack.ts";
import { openJob } from "./read-files.ts";
import { readRack } from "./read-rack.ts";
import { rackData, sayRack } from "./say-rack.ts";
import { createProgressBar } from "./show-progress.ts";
import { checkPlace } from "./write-whole.ts";

export interface RackOptions extends CommonOptions {
  readonly out?: string;
  readonly resume?: boolean;
  readonly cores?: number;
}

/** Milliseconds between two states kept of a plan under way. */
const keepEvery = 10_000;

/** A cancel leaves what is done: it is printed, and written where `out` says. */
export async function rack(path: string, folder: string, options: RackOptions, console: Console): Promise<number> {
  if (options.resume && options.out === undefined) {
    const hint = "Give the --out folder that the run before wrote to.";
    refuse([{ code: "command.option", path: "--resume", problem: "does not say from where.", hint }]);
  }
  const { job } = await openJob(path, console.signal);
  const { arms, faulty } = readRack(folder, path);
  if (options.out !== undefined) checkPlace(options.out);
  for (const remark of job.remarks) console.err(`Note: ${remark}\n`);
  stopIfCancelled(console);
  const nothing: Kept = { entries: arms.map(() => undefined), states: arms.map(() => undefined) };
  const kept = options.resume && options.out !== undefined ? readKept(options.out, job, arms) : nothing;
  const keeper = options.out === undefined ? undefined : createKeeper(options.out, job, arms, console);
  const planned = await planRack(job, arms, kept, { faulty, ...(keeper === undefined ? {} : { keeper }) }, options.cores, console);
  const entries = sortRack([...planned, ...faulty]);
  const written = (await keeper?.settle()) ?? [];
  if (options.json) console.out(`${JSON.stringify(rackData(job, entries, written), null, 2)}\n`);
  else {
    console.out(sayRack(job, entries, options.units));
    if (written.length > 0) console.out(`\nWritten: ${written.join(", ")}\n`);
  }
  return console.signal.aborted ? exitCodes.cancelled : exitCodeOfRack(entries);
}

interface Beside {
  readonly faulty: readonly RackEntry[];
  readonly keeper?: Keeper;
}

/** [arm] what became of each, in the order given. */
async function planRack(
  job: Job,
  arms: readonly RackArm[],
  kept: Kept,
  { faulty, keeper }: Beside,
  cores: number | undefined,
  console: Console,
): Promise<RackEntry[]> {
  const entries = arms.map(({ file, loaded }, k): RackEntry => kept.entries[k] ?? { kind: "waiting", file, arm: loaded.arm.name });
  const open = arms.map((_, k) => k).filter((k) => kept.entries[k] === undefined);
  const all = (): RackEntry[] => [...entries, ...faulty];
  if (open.length === 0) {
    keeper?.keepEnd(undefined, undefined, all());
    return entries;
  }
  const pool = openPool(cores);
  const bar = createProgressBar(console);
  const done = arms.map((_, k): number => (open.includes(k) ? 0 : 1));
  const show = (says: string): void => bar.show(done.reduce((sum, value) => sum + value, 0) / done.length, says);
  const states = open.map((k): RackState | undefined => kept.states[k]);
  try {
    await pool.run(
      "rack",
      job,
      open.map((k) => arms[k] as RackArm),
      {
        signal: console.signal,
        saved: states,
        ...(keeper === undefined ? {} : { saveEvery: keepEvery }),
        heard(news) {
          const k = open[news.index] as number;
          const { file, loaded } = arms[k] as RackArm;
          if (news.kind === "progress") {
            done[k] = news.done;
            show(news.says);
          } else if (news.kind === "saved") keeper?.keepState(k, news.saved);
          else if (news.kind === "lost") console.err(`${file}: its thread ended (${news.says}); it is begun once more.\n`);
          else {
            const { end } = news;
            if (end.kind === "stopped") {
              if (end.saved !== undefined) keeper?.keepState(k, end.saved);
              return;
            }
            done[k] = 1;
            show(`${loaded.arm.name}: done.`);
            if (end.kind === "done") entries[k] = end.answer.entry;
            else if (end.kind === "faults") entries[k] = { kind: "faulty", file, arm: loaded.arm.name, faults: end.faults };
            else entries[k] = { kind: "failed", file, arm: loaded.arm.name, says: end.says };
            keeper?.keepEnd(k, end.kind === "done" ? end.answer.result : undefined, all());
          }
        },
      },
    );
  } finally {
    bar.end();
    pool.close();
  }
  if (console.signal.aborted) keeper?.keepEnd(undefined, undefined, all());
  return entries;
}

/** Of the best arm: a rack with one that goes is a go. */
function exitCodeOfRack(entries: readonly RackEntry[]): number {
  const answers = entries.flatMap((entry) => (entry.kind === "planned" ? [entry.answer] : []));
  if (entries.some(({ kind }) => kind === "failed")) return exitCodes.bug;
  if (answers.length === 0) return exitCodes.badInput;
  const codes = answers.map(exitCodeOf);
  if (codes.includes(exitCodes.go)) return exitCodes.go;
  return codes.includes(exitCodes.undecided) ? exitCodes.undecided : exitCodes.noGo;
}
