/** Draws -> margins as ranges, the chance of trouble, and what matters most. Gathered in the order of the draws, whoever made them. */
import { type PlanResult, version } from "../plan/index.ts";
import { readMargin } from "../verdict/index.ts";
import type { DrawAnswer, DrawModel, DrawnMargin } from "./draw-truth.ts";
import type { Unknown } from "./list-unknowns.ts";
import { type Chance, chanceOf, quantileOf, ranksOf, type Weight, weighOne } from "./weigh.ts";

/** How much one unknown matters for one margin. */
export interface Mattering extends Weight {
  readonly name: string;
}

/** One margin over all draws that tell it. Plain data. */
export interface MarginRange {
  readonly id: string;
  readonly title: string;
  readonly unit: DrawnMargin["unit"];
  readonly atLeast: boolean;
  /** the operator trims it by the tip's camera: counted in no trouble */
  readonly trimmed: boolean;
  /** as the plan has it, with tolerances and friction at their worst; NaN where the plan does not tell it */
  readonly planned: { readonly found: number; readonly allowed: number; readonly use: number };
  /** 5 %, 50 % and 95 % of the draws find less */
  readonly found: readonly [number, number, number];
  readonly use: readonly [number, number, number];
  /** how often it is passed, of the draws that tell it */
  readonly over: Chance;
  /** those that matter most first; only those above what chance alone would give */
  readonly matters: readonly Mattering[];
}

export interface UnsureResult {
  readonly version: 1;
  readonly withy: string;
  readonly job: string;
  readonly arm: string;
  readonly inputs: PlanResult["inputs"];
  readonly mode: DrawModel["mode"];
  readonly seed: number;
  /** draws made */
  readonly draws: number;
  readonly unknowns: readonly Unknown[];
  readonly holds: number;
  /** margins are passed for certain */
  readonly trouble: Chance;
  /** the same with every draw that is not known counted as trouble */
  readonly troubleAtMost: Chance;
  /** why draws are not known, and how many each */
  readonly notKnown: readonly { readonly says: string; readonly count: number }[];
  /** of the worst use of any margin */
  readonly matters: readonly Mattering[];
  /** worst by their 95 % use first */
  readonly margins: readonly MarginRange[];
}

/** @param answers  in any order */
export function gatherDraws(
  result: Pick<PlanResult, "job" | "arm" | "inputs" | "verdict">,
  unknowns: readonly Unknown[],
  { mode, seed }: Pick<DrawModel, "mode" | "seed">,
  answers: readonly DrawAnswer[],
): UnsureResult {
  const draws = [...answers].sort((a, b) => a.index - b.index);
  const count = (outcome: DrawAnswer["outcome"]): number => draws.filter((draw) => draw.outcome === outcome).length;
  const [over, lost] = [count("over"), count("unknown")];
  const ids = [...new Set(draws.flatMap(({ margins }) => margins.map(({ id }) => id)))];
  const margins = ids.map((id) => rangeOf(id, draws, unknowns, result));
  const use = ({ use, trimmed }: MarginRange): number => (trimmed ? -1 : Number.isNaN(use[2]) ? Number.POSITIVE_INFINITY : use[2]);
  const told = draws.filter(({ margins }) => margins.some(isCounted));
  return {
    version: 1,
    withy: version,
    job: result.job,
    arm: result.arm,
    inputs: result.inputs,
    mode,
    seed,
    draws: draws.length,
    unknowns,
    holds: count("holds"),
    trouble: chanceOf(over, draws.length),
    troubleAtMost: chanceOf(over + lost, draws.length),
    notKnown: tally(draws.flatMap(({ outcome, says }) => (outcome === "unknown" ? [says ?? ""] : []))),
    matters: matterOf(
      unknowns,
      told,
      told.map(({ margins }) => Math.max(...margins.filter(isCounted).map((one) => one.use))),
    ),
    margins: margins.sort((a, b) => use(b) - use(a) || (a.id < b.id ? -1 : 1)),
  };
}

function isCounted({ use, trimmed }: DrawnMargin): boolean {
  return trimmed === undefined && !Number.isNaN(use);
}

function rangeOf(id: string, draws: readonly DrawAnswer[], unknowns: readonly Unknown[], result: Pick<PlanResult, "verdict">): MarginRange {
  const pairs = draws.flatMap((draw) =>
    draw.margins.flatMap((margin) => (margin.id === id && !Number.isNaN(margin.use) ? [{ draw, margin }] : [])),
  );
  const any = draws.flatMap(({ margins }) => margins).find((margin) => margin.id === id) as DrawnMargin;
  const planned = result.verdict.rows.find((row) => row.id === id);
  const reading = planned === undefined ? undefined : readMargin(planned);
  const found = pairs.map(({ margin }) => margin.found);
  const use = pairs.map(({ margin }) => margin.use);
  const over = use.filter((value) => value > 1).length;
  return {
    id,
    title: any.title,
    unit: any.unit,
    atLeast: any.atLeast,
    trimmed: any.trimmed === true,
    planned: { found: reading?.found ?? Number.NaN, allowed: reading?.allowed ?? any.allowed, use: planned?.use ?? Number.NaN },
    found: threeOf(found),
    use: threeOf(use),
    over: chanceOf(over, pairs.length),
    matters: matterOf(
      unknowns,
      pairs.map(({ draw }) => draw),
      found,
    ),
  };
}

function threeOf(values: readonly number[]): [number, number, number] {
  const sorted = [...values].sort((a, b) => a - b);
  return [quantileOf(sorted, 0.05), quantileOf(sorted, 0.5), quantileOf(sorted, 0.95)];
}

/** Where some of the values are beyond all numbers, their ranks are looked at. */
function matterOf(unknowns: readonly Unknown[], draws: readonly DrawAnswer[], values: readonly number[]): Mattering[] {
  const y = values.every(Number.isFinite) ? values : ranksOf(values);
  return unknowns
    .map(({ name }, k) => ({
      name,
      ...weighOne(
        draws.map((draw) => draw.values[k] as number),
        y,
      ),
    }))
    .filter(({ share, noise }) => share > noise)
    .sort((a, b) => b.share - a.share || (a.name < b.name ? -1 : 1));
}

function tally(says: readonly string[]): { says: string; count: number }[] {
  const counts = new Map<string, number>();
  for (const one of says) counts.set(one, (counts.get(one) ?? 0) + 1);
  return [...counts].map(([said, count]) => ({ says: said, count })).sort((a, b) => b.count - a.count || (a.says < b.says ? -1 : 1));
}
