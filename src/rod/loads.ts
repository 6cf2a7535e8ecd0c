/** Potential of the loads on every vertebra: gradient and second derivative in the vertebra's own motion. */
import type { ArmModel } from "../arm/index.ts";
import type { Load } from "./model.ts";
import type { RodWork } from "./work.ts";

/** offsets in `work.scratch`: [3] force and [3] where it acts */
const force = 16;
const at = 19;

/** Fills the loads' gradient and curvature; adds their potential to `work.energy`. The frames must be placed. */
export function applyLoads(arm: ArmModel, load: Load, work: RodWork): void {
  work.loadGradient.fill(0);
  work.loadCurvature.fill(0);
  const share = work.loadShare;
  const w = work.scratch;
  w[at] = 0;
  w[at + 1] = 0;
  w[at + 2] = 0;
  for (let i = work.firstFree + 1; i <= arm.spans; i++) {
    const m = share * (arm.mass[i] as number);
    for (let k = 0; k < 3; k++) w[force + k] = m * (load.gravity[k] as number);
    if (m !== 0) applyForce(work, i);
  }
  const tool = arm.description.tool;
  const mass = share * tool.mass * (load.toolShare ?? 1);
  for (let k = 0; k < 3; k++) {
    w[force + k] = mass * (load.gravity[k] as number);
    w[at + k] = tool.centre[k] as number;
  }
  if (mass !== 0) applyForce(work, arm.spans);
  for (let n = 0; n < load.forces.length; n++) {
    const point = load.forces[n] as Load["forces"][number];
    for (let k = 0; k < 3; k++) {
      w[force + k] = share * (point.force[k] as number);
      w[at + k] = point.at[k] as number;
    }
    if (point.vertebra > work.firstFree) applyForce(work, point.vertebra);
  }
  work.hasSkew = false;
  if (load.following !== undefined || load.moment !== undefined) applyTipWrench(arm, load, work);
}

/** A dead force (world) at an offset (vertebra frame), both in the scratch: as arguments each number would be put on the heap. */
function applyForce(work: RodWork, i: number): void {
  const { frame, loadGradient, loadCurvature, scratch } = work;
  const fx = scratch[force] as number;
  const fy = scratch[force + 1] as number;
  const fz = scratch[force + 2] as number;
  const cx = scratch[at] as number;
  const cy = scratch[at + 1] as number;
  const cz = scratch[at + 2] as number;
  const o = 12 * i;
  const a = (frame[o] as number) * fx + (frame[o + 3] as number) * fy + (frame[o + 6] as number) * fz;
  const b = (frame[o + 1] as number) * fx + (frame[o + 4] as number) * fy + (frame[o + 7] as number) * fz;
  const c = (frame[o + 2] as number) * fx + (frame[o + 5] as number) * fy + (frame[o + 8] as number) * fz;
  work.energy -= fx * (frame[o + 9] as number) + fy * (frame[o + 10] as number) + fz * (frame[o + 11] as number) + a * cx + b * cy + c * cz;
  const gi = 6 * i;
  loadGradient[gi] = (loadGradient[gi] as number) - (cy * c - cz * b);
  loadGradient[gi + 1] = (loadGradient[gi + 1] as number) - (cz * a - cx * c);
  loadGradient[gi + 2] = (loadGradient[gi + 2] as number) - (cx * b - cy * a);
  loadGradient[gi + 3] = (loadGradient[gi + 3] as number) - a;
  loadGradient[gi + 4] = (loadGradient[gi + 4] as number) - b;
  loadGradient[gi + 5] = (loadGradient[gi + 5] as number) - c;
  const h = 36 * i;
  if (cx !== 0 || cy !== 0 || cz !== 0) {
    const dot = a * cx + b * cy + c * cz;
    const xy = -0.5 * (a * cy + b * cx);
    const xz = -0.5 * (a * cz + c * cx);
    const yz = -0.5 * (b * cz + c * cy);
    loadCurvature[h] = (loadCurvature[h] as number) + dot - a * cx;
    loadCurvature[h + 7] = (loadCurvature[h + 7] as number) + dot - b * cy;
    loadCurvature[h + 14] = (loadCurvature[h + 14] as number) + dot - c * cz;
    loadCurvature[h + 1] = (loadCurvature[h + 1] as number) + xy;
    loadCurvature[h + 6] = (loadCurvature[h + 6] as number) + xy;
    loadCurvature[h + 2] = (loadCurvature[h + 2] as number) + xz;
    loadCurvature[h + 12] = (loadCurvature[h + 12] as number) + xz;
    loadCurvature[h + 8] = (loadCurvature[h + 8] as number) + yz;
    loadCurvature[h + 13] = (loadCurvature[h + 13] as number) + yz;
  }
  // between rotation and translation: -1/2 [f]x, rows translation, columns rotation; and its mirror
  const x = 0.5 * a;
  const y = 0.5 * b;
  const z = 0.5 * c;
  loadCurvature[h + 9] = (loadCurvature[h + 9] as number) + z;
  loadCurvature[h + 19] = (loadCurvature[h + 19] as number) + z;
  loadCurvature[h + 15] = (loadCurvature[h + 15] as number) - y;
  loadCurvature[h + 20] = (loadCurvature[h + 20] as number) - y;
  loadCurvature[h + 4] = (loadCurvature[h + 4] as number) - z;
  loadCurvature[h + 24] = (loadCurvature[h + 24] as number) - z;
  loadCurvature[h + 16] = (loadCurvature[h + 16] as number) + x;
  loadCurvature[h + 26] = (loadCurvature[h + 26] as number) + x;
  loadCurvature[h + 5] = (loadCurvature[h + 5] as number) + y;
  loadCurvature[h + 30] = (loadCurvature[h + 30] as number) + y;
  loadCurvature[h + 11] = (loadCurvature[h + 11] as number) - x;
  loadCurvature[h + 31] = (loadCurvature[h + 31] as number) - x;
}

/** Following wrench and world moment on the tip have no potential: what they add to the tangent (rows: motion tested, columns: motion made) is skew. */
function applyTipWrench(arm: ArmModel, load: Load, work: RodWork): void {
  const { frame, loadGradient, tipSkew } = work;
  const o = 12 * arm.spans;
  const gi = 6 * arm.spans;
  tipSkew.fill(0);
  work.hasSkew = true;
  if (load.moment !== undefined) {
    const wx = work.loadShare * load.moment[0];
    const wy = work.loadShare * load.moment[1];
    const wz = work.loadShare * load.moment[2];
    const m0 = (frame[o] as number) * wx + (frame[o + 3] as number) * wy + (frame[o + 6] as number) * wz;
    const m1 = (frame[o + 1] as number) * wx + (frame[o + 4] as number) * wy + (frame[o + 7] as number) * wz;
    const m2 = (frame[o + 2] as number) * wx + (frame[o + 5] as number) * wy + (frame[o + 8] as number) * wz;
    takeOff(loadGradient, gi, m0, m1, m2);
    // fixed in the world: the one-form's own +1/2 [m]x, and its components in the turning frame change by -omega x m: -1/2 is left
    addSkew(tipSkew, 0, 0, m0, m1, m2, -0.5);
  }
  if (load.following !== undefined) {
    const m0 = work.loadShare * load.following[0];
    const m1 = work.loadShare * load.following[1];
    const m2 = work.loadShare * load.following[2];
    const f0 = work.loadShare * load.following[3];
    const f1 = work.loadShare * load.following[4];
    const f2 = work.loadShare * load.following[5];
    takeOff(loadGradient, gi, m0, m1, m2);
    takeOff(loadGradient, gi + 3, f0, f1, f2);
    // the one-form -w . (dd - 1/2 [d, dd]) changes by +1/2 w . [d, dd]
    addSkew(tipSkew, 0, 0, m0, m1, m2, 0.5);
    addSkew(tipSkew, 0, 3, f0, f1, f2, 0.5);
    addSkew(tipSkew, 3, 0, f0, f1, f2, 0.5);
  }
}

function takeOff(from: Float64Array, o: number, a: number, b: number, c: number): void {
  from[o] = (from[o] as number) - a;
  from[o + 1] = (from[o + 1] as number) - b;
  from[o + 2] = (from[o + 2] as number) - c;
}

/** scale [a]x at a row and column of a 6 x 6 */
function addSkew(into: Float64Array, row: number, column: number, a: number, b: number, c: number, scale: number): void {
  const o = 6 * row + column;
  into[o + 1] = (into[o + 1] as number) - scale * c;
  into[o + 2] = (into[o + 2] as number) + scale * b;
  into[o + 6] = (into[o + 6] as number) + scale * c;
  into[o + 8] = (into[o + 8] as number) - scale * a;
  into[o + 12] = (into[o + 12] as number) - scale * b;
  into[o + 13] = (into[o + 13] as number) + scale * a;
}
