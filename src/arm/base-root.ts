/** What gives at an arm's base, as the solver takes it. */
import type { ArmBase } from "./description.ts";

/** [36] lower triangular root of the compliance, a row of zeros for each rigid way; empty when all is rigid. The compliance was checked. */
export function baseRootOf(base: ArmBase | undefined): Float64Array {
  const given = base?.compliance ?? [];
  if (given.every((value) => value === 0)) return new Float64Array(0);
  const left = wholeCompliance(given);
  const root = new Float64Array(36);
  for (let k = 0; k < 6; k++) {
    const pivot = left[7 * k] as number;
    // what the ways before have left of it is rounding: it moves with them alone
    if (!(pivot > 1e-12 * Math.abs(given[given.length === 36 ? 7 * k : k] as number))) continue;
    for (let r = k; r < 6; r++) root[6 * r + k] = (left[6 * r + k] as number) / Math.sqrt(pivot);
    for (let r = k + 1; r < 6; r++)
      for (let c = k + 1; c < 6; c++)
        left[6 * r + c] = (left[6 * r + c] as number) - (root[6 * r + k] as number) * (root[6 * c + k] as number);
  }
  return root;
}

/** [36] of six of a diagonal, or of the whole. */
export function wholeCompliance(given: readonly number[]): number[] {
  if (given.length === 36) return [...given];
  return Array.from({ length: 36 }, (_, k) => (k % 7 === 0 ? (given[k / 7] as number) : 0));
}
