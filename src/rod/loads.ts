/** Potential of the loads on every vertebra: gradient and second derivative in the vertebra's own motion. */
import type { ArmModel } from "../arm/index.ts";
import type { Load } from "./model.ts";
import type { RodWork } from "./work.ts";

/** Fills the loads' gradient and curvature; adds their potential to `work.energy`. The frames must be placed. */
export function applyLoads(arm: ArmModel, load: Load, work: RodWork): void {
  work.loadGradient.fill(0);
  work.loadCurvature.fill(0);
  const share = work.loadShare;
  const gx = share * load.gravity[0];
  const gy = share * load.gravity[1];
  const gz = share * load.gravity[2];
  for (let i = work.firstFree + 1; i <= arm.spans; i++) {
    const m = arm.mass[i] as number;
    if (m !== 0) applyForce(work, i, m * gx, m * gy, m * gz, 0, 0, 0);
  }
  const tool = arm.description.tool;
  const mass = tool.mass * (load.toolShare ?? 1);
  if (mass !== 0) applyForce(work, arm.spans, mass * gx, mass * gy, mass * gz, tool.centre[0], tool.centre[1], tool.centre[2]);
  for (let k = 0; k < load.forces.length; k++) {
    const point = load.forces[k] as Load["forces"][number];
    const { force, at, vertebra } = point;
    if (vertebra > work.firstFree) applyForce(work, vertebra, share * force[0], share * force[1], share * force[2], at[0], at[1], at[2]);
  }
  work.hasSkew = false;
  if (load.following !== undefined || load.moment !== undefined) applyTipWrench(arm, load, work);
}

/** A dead force (world) at an offset (vertebra frame). */
function applyForce(work: RodWork, i: number, fx: number, fy: number, fz: number, cx: number, cy: number, cz: number): void {
  const { frame, loadGradient, loadCurvature } = work;
  const o = 12 * i;
  const a = (frame[o] as number) * fx + (frame[o + 3] as number) * fy + (frame[o + 6] as number) * fz;
  const b = (frame[o + 1] as number) * fx + (frame[o + 4] as number) * fy + (frame[o + 7] as number) * fz;
  const c = (frame[o + 2] as number) * fx + (frame[o + 5] as number) * fy + (frame[o + 8] as number) * fz;
  work.energy -=
    fx * (frame[o + 9] as number) + fy * (frame[o + 10] as number) + fz * (frame[o + 11] as number) + a * cx + b * cy + c * cz;
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
    add(loadCurvature, h, 0, 0, dot - a * cx);
    add(loadCurvature, h, 1, 1, dot - b * cy);
    add(loadCurvature, h, 2, 2, dot - c * cz);
    add(loadCurvature, h, 0, 1, -0.5 * (a * cy + b * cx));
    add(loadCurvature, h, 0, 2, -0.5 * (a * cz + c * cx));
    add(loadCurvature, h, 1, 2, -0.5 * (b * cz + c * cy));
  }
  // between rotation and translation: -1/2 [f]x, rows translation, columns rotation
  add(loadCurvature, h, 1, 3, 0.5 * c);
  add(loadCurvature, h, 2, 3, -0.5 * b);
  add(loadCurvature, h, 0, 4, -0.5 * c);
  add(loadCurvature, h, 2, 4, 0.5 * a);
  add(loadCurvature, h, 0, 5, 0.5 * b);
  add(loadCurvature, h, 1, 5, -0.5 * a);
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

function add(into: Float64Array, o: number, r: number, s: number, value: number): void {
  into[o + 6 * r + s] = (into[o + 6 * r + s] as number) + value;
  if (r !== s) into[o + 6 * s + r] = (into[o + 6 * s + r] as number) + value;
}
