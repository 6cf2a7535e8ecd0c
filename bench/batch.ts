/**
 * A batch of loads on one arm over one core and over two: `npx tsx bench/batch.ts [loads] [rounds] [--built]`, 10 000 loads by default. With
 * --built the code of dist/ is run (`npm run build` first): threads that compile the sources for themselves take most of a second longer to start.
 *
 * Alternates the two in one process, prints solves a second and the efficiency (throughput on two over twice that on one), and checks that both
 * give the same bits. The machine must be otherwise idle for the wall clock to say anything: how busy the others keep it is printed beside it,
 * with the efficiency by the threads' own processor time (what one core spends on a batch over what two spend on it), which they disturb less.
 */
import { readFileSync } from "node:fs";
import { availableParallelism } from "node:os";
import type { Pool } from "../apps/worker/many-cores.ts";
import type { LoadAnswers, LoadBatch } from "../apps/worker/solve-loads.ts";
import { createRandom } from "../src/base/index.ts";
import type { Load } from "../src/rod/index.ts";
import { twinArm } from "../test/rod/twin.ts";

const built = process.argv.includes("--built");
const [count = 10_000, rounds = 3] = process.argv
  .slice(2)
  .filter((word) => word !== "--built")
  .map(Number);
const door = new URL(built ? "../dist/apps/worker/many-cores.js" : "../apps/worker/many-cores.ts", import.meta.url);
const { openPool, solveLoadsOn } = (await import(door.href)) as typeof import("../apps/worker/many-cores.ts");
const random = createRandom(1);
const gravity: Load["gravity"] = [0, 0, -9.81];
const loads = Array.from({ length: count }, (): Load => {
  const force = [0, 1, 2].map(() => random() - 0.5) as [number, number, number];
  return { gravity, forces: [{ vertebra: 96, force, at: [0, 0, 0] }] };
});
const batch: LoadBatch = {
  arm: twinArm({ sections: 8, spans: 12 }),
  stance: { base: Float64Array.of(0, 0, 1, 0, -1, 0, 1, 0, 0, 0, 0, 0), exit: 0 },
  bend: Float64Array.from({ length: 16 }, (_, k) => 0.3 * Math.sin(1.3 * k)),
  reference: { gravity, forces: [] },
  drives: "held",
  loads,
};

/** Kept: threads start and compile once. */
const pools = [openPool(1), openPool(2)];

/** Jiffies that all processors of the machine have worked and idled; none where the system does not tell. */
function readMachine(): { busy: number; all: number } | undefined {
  try {
    const numbers = (readFileSync("/proc/stat", "utf8").split("\n")[0] as string).trim().split(/\s+/).slice(1, 9).map(Number);
    const all = numbers.reduce((sum, v) => sum + v, 0);
    return { busy: all - (numbers[3] as number) - (numbers[4] as number), all };
  } catch {
    return undefined;
  }
}

async function run(cores: number): Promise<{ seconds: number; processor: number; others: number; answers: LoadAnswers }> {
  const machine = readMachine();
  const used = process.cpuUsage();
  const start = performance.now();
  const answers = await solveLoadsOn(batch, { pool: pools[cores - 1] as Pool });
  const seconds = (performance.now() - start) / 1000;
  const { user, system } = process.cpuUsage(used);
  const processor = (user + system) / 1e6;
  const now = readMachine();
  const share = machine === undefined || now === undefined ? Number.NaN : (now.busy - machine.busy) / (now.all - machine.all);
  return { seconds, processor, others: share * availableParallelism() - processor / seconds, answers };
}

const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] as number;
const rates: [number[], number[]] = [[], []];
const spent: [number[], number[]] = [[], []];
let truth: LoadAnswers | undefined;
const cold = await run(2);
const alone = await run(1);
console.log(
  `threads just started: 1 core ${(count / alone.seconds).toFixed(0)} a second, 2 cores ${(count / cold.seconds).toFixed(0)} a second; efficiency ` +
    `${((100 * alone.seconds) / (2 * cold.seconds)).toFixed(0)} % by the clock, ${((100 * alone.processor) / cold.processor).toFixed(0)} % by processor time`,
);
for (let round = 0; round < rounds; round++) {
  for (const cores of round % 2 === 0 ? [1, 2] : [2, 1]) {
    const { seconds, processor, others, answers } = await run(cores);
    truth ??= answers;
    const same = answers.tip.every((v, k) => Object.is(v, (truth as LoadAnswers).tip[k])) && answers.status.join() === truth.status.join();
    if (!same) throw new Error(`${cores} cores answer otherwise`);
    rates[cores - 1]?.push(count / seconds);
    spent[cores - 1]?.push(processor);
    console.log(
      `${cores} core${cores === 1 ? " " : "s"}: ${count} solves in ${seconds.toFixed(2)} s, ${(count / seconds).toFixed(0)} a second; ` +
        `${processor.toFixed(2)} s of processor, others ${others.toFixed(2)} cores meanwhile`,
    );
  }
}
const balanced = (truth as LoadAnswers).status.filter((status) => status === "stable" || status === "slack").length;
const steps = (truth as LoadAnswers).iterations.reduce((sum, v) => sum + v, 0) / count;
console.log(`${balanced} of ${count} balanced, ${steps.toFixed(1)} steps each; the same bits either way`);
console.log(
  `the next batches on the same threads: efficiency by the clock: ${((100 * median(rates[1])) / (2 * median(rates[0]))).toFixed(0)} % (medians of ${rounds})`,
);
for (const pool of pools) pool.close();
console.log(`efficiency by processor time: ${((100 * median(spent[0])) / median(spent[1])).toFixed(0)} %`);
