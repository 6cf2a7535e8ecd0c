/**
 * What a whole plan costs: `npx tsx bench/plan.ts [job.yaml]`.
 *
 * Prints, from one run: time to the first route, each stage and its share, the longest single step, and how the cost of a depth
 * grows with the arm that is out (exponent of a fit). Times are this machine's; the shares and the exponent carry over.
 */
import { openJob } from "../apps/cli/read-files.ts";
import { createPlan, createPlanState, createPlanWork, stepPlan } from "../src/plan/index.ts";

const path = process.argv[2] ?? "examples/valve-gallery/job.yaml";
const rounds = 3;
const stages = ["route", "way in", "way out", "checks"] as const;

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] as number;
}

const { job } = await openJob(path);
const runs = Array.from({ length: rounds }, () => {
  const start = performance.now();
  const model = createPlan(job);
  const made = performance.now() - start;
  const state = createPlanState(model);
  const work = createPlanWork(model);
  const spent = new Map<string, number>();
  const depths: { depth: number; ms: number }[] = [];
  let longest = 0;
  let first = Number.NaN;
  let open = 0;
  while (state.progress.stage !== "done") {
    const { stage } = state.progress;
    const before = state.insertion?.wayIn.length ?? 0;
    const from = performance.now();
    stepPlan(model, state, work);
    const ms = performance.now() - from;
    spent.set(stage, (spent.get(stage) ?? 0) + ms);
    longest = Math.max(longest, ms);
    if (Number.isNaN(first) && state.route?.status === "found") first = performance.now() - start;
    open += ms;
    const records = state.insertion?.wayIn ?? [];
    if (stage === "way in" && records.length > before) {
      depths.push({ depth: records[records.length - 1]?.depth ?? 0, ms: open });
      open = 0;
    } else if (stage !== "way in") open = 0;
  }
  return { made, first, longest, spent, depths, total: performance.now() - start, answer: state.verdict?.answer };
});

const total = median(runs.map((run) => run.total));
console.log(`${path}: ${runs[0]?.answer}, median of ${rounds} plans`);
console.log(`whole plan        ${total.toFixed(0)} ms (${runs.map((run) => run.total.toFixed(0)).join(", ")})`);
console.log(`first route after ${median(runs.map((run) => run.first)).toFixed(0)} ms`);
console.log(`space made in     ${median(runs.map((run) => run.made)).toFixed(0)} ms`);
for (const stage of stages) {
  const ms = median(runs.map((run) => run.spent.get(stage) ?? 0));
  console.log(`${stage.padEnd(17)} ${ms.toFixed(0)} ms, ${((100 * ms) / total).toFixed(0)} % of the whole`);
}
console.log(`longest step      ${median(runs.map((run) => run.longest)).toFixed(0)} ms`);

// cost of one depth against the length that is out: slope of a straight line through the logarithms, shallow quarter left out
const points = (runs[rounds - 1]?.depths ?? []).slice(Math.floor((runs[rounds - 1]?.depths.length ?? 0) / 4));
const xs = points.map((p) => Math.log(p.depth));
const ys = points.map((p) => Math.log(p.ms));
const mx = xs.reduce((a, b) => a + b, 0) / xs.length;
const my = ys.reduce((a, b) => a + b, 0) / ys.length;
const slope = xs.reduce((sum, x, k) => sum + (x - mx) * ((ys[k] as number) - my), 0) / xs.reduce((sum, x) => sum + (x - mx) ** 2, 0);
console.log(`cost of a depth grows with the length out to the power ${slope.toFixed(2)} over ${points.length} depths`);
