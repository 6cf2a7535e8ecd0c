/** The cables in the second computation of the balance: their friction, and their pull on a part cut free. */
import type { ArmModel } from "../arm/index.ts";
import { addPull, type Bench, toWorld } from "./balance-bench.ts";
import type { RodState } from "./model.ts";

/** Tension over entry tension of each cable over each span, from where the holes stand in the world. */
export function tabulateShares(arm: ArmModel, state: RodState, bench: Bench): void {
  const { frames, share, length } = bench;
  for (let c = 0; c < arm.cables; c++) {
    const end = arm.firstSpan[(arm.sectionOfCable[c] as number) + 1] as number;
    let logarithm = 0;
    let arriving = 0;
    for (let i = 0; i < end; i++) {
      if (length[i] === 0) continue;
      cableAcross(arm, i, c, bench);
      const along = [0, 1, 2].map((k) => (bench.from[k] as number) - (bench.to[k] as number)) as [number, number, number];
      const leaving = angleWithZ(frames, i, along);
      logarithm -= (state.grip[i * arm.cables + c] as number) * (arm.holeFriction[1] as number) * (arriving + leaving);
      share[i * arm.cables + c] = Math.exp(logarithm);
      arriving = angleWithZ(frames, i + 1, along);
    }
  }
}

/** Angle between a direction and the z of a vertebra, rad. */
function angleWithZ(frames: Float64Array, vertebra: number, d: readonly [number, number, number]): number {
  const o = 12 * vertebra;
  const z = [2, 6, 10].map((k) => frames[o + k] as number) as [number, number, number];
  const cross = Math.hypot(d[1] * z[2] - d[2] * z[1], d[2] * z[0] - d[0] * z[2], d[0] * z[1] - d[1] * z[0]);
  return Math.atan2(cross, d[0] * z[0] + d[1] * z[1] + d[2] * z[2]);
}

/** Holes of the facing faces; where the guide covers part of a hinge, from its exit: upper one to `from`, lower one to `to`. */
function cableAcross(arm: ArmModel, i: number, c: number, bench: Bench): void {
  const x = arm.cableX[c] as number;
  const y = arm.cableY[c] as number;
  toWorld(bench.frames, i + 1, x, y, -(arm.tail[i] as number), bench.from);
  toWorld(bench.frames, i, x, y, bench.lead[i] as number, bench.to);
}

/** Adds the pull of the cut cables on the part beyond span i. */
export function addCables(arm: ArmModel, state: RodState, i: number, bench: Bench): void {
  const { from, to, pull, total, share } = bench;
  for (let c = arm.firstCable[arm.sectionOfSpan[i] as number] as number; c < arm.cables; c++) {
    cableAcross(arm, i, c, bench);
    let size = 0;
    for (let k = 0; k < 3; k++) size += ((to[k] as number) - (from[k] as number)) ** 2;
    const scale = ((state.tension[c] as number) * (share[i * arm.cables + c] as number)) / Math.sqrt(size);
    for (let k = 0; k < 3; k++) pull[k] = scale * ((to[k] as number) - (from[k] as number));
    addPull(total, bench);
  }
}
