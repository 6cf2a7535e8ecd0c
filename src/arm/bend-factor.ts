/** What a cable keeps of its strength where it is pulled round a curve. */

/** [ratio of the curve's to the cable's diameter, share of strength kept]; between them straight, beyond the last as at the last. */
const strengthKept: readonly (readonly [number, number])[] = [
  [1, 0.5],
  [2, 0.65],
  [4, 0.75],
  [6, 0.79],
  [8, 0.83],
  [10, 0.86],
  [15, 0.89],
  [20, 0.91],
  [30, 0.93],
  [40, 0.95],
];

/**
 * Share of its strength that a cable keeps over a curve. @see docs/sources.md#bent-cables
 *
 * @param ratio diameter of the curve over that of the cable; NaN for one below 1, about which nothing is known
 */
export function strengthOverBend(ratio: number): number {
  if (!(ratio >= 1)) return Number.NaN;
  const above = strengthKept.findIndex(([r]) => r > ratio);
  if (above < 0) return (strengthKept[strengthKept.length - 1] as readonly [number, number])[1];
  const [r0, f0] = strengthKept[above - 1] as readonly [number, number];
  const [r1, f1] = strengthKept[above] as readonly [number, number];
  return f0 + ((f1 - f0) * (ratio - r0)) / (r1 - r0);
}
