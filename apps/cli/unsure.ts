/** `withy unsure`: what a plan's margins come to when what is not surely known of arm, port and job is drawn at random. */
import { openJobSource } from "../../src/job/index.ts";
import { type DrawAnswer, gatherDraws, listUnknowns } from "../../src/study/index.ts";
import { openPool } from "../worker/open-pool.ts";
import { type CommonOptions, type Console, stopIfCancelled } from "./console.ts";
import { exitCodeOf, exitCodes } from "./exit-codes.ts";
import { planJob } from "./plan-job.ts";
import { openJob } from "./read-files.ts";
import { sayUnsure } from "./say-unsure.ts";
import { sayVerdict } from "./say-verdict.ts";
import { createProgressBar } from "./show-progress.ts";
import { checkPlace, writeWhole } from "./write-whole.ts";

export interface UnsureOptions extends CommonOptions {
  readonly draws: number;
  readonly seed: number;
  readonly anew?: boolean;
  readonly cores?: number;
  readonly out?: string;
}

/** A cancel gives what was drawn so far. Ends with the plan's own code when there are no commands to drive. */
export async function unsure(path: string, options: UnsureOptions, console: Console): Promise<number> {
  const { job, main, files } = await openJob(path, console.signal);
  if (options.out !== undefined) checkPlace(options.out);
  for (const remark of job.remarks) console.err(`Note: ${remark}\n`);
  const source = openJobSource(main, files);
  const unknowns = listUnknowns(job, source);
  const result = await planJob(job, { turns: 0, faults: false, seek: false }, console);
  const mode = options.anew ? "anew" : "held";
  const { verdict } = result;
  if (mode === "held" && (result.wayOut.length === 0 || result.wayOut.length < result.wayIn.length)) {
    console.err("The plan did not get in and out again: it has no commands to drive. --anew plans every draw by itself.\n");
    if (options.json) console.out(`${JSON.stringify({ job: result.job, answer: verdict.answer, says: verdict.says }, null, 2)}\n`);
    else console.out(sayVerdict(result, options.units));
    return exitCodeOf(verdict.answer);
  }
  if (mode === "held" && (result.visits?.length ?? 0) > 1)
    console.err(`Note: the draws drive the way to the first target alone (${job.target.name}).\n`);
  const answers: DrawAnswer[] = [];
  const pool = openPool(options.cores);
  const bar = createProgressBar(console);
  try {
    stopIfCancelled(console);
    const indices = Array.from({ length: options.draws }, (_, k) => k);
    const ends = await pool.run("draw", { main, files, result, seed: options.seed, mode }, indices, {
      signal: console.signal,
      heard(news) {
        if (news.kind === "end" && news.end.kind === "done") answers.push(news.end.answer);
        if (news.kind === "lost") console.err(`Draw ${news.index}: its thread ended (${news.says}); it is begun once more.\n`);
        bar.show(answers.length / indices.length, `${answers.length} of ${indices.length} draws.`);
      },
    });
    const failed = ends.find((end) => end.kind === "failed");
    if (failed?.kind === "failed") throw new Error(failed.says);
  } finally {
    bar.end();
    pool.close();
  }
  if (answers.length === 0) stopIfCancelled(console);
  const found = gatherDraws(result, unknowns.list, { mode, seed: options.seed }, answers);
  const written =
    options.out === undefined
      ? []
      : await writeWhole(options.out, [{ name: "unsure.json", content: `${JSON.stringify(found)}\n` }], {
          ...console,
          signal: new AbortController().signal,
        });
  // numbers that are not finite are null: docs/unsure-json.md
  if (options.json) console.out(`${JSON.stringify({ ...found, written }, null, 2)}\n`);
  else {
    console.out(sayUnsure(found, verdict.answer, options.draws, options.units));
    if (written.length > 0) console.out(`\nWritten: ${written.join(", ")}\n`);
  }
  return console.signal.aborted ? exitCodes.cancelled : exitCodeOf(verdict.answer);
}
