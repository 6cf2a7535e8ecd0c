/**
 * What was kept as described is itself known within a range only: how far the fitted values would have come out elsewhere, had it been
 * a standard deviation up or down.
 */
import type { ArmDescription } from "../arm/index.ts";
import type { Quantity } from "../base/index.ts";
import { factorCholesky, solveCholesky } from "../math/index.ts";
import type { Spreads } from "./covariance.ts";
import { type LeastSquares, type LeastSquaresState, normalEquations } from "./least-squares.ts";
import type { ParameterName } from "./model.ts";

/** Plain data. */
export interface Kept {
  readonly name: ParameterName;
  /** [2] one standard deviation up and down, as far as it may be; added to what is described */
  readonly by: readonly [number, number];
  /** [reading] model minus reading there */
  readonly up: Float64Array;
  readonly down: Float64Array;
}

/** The parameters among these whose range the arm's description gives, with the ends to try: a range is taken as evenly likely. */
export function listKept(description: ArmDescription, names: readonly ParameterName[], readings: number): Kept[] {
  return names.flatMap((name): Kept[] => {
    const range = rangeOf(description, name);
    const spread = range === undefined ? 0 : (range.high - range.low) / 2 / Math.sqrt(3);
    if (range === undefined || !(spread > 0)) return [];
    const by = [Math.min(spread, range.high - range.nominal), -Math.min(spread, range.nominal - range.low)] as const;
    return [{ name, by, up: new Float64Array(readings), down: new Float64Array(readings) }];
  });
}

function rangeOf({ friction, sections }: ArmDescription, name: ParameterName): Quantity | undefined {
  if (name === "hole-friction") return friction?.holes;
  if (name === "conduit-friction") return friction?.conduit;
  if (name === "play") return sections.find((s) => s.play !== undefined)?.play?.bend;
  return undefined;
}

/** [parameter] how far each fitted value moves when what was kept is a standard deviation more; 0 at a bound. */
export function shiftBy(model: LeastSquares, state: LeastSquaresState, kept: Kept, bound: Uint8Array): Float64Array {
  const n = model.parameters;
  const between = kept.by[0] - kept.by[1];
  const whole = Math.max(kept.by[0], -kept.by[1]);
  // readings lost on either side tell nothing
  const effect = kept.up.map((up, r) => {
    const change = ((up - (kept.down[r] as number)) / between) * whole;
    return Number.isNaN(change) ? 0 : change;
  });
  const { matrix, gradient } = normalEquations(model, state, effect);
  const size = Float64Array.from({ length: n }, (_, k) => Math.sqrt(matrix[k * n + k] as number) || 1);
  const shift = new Float64Array(n);
  for (let r = 0; r < n; r++) {
    const free = bound[r] === 0;
    shift[r] = free ? -(gradient[r] as number) / (size[r] as number) : 0;
    for (let c = 0; c < n; c++) {
      const both = free && bound[c] === 0;
      matrix[r * n + c] = r === c ? 1 + 1e-12 : both ? (matrix[r * n + c] as number) / ((size[r] as number) * (size[c] as number)) : 0;
    }
  }
  if (!factorCholesky(matrix, n, n)) return shift.fill(0);
  solveCholesky(matrix, n, n, shift);
  return shift.map((value, k) => value / (size[k] as number));
}

/** Spreads and correlations with what was kept carried in. @see docs/sources.md#spreads */
export function carryKept(spreads: Spreads, shifts: readonly Float64Array[]): Pick<Spreads, "spread" | "correlation"> {
  const n = spreads.spread.length;
  const at = (k: number): number => spreads.spread[k] as number;
  const both = Float64Array.from({ length: n * n }, (_, i) => {
    const [r, c] = [Math.floor(i / n), i % n];
    return (spreads.correlation[i] as number) * at(r) * at(c) + shifts.reduce((sum, s) => sum + (s[r] as number) * (s[c] as number), 0);
  });
  const spread = Float64Array.from({ length: n }, (_, k) => Math.sqrt(both[k * n + k] as number));
  return {
    spread,
    correlation: both.map((value, i) => {
      const size = (spread[Math.floor(i / n)] as number) * (spread[i % n] as number);
      return size > 0 ? value / size : Math.floor(i / n) === i % n ? 1 : 0;
    }),
  };
}
