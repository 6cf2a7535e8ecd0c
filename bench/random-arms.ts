/**
 * Random arms and loads: how many are answered and how, by each closure; what is left over by the independent computation; most steps.
 *
 *   npx tsx bench/random-arms.ts [cases] [first seed]
 */
import { fileURLToPath } from "node:url";
import {
  checkBalance,
  copyRodState,
  createRodState,
  createRodWork,
  type RodState,
  readFreeLengths,
  type SolveReport,
  slideCables,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../src/rod/index.ts";
import { roughCase, type Surroundings } from "../test/rod/random-surroundings.ts";

export const kinds: readonly [string, Surroundings][] = [
  ["bare arm, gravity, forces, wrenches", {}],
  ["cables rub", { friction: true }],
  ["cables rub, in fluid", { friction: true, fluid: true }],
  ["cables rub, in fluid, rods soften, joints on their stops", { friction: true, fluid: true, soft: true, stops: true }],
  ["cables rub, in fluid, the base gives", { friction: true, fluid: true, base: true }],
  ["cables rub, in fluid, among walls", { friction: true, fluid: true, walls: true }],
];

const closures = ["held", "held, cables slid", "lengths locked", "lengths locked, cold", "tensions, cold"] as const;

/** Answers of one closure. */
interface Tally {
  asked: number;
  stable: number;
  slack: number;
  buckled: number;
  none: number;
  /** N m */
  left: number;
  steps: number;
}

/** Table rows: kind, closure, asked, stable, slack, buckled, without an answer, most left over, most steps. */
export function tellRandomArms(cases: number, first: number): string[][] {
  return kinds.flatMap(([name, what]) => {
    const tallies = closures.map((): Tally => ({ asked: 0, stable: 0, slack: 0, buckled: 0, none: 0, left: 0, steps: 0 }));
    for (let seed = first; seed < first + cases; seed++) solveCase(seed, what, tallies);
    return tallies.map(({ asked, stable, slack, buckled, none, left, steps }, n) => {
      return [
        name,
        closures[n] as string,
        ...[asked, stable, slack, buckled, none].map(String),
        `${left.toExponential(1)} N m`,
        String(steps),
      ];
    });
  });
}

function solveCase(seed: number, what: Surroundings, tallies: readonly Tally[]): void {
  const { arm, load, stance, bend } = roughCase(seed, what);
  const work = createRodWork(arm);
  const state = createRodState(arm);
  const count = (n: number, report: SolveReport, at: RodState): boolean => {
    const tally = tallies[n] as Tally;
    tally.asked++;
    tally.steps = Math.max(tally.steps, report.iterations);
    if (report.status === "not-converged" || report.status === "jammed") {
      tally.none++;
      return false;
    }
    tally[report.status]++;
    tally.left = Math.max(tally.left, checkBalance(arm, load, stance, at));
    return true;
  };
  if (!count(0, solveHeld(arm, load, stance, bend, state, work), state)) return;
  slideCables(arm, state, work);
  if (!count(1, solveHeld(arm, load, stance, bend, state, work), state)) return;
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work, free);
  const locked = copyRodState(state);
  count(2, solveLocked(arm, load, stance, free, locked, work), locked);
  const cold = createRodState(arm);
  cold.grip.set(state.grip);
  count(3, solveLocked(arm, load, stance, free, cold, work), cold);
  const kept = createRodState(arm);
  kept.grip.set(state.grip);
  kept.tension.set(state.tension);
  count(4, solveTensions(arm, load, stance, kept, work), kept);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const cases = Number(process.argv[2] ?? 200);
  const first = Number(process.argv[3] ?? 0);
  const head = ["", "", "asked", "stable", "slack", "buckled", "no answer", "most left over", "most steps"];
  const rows = [head, ...tellRandomArms(cases, first)];
  const widths = head.map((_, k) => Math.max(...rows.map((row) => (row[k] as string).length)));
  for (const row of rows)
    console.log(row.map((cell, k) => (k < 2 ? cell.padEnd(widths[k] as number) : cell.padStart(widths[k] as number))).join("  "));
}
