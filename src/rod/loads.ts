/** Potential of the loads on every vertebra: gradient and second derivative in the vertebra's own motion. */
import type { ArmModel } from "../arm/index.ts";
import { applyForce, at, force } from "./dead-force.ts";
import { immerse } from "./immerse.ts";
import type { Load } from "./model.ts";
import { touchWalls } from "./touch-walls.ts";
import type { RodWork } from "./work.ts";

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
  if (load.fluid !== undefined) immerse(arm, load, load.fluid, work);
  if (load.walls !== undefined) touchWalls(load.walls, work);
  work.hasSkew = false;
  if (load.following !== undefined || load.moment !== undefined) applyTipWrench(arm, load, work);
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
