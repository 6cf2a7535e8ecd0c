/**
 * Drives' positions between the depths that were solved: cubic, without overshoot (Fritsch and Carlson 1980), so that speeds do not
 * jump where depths meet. @see docs/sources.md#between-depths
 */

/** Slope of every drive at every sample, a unit of way. Plain data. */
export interface Joined {
  readonly samples: number;
  readonly drives: number;
  /** [sample] rising, m of way */
  readonly along: Float64Array;
  /** [sample, drive] */
  readonly position: Float64Array;
  readonly slope: Float64Array;
}

/** @param along [sample] rising strictly @param position [sample, drive] */
export function joinDepths(along: Float64Array, position: Float64Array): Joined {
  const samples = along.length;
  const drives = position.length / Math.max(1, samples);
  const slope = new Float64Array(position.length);
  for (let d = 0; d < drives; d++) {
    const rise = (k: number): number =>
      ((position[(k + 1) * drives + d] as number) - (position[k * drives + d] as number)) /
      ((along[k + 1] as number) - (along[k] as number));
    for (let k = 0; k < samples; k++) {
      if (samples === 1) slope[d] = 0;
      else if (k === 0) slope[d] = rise(0);
      else if (k === samples - 1) slope[k * drives + d] = rise(k - 1);
      else slope[k * drives + d] = between(rise(k - 1), rise(k), (along[k] as number) - (along[k - 1] as number), (along[k + 1] as number) - (along[k] as number));
    }
  }
  return { samples, drives, along, position, slope };
} // biome-ignore format: one case a line

/** Weighted harmonic mean of the two rises; flat where they differ in sign. */
function between(before: number, after: number, h0: number, h1: number): number {
  if (before * after <= 0) return 0;
  const [w0, w1] = [2 * h1 + h0, h1 + 2 * h0];
  return (w0 + w1) / (w0 / before + w1 / after);
}

/** First and second derivative of drive d in the piece after sample k, at a share of it, into `out` [2]. */
export function rateAt(joined: Joined, k: number, d: number, share: number, out: Float64Array): void {
  const { along, position, slope, drives } = joined;
  const h = (along[k + 1] as number) - (along[k] as number);
  const [a, b] = [position[k * drives + d] as number, position[(k + 1) * drives + d] as number];
  const [m, n] = [slope[k * drives + d] as number, slope[(k + 1) * drives + d] as number];
  const t = share;
  out[0] = (6 * t * (t - 1) * (a - b)) / h + (3 * t * t - 4 * t + 1) * m + (3 * t * t - 2 * t) * n;
  out[1] = ((12 * t - 6) * (a - b)) / (h * h) + ((6 * t - 4) * m + (6 * t - 2) * n) / h;
}
