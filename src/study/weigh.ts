/** What draws say: quantiles, a probability with its sampling error, and which of the drawn numbers matter most. */

/**
 * Quantile of values, by the line between the two order statistics about it (the seventh definition of Hyndman and Fan).
 *
 * @param sorted rising
 * @see docs/sources.md#draws
 */
export function quantileOf(sorted: ArrayLike<number>, share: number): number {
  if (sorted.length === 0) return Number.NaN;
  const at = (sorted.length - 1) * share;
  const k = Math.min(Math.floor(at), sorted.length - 2);
  if (k < 0) return sorted[0] as number;
  const [low, high] = [sorted[k] as number, sorted[k + 1] as number];
  // two infinities have no difference
  return low === high ? low : low + (at - k) * (high - low);
}

export interface Chance {
  /** how often it happened, of how many */
  readonly count: number;
  readonly of: number;
  /** ends of Wilson's score interval at 95 % */
  readonly low: number;
  readonly high: number;
}

/** Standard normal quantile of 97.5 %. */
const z = 1.959963984540054;

/** @see docs/sources.md#draws (Wilson) */
export function chanceOf(count: number, of: number): Chance {
  if (of === 0) return { count, of, low: 0, high: 1 };
  const share = count / of;
  const middle = share + (z * z) / (2 * of);
  const half = z * Math.sqrt((share * (1 - share)) / of + (z * z) / (4 * of * of));
  const whole = 1 + (z * z) / of;
  return { count, of, low: count === 0 ? 0 : (middle - half) / whole, high: count === of ? 1 : (middle + half) / whole };
}

export interface Weight {
  /** share of the variance of y that goes with x alone: Sobol's first index, estimated from the draws as they are; 0 to 1 */
  readonly share: number;
  /** what it would come to by chance, were x of no matter, in 95 of 100 cases */
  readonly noise: number;
  /** correlation of ranks, -1 to 1: which way */
  readonly trend: number;
}

/**
 * How much one drawn number matters: the variance of the means of y over slices of x of equal count, its bias by chance taken off.
 *
 * @param y  finite
 * @see docs/sources.md#draws (Pearson's correlation ratio; Plischke, Borgonovo and Smith)
 */
export function weighOne(x: ArrayLike<number>, y: ArrayLike<number>): Weight {
  const n = y.length;
  const slices = Math.max(2, Math.min(24, Math.round(1.2 * Math.cbrt(n))));
  if (n < 2 * slices) return { share: 0, noise: 1, trend: 0 };
  const order = Array.from({ length: n }, (_, k) => k).sort((a, b) => (x[a] as number) - (x[b] as number) || a - b);
  const mean = meanOf(y);
  let whole = 0;
  for (let k = 0; k < n; k++) whole += ((y[k] as number) - mean) ** 2;
  // what differs by rounding alone does not differ
  if (!(whole > n * (1e-9 * mean) ** 2)) return { share: 0, noise: 0, trend: 0 };
  let between = 0;
  for (let s = 0; s < slices; s++) {
    const from = Math.floor((s * n) / slices);
    const to = Math.floor(((s + 1) * n) / slices);
    let sum = 0;
    for (let k = from; k < to; k++) sum += y[order[k] as number] as number;
    between += (to - from) * (sum / (to - from) - mean) ** 2;
  }
  const raw = between / whole;
  // of an x of no matter the raw share is a beta variable with mean (slices - 1) / (n - 1)
  const bias = (slices - 1) / (n - 1);
  const spread = Math.sqrt((2 * bias * (1 - bias)) / (n + 1));
  const share = Math.max(0, (raw - bias) / (1 - bias));
  return { share, noise: Math.max(0, (1.645 * spread) / (1 - bias)), trend: trendOf(x, y) };
}

function meanOf(y: ArrayLike<number>): number {
  let sum = 0;
  for (let k = 0; k < y.length; k++) sum += y[k] as number;
  return sum / y.length;
}

/** Spearman's correlation of ranks. */
function trendOf(x: ArrayLike<number>, y: ArrayLike<number>): number {
  const [a, b] = [ranksOf(x), ranksOf(y)];
  const middle = (a.length - 1) / 2;
  let [ab, aa, bb] = [0, 0, 0];
  for (let k = 0; k < a.length; k++) {
    const [u, v] = [(a[k] as number) - middle, (b[k] as number) - middle];
    ab += u * v;
    aa += u * u;
    bb += v * v;
  }
  return aa > 0 && bb > 0 ? ab / Math.sqrt(aa * bb) : 0;
}

/** From 0; equal values share the mean of their ranks. */
export function ranksOf(values: ArrayLike<number>): Float64Array {
  const n = values.length;
  const order = Array.from({ length: n }, (_, k) => k).sort((a, b) => compare(values[a] as number, values[b] as number) || a - b);
  const ranks = new Float64Array(n);
  for (let k = 0; k < n; ) {
    let end = k + 1;
    while (end < n && values[order[end] as number] === values[order[k] as number]) end++;
    for (let j = k; j < end; j++) ranks[order[j] as number] = (k + end - 1) / 2;
    k = end;
  }
  return ranks;
}

function compare(a: number, b: number): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
