/** What the second computation of the balance writes on, and how a force is added to what lies beyond a cut. */

export interface Bench {
  /** [vertebra, 12] world from vertebra */
  readonly frames: Float64Array;
  /** [span] rigid lead, and flexible length that is out of the guide, m */
  readonly lead: Float64Array;
  readonly length: Float64Array;
  /** [span, cable] tension over entry tension, 1 */
  readonly share: Float64Array;
  /** [6] force and moment about the world's origin of all beyond a cut; the same with the cut cables */
  readonly beyond: Float64Array;
  readonly total: Float64Array;
  /** [section] of [rod, 6]: x, y, EI, GJ, EA (0 where it slides), and what its ends' sideways shift adds to GJ */
  readonly rods: readonly Float64Array[];
  /** [4] strains of the span at hand */
  readonly strain: Float64Array;
  /** [12] each */
  readonly plus: Float64Array;
  readonly minus: Float64Array;
  readonly twist: Float64Array;
  readonly term: Float64Array;
  readonly next: Float64Array;
  /** [3] each */
  readonly from: Float64Array;
  readonly to: Float64Array;
  readonly pull: Float64Array;
}

/** World place of a vertebra's point, into `out`. */
export function toWorld(frames: Float64Array, i: number, x: number, y: number, z: number, out: Float64Array): void {
  for (let r = 0; r < 3; r++) {
    const o = 12 * i + 4 * r;
    out[r] = (frames[o] as number) * x + (frames[o + 1] as number) * y + (frames[o + 2] as number) * z + (frames[o + 3] as number);
  }
}

/** Adds the force `pull` at the place `from` to a wrench about the world's origin. */
export function addPull(wrench: Float64Array, bench: Bench): void {
  const { from, pull } = bench;
  for (let k = 0; k < 3; k++) {
    const a = (k + 1) % 3;
    const b = (k + 2) % 3;
    wrench[k] = (wrench[k] as number) + (pull[k] as number);
    wrench[3 + k] = (wrench[3 + k] as number) + (from[a] as number) * (pull[b] as number) - (from[b] as number) * (pull[a] as number);
  }
}
