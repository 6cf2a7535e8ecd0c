/** How much a residual counts, and how wide its kind spreads. @see docs/sources.md#robust-least-squares */

/** Quadratic to `huber` spreads, straight beyond. */
export function huberLoss(u: number, huber: number): number {
  const size = Math.abs(u);
  return size <= huber ? (u * u) / 2 : huber * (size - huber / 2);
}

export function huberWeight(u: number, huber: number): number {
  const size = Math.abs(u);
  return size <= huber ? 1 : huber / size;
}

interface Grouped {
  readonly parameters: number;
  readonly group: Int32Array;
  readonly groups: number;
  readonly stated: Float64Array;
  readonly least: Float64Array;
  readonly huber: number;
}

/**
 * Spread of each group without a stated one: Huber's proposal 2, sum of psi(r / s)^2 = (readings - parameters) E[psi^2], the parameters
 * taken off each group by its share of the readings. Plain least squares gives the root mean square over the degrees of freedom.
 *
 * @param residual [reading] NaN: left out
 * @param scale [group] written
 */
export function findScales(model: Grouped, residual: Float64Array, scale: Float64Array): void {
  const { parameters, group, groups, stated, least, huber } = model;
  let all = 0;
  for (let r = 0; r < residual.length; r++) if (!Number.isNaN(residual[r] as number)) all++;
  const expected = meanSquare(huber);
  for (let g = 0; g < groups; g++) {
    const sizes: number[] = [];
    for (let r = 0; r < residual.length; r++) {
      const value = residual[r] as number;
      if (group[r] === g && !Number.isNaN(value) && Number.isNaN(stated[r] as number)) sizes.push(Math.abs(value));
    }
    if (sizes.length === 0) continue;
    const free = Math.max(0.5, sizes.length * (1 - parameters / Math.max(all, parameters + 0.5)));
    let s = Math.sqrt(sizes.reduce((sum, v) => sum + v * v, 0) / free);
    for (let k = 0; k < 200 && s > 0 && huber < Number.POSITIVE_INFINITY; k++) {
      const sum = sizes.reduce((total, v) => total + Math.min(v, huber * s) ** 2, 0);
      const next = Math.sqrt(sum / (free * expected));
      const moved = Math.abs(next - s);
      s = next;
      if (moved < 1e-10 * s) break;
    }
    scale[g] = Math.max(s, least[g] as number);
  }
}

/** E[min(u^2, huber^2)] for a normal u of spread 1. */
function meanSquare(huber: number): number {
  if (huber === Number.POSITIVE_INFINITY) return 1;
  // Simpson's rule over the part below huber, and the tail from it: all the rest times huber^2
  const n = 400;
  const density = (u: number): number => Math.exp((-u * u) / 2) / Math.sqrt(2 * Math.PI);
  let square = 0;
  let inside = 0;
  for (let k = 0; k <= n; k++) {
    const u = (huber * k) / n;
    const w = (k === 0 || k === n ? 1 : k % 2 === 1 ? 4 : 2) * (huber / n / 3);
    square += w * u * u * density(u);
    inside += w * density(u);
  }
  return 2 * square + huber * huber * (1 - 2 * inside);
}
