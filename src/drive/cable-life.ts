/**
 * How often a strand may be bent round a curve and straightened again: an estimate, good to a factor of three either way.
 *
 * Relative lives by the ratio of the curve's to the cable's diameter are a rope handbook's; what they are multiples of, and how a pull
 * shortens them, is Niemann's formula at a ratio of 20. @see docs/sources.md#cable-life
 */

/** [ratio, relative life] */
const relative: readonly (readonly [number, number])[] = [
  [12, 1.1],
  [14, 1.5],
  [16, 2.1],
  [18, 2.9],
  [20, 3.8],
  [25, 6.6],
  [30, 10],
];

/** Sharper curves are far from anything that was tried. */
const sharpest = 6;
/** Nine strands in ten last between a third and three times the estimate (common practice, no source). */
export const lifeSpread = 3;
/** Share of a strand's circle that is metal (7x7, from memory). */
const metal = 0.55;
/** N/mm^2 */
const kilopond = 9.80665;

/**
 * Bends, each with its straightening, until a strand breaks.
 *
 * @param ratio diameter of the curve over that of the cable
 * @param tension N
 * @param diameter of the cable, m
 * @returns NaN for a curve sharper than six times the cable
 */
export function bendsToBreak(ratio: number, tension: number, diameter: number): number {
  if (!(ratio >= sharpest)) return Number.NaN;
  const area = (metal * Math.PI * (diameter * 1e3) ** 2) / 4;
  const stress = Math.max(0, tension) / area / kilopond;
  return 170e3 * ((20 - 9) / (stress + 4)) ** 2 * (relativeLife(ratio) / relativeLife(20));
}

/** Straight between the table's entries on paper with both scales logarithmic, and on beyond its ends. */
export function relativeLife(ratio: number): number {
  const next = relative.findIndex(([r]) => r > ratio);
  const upper = next < 0 ? relative.length - 1 : Math.max(1, next);
  const [r0, l0] = relative[upper - 1] as readonly [number, number];
  const [r1, l1] = relative[upper] as readonly [number, number];
  return l0 * (ratio / r0) ** (Math.log(l1 / l0) / Math.log(r1 / r0));
}
