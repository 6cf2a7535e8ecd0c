/** What a rod's softer line takes off its energy, by sums over strips of its section: the second computation of `softenRods`. */
import type { ArmModel } from "../arm/index.ts";

/** Strips' middles and widths by Gauss and Legendre, eight points on -1 to 1 (Abramowitz & Stegun, table 25.4, from memory). */
const nodes = [0.1834346424956498, 0.525532409916329, 0.7966664774136267, 0.9602898564975363];
const weights = [0.362683783378362, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763];

/** Pieces that the angle across the section is cut into between the places where the line breaks. */
const pieces = 4;

/** Energy a unit length of rod, J/m, below that of the straight line. */
export function lostBySoftening(arm: ArmModel, rod: number, axial: number, curvature: number): number {
  const lost = arm.soft[2 * rod] as number;
  const limit = arm.soft[2 * rod + 1] as number;
  const radius = (arm.rod[5 * rod + 2] as number) / 2;
  // places over the section z = radius sin(angle), cut where the strain passes the limit either way
  const cuts = [-Math.PI / 2, Math.PI / 2];
  for (const side of [-1, 1]) {
    const sine = (side * limit - axial) / (curvature * radius);
    if (Math.abs(sine) < 1) cuts.push(Math.asin(sine));
  }
  cuts.sort((a, b) => a - b);
  let sum = 0;
  for (let k = 1; k < cuts.length; k++) {
    const from = cuts[k - 1] as number;
    const step = ((cuts[k] as number) - from) / pieces;
    for (let p = 0; p < pieces; p++) {
      for (let n = 0; n < 8; n++) {
        const at = from + step * (p + 0.5 + 0.5 * (n < 4 ? -1 : 1) * (nodes[n % 4] as number));
        const strain = axial + curvature * radius * Math.sin(at);
        const past = Math.max(0, Math.abs(strain) - limit);
        sum += (weights[n % 4] as number) * 0.5 * step * past * past * 2 * radius * radius * Math.cos(at) ** 2;
      }
    }
  }
  return 0.5 * lost * sum;
}
