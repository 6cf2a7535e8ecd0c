/**
 * What looking at all faults of a plan costs: `npx tsx bench/faults.ts [job.yaml]`.
 *
 * Prints, from one run: time on one core with its longest step, and over the threads of a pool with as many as there are cores; checks that
 * both gave the same. Times are this machine's; the ratio carries over.
 */
import { availableParallelism } from "node:os";
import { isDeepStrictEqual } from "node:util";
import { openJob } from "../apps/cli/read-files.ts";
import { runFaultsOnCores } from "../apps/worker/faults-on-cores.ts";
import { openPool } from "../apps/worker/open-pool.ts";
import { createFaultsState, createFaultsWork, readFaults, stateAt, stepFaults } from "../src/faults/index.ts";
import { createPlan, createPlanFaults, createPlanState, createPlanWork, readPlan, stepPlan } from "../src/plan/index.ts";

const path = process.argv[2] ?? "examples/valve-gallery/job.yaml";
const { job } = await openJob(path);
const plan = createPlan(job);
const planState = createPlanState(plan);
const planWork = createPlanWork(plan);
let start = performance.now();
while (planState.progress.stage !== "done") stepPlan(plan, planState, planWork);
const result = readPlan(plan, planState);
console.log(`${path}: ${result.verdict.answer}, ${result.wayIn.length} depths, planned in ${(performance.now() - start).toFixed(0)} ms`);
const model = createPlanFaults(plan, result);
if (model === undefined) throw new Error("The arm did not get in and out: nothing to fail on.");

start = performance.now();
const state = createFaultsState(model);
const work = createFaultsWork(model, plan.space);
const steps: number[] = [];
while (!state.done) {
  const from = performance.now();
  stepFaults(model, state, work);
  steps.push(performance.now() - from);
}
const alone = performance.now() - start;
steps.sort((a, b) => a - b);
const at = (share: number): string => (steps[Math.floor(share * (steps.length - 1))] ?? 0).toFixed(1);
console.log(
  `one core          ${alone.toFixed(0)} ms, ${steps.length} steps; ms a step: median ${at(0.5)}, 99 of 100 below ${at(0.99)}, longest ${at(1)}`,
);

const pool = openPool();
start = performance.now();
const ended = await runFaultsOnCores(job, result, pool, new AbortController().signal, () => undefined);
const spread = performance.now() - start;
pool.close();
const one = readFaults(model, [state]);
const same = ended.kind === "result" && isDeepStrictEqual(ended.result.faults, one);
console.log(
  `${availableParallelism()} cores           ${spread.toFixed(0)} ms, threads started within it: ${(alone / spread).toFixed(2)} times as fast; ${same ? "the same answers" : "OTHER ANSWERS"}`,
);

const deepest = result.wayIn.at(-1)?.depth ?? 0;
for (const kind of ["broken", "stalled", "locked", "released"] as const) {
  const findings = one.findings.filter((finding) => finding.kind === kind);
  const states = findings.map((finding) => stateAt(finding, deepest).state);
  const count = (wanted: string): number => states.filter((found) => found === wanted).length;
  console.log(
    `${kind.padEnd(17)} at the target: ${count("ok")} out, ${count("helped")} with help, ${count("stuck")} stuck, ${count("unknown")} unknown, of ${states.length}`,
  );
}
if (!same) process.exitCode = 1;
