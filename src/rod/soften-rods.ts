/**
 * Rods that leave their straight line: beyond a strain the material's line goes on at a lower slope, alike in pull and push. What
 * that takes off the straight line's energy is added here, summed exactly over each rod's round section (its part beyond the strain is
 * a segment of the circle). The clamps' own bending from twist and the twist of the rod itself stay straight.
 */
import type { ArmModel, Section } from "../arm/index.ts";
import { local } from "./span-terms.ts";
import type { RodWork } from "./work.ts";

/** offset in `work.scratch`: the overshoot of one side and its slopes, [6] */
const overshoot = 370;

/** Adds to energy, gradient and second derivative of span i what its rods lose; only for an arm that softens. @see docs/sources.md#softening */
export function softenRods(arm: ArmModel, strain: Float64Array, i: number, work: RodWork): void {
  const j = arm.sectionOfSpan[i] as number;
  const section = arm.description.sections[j] as Section;
  const ratio = section.flexible / section.effectiveLength;
  const l = work.flexible[i] as number;
  const w = work.scratch;
  const o = 4 * i;
  const x0 = (strain[o] as number) - (arm.rest[o] as number);
  const x1 = (strain[o + 1] as number) - (arm.rest[o + 1] as number);
  const x2 = (strain[o + 2] as number) - (arm.rest[o + 2] as number);
  const x3 = (strain[o + 3] as number) - (arm.rest[o + 3] as number);
  const bent = Math.sqrt(x0 * x0 + x1 * x1);
  const n0 = bent > 0 ? x0 / bent : 1;
  const n1 = bent > 0 ? x1 / bent : 0;
  for (let r = arm.firstRod[j] as number; r < (arm.firstRod[j + 1] as number); r++) {
    const lost = arm.soft[2 * r] as number;
    if (lost === 0) continue;
    const limit = arm.soft[2 * r + 1] as number;
    const q = 5 * r;
    const rx = arm.turned[i] === 1 ? -(arm.rod[q + 1] as number) : (arm.rod[q] as number);
    const ry = arm.turned[i] === 1 ? (arm.rod[q] as number) : (arm.rod[q + 1] as number);
    const radius = (arm.rod[q + 2] as number) / 2;
    const held = arm.rod[q + 4] as number;
    const twist = 0.6 * (rx * rx + ry * ry) * ratio * ratio * held;
    const axial = held * ratio * (x3 + ry * x0 - rx * x1) + twist * x2 * x2;
    const curvature = ratio * bent;
    if (Math.abs(axial) + curvature * radius <= limit) continue;
    // slopes of the axial strain; of the curvature they are (c0, c1, 0, 0)
    const a0 = held * ratio * ry;
    const a1 = -held * ratio * rx;
    const a2 = 2 * twist * x2;
    const a3 = held * ratio;
    const c0 = ratio * n0;
    const c1 = ratio * n1;
    for (let side = 1; side >= -1; side -= 2) {
      passBeyond(side * axial - limit, curvature, radius, w);
      const scale = (-0.5 * lost * l) / ratio;
      const g = scale * side * (w[overshoot + 1] as number);
      const aa = scale * (w[overshoot + 2] as number);
      const ac = scale * side * (w[overshoot + 3] as number);
      const cc = scale * (w[overshoot + 4] as number);
      const across = scale * (w[overshoot + 5] as number);
      work.energy += scale * (w[overshoot] as number);
      // the curvature's slope is `across` times the curvature
      const c = across * curvature;
      add(w, local, g * a0 + c * c0);
      add(w, local + 1, g * a1 + c * c1);
      add(w, local + 2, g * a2);
      add(w, local + 3, g * a3);
      const h = local + 4;
      const rr = across * ratio * ratio;
      add(w, h, aa * a0 * a0 + 2 * ac * a0 * c0 + cc * c0 * c0 + rr * n1 * n1);
      add(w, h + 4, aa * a0 * a1 + ac * (a0 * c1 + a1 * c0) + cc * c0 * c1 - rr * n0 * n1);
      add(w, h + 5, aa * a1 * a1 + 2 * ac * a1 * c1 + cc * c1 * c1 + rr * n0 * n0);
      add(w, h + 8, (aa * a0 + ac * c0) * a2);
      add(w, h + 9, (aa * a1 + ac * c1) * a2);
      add(w, h + 10, aa * a2 * a2 + 2 * twist * g);
      add(w, h + 12, (aa * a0 + ac * c0) * a3);
      add(w, h + 13, (aa * a1 + ac * c1) * a3);
      add(w, h + 14, aa * a2 * a3);
      add(w, h + 15, aa * a3 * a3);
    }
  }
  // both halves of the symmetric block
  for (let r = 0; r < 4; r++) for (let c = r + 1; c < 4; c++) w[local + 4 + 4 * r + c] = w[local + 4 + 4 * c + r] as number;
}

/**
 * The integral G of max(0, past + curvature z)^2 over a round section, into scratch: G, its slope by `past`, its second slopes (past
 * twice, past and curvature, curvature twice), and its slope by the curvature over the curvature.
 */
function passBeyond(past: number, curvature: number, radius: number, w: Float64Array): void {
  // the part that is past the limit lies above t radii from the middle
  const edge = curvature * radius;
  const t = past >= edge ? -1 : past <= -edge ? 1 : -past / edge;
  const root = Math.sqrt(Math.max(0, 1 - t * t));
  const turn = Math.PI / 2 - Math.asin(t);
  const area = radius * radius * (turn - t * root);
  const first = (2 / 3) * radius ** 3 * root ** 3;
  const second = (radius ** 4 / 4) * (turn + t * root * (1 - 2 * t * t));
  w[overshoot] = past * past * area + 2 * past * curvature * first + curvature * curvature * second;
  w[overshoot + 1] = 2 * (past * area + curvature * first);
  w[overshoot + 2] = 2 * area;
  w[overshoot + 3] = 2 * first;
  w[overshoot + 4] = 2 * second;
  w[overshoot + 5] = 2 * (second - t * radius * first);
}

function add(into: Float64Array, at: number, value: number): void {
  into[at] = (into[at] as number) + value;
}
