/**
 * Tension along the cables as friction eats it, hole by hole (Euler and Eytelwein): over a hole that turns a cable by an angle
 * beta the tension falls by exp(-grip mu beta) towards the tip. Angles are gathered at both edges of a hole, never netted.
 *
 * Shares follow the shape of the evaluation they stand in; the tangent takes them as constant.
 */
import { type ArmModel, cablesRub } from "../arm/index.ts";
import { cableStiffness, rubbedGive } from "./cable-stiffness.ts";
import type { RodState } from "./model.ts";
import type { RodWork } from "./work.ts";

const nominal = 1;

/** Takes the grips of a state into the work; shares are all 1 when nothing rubs. */
export function takeGrip(arm: ArmModel, state: RodState, work: RodWork): void {
  let rubs = false;
  if (cablesRub(arm)) {
    for (let k = 0; k < state.grip.length && !rubs; k++) rubs = state.grip[k] !== 0;
  }
  const had = work.hasGrip;
  work.hasGrip = rubs;
  if (rubs) {
    work.grip.set(state.grip);
    work.friction[0] = arm.holeFriction[nominal] as number;
    work.friction[1] = arm.conduitFriction[nominal] as number;
    return;
  }
  if (had) work.share.fill(1);
  for (let c = 0; c < arm.cables; c++) {
    work.give[c] = 1 / cableStiffness(arm, c);
    work.floor[c] = arm.pretension[c] as number;
  }
}

/**
 * Share of its entry tension that each cable has over each span, its give at the drive, and the entry tension that keeps its
 * slackest place at the pretension.
 *
 * @param work the arm is placed; `share` [span, cable], `give`, `floor`, `weighted` [cable] are written
 * @see docs/sources.md#belt-friction
 */
export function shareTensions(arm: ArmModel, work: RodWork): void {
  const { grip, floor, give, kernel } = work;
  const n = arm.cables;
  if (kernel !== undefined) kernel.shareTensions(work.firstFree);
  else shareSpans(arm, work);
  const turn = (work.friction[1] as number) * arm.conduitTurn;
  for (let c = 0; c < n; c++) {
    const x = (grip[n * arm.spans + c] as number) * turn;
    give[c] = armGive(arm, c) + (give[c] as number) / (arm.cableEA[c] as number) + rubbedGive(arm, c, x);
    floor[c] = (arm.pretension[c] as number) / Math.min(floor[c] as number, Math.exp(x));
  }
}

/** Over the free spans: the least share into `floor`, the sum of (share - 1) times pitch into `give`. */
function shareSpans(arm: ArmModel, work: RodWork): void {
  const { cableLine, share, grip, weighted, floor, give, firstFree } = work;
  const n = arm.cables;
  const mu = work.friction[0] as number;
  for (let c = 0; c < n; c++) {
    weighted[c] = 0;
    floor[c] = 1;
    give[c] = 0;
  }
  for (let i = firstFree; i < arm.spans; i++) {
    const pitch = (arm.lead[i] as number) + (arm.flexible[i] as number) + (arm.tail[i] as number);
    for (let c = arm.firstCable[arm.sectionOfSpan[i] as number] as number; c < n; c++) {
      const at = i * n + c;
      const turned = turnAt(arm, i, c, work);
      const before = i > firstFree ? (share[at - n] as number) : 1;
      const value = before * Math.exp(-(grip[at] as number) * mu * turned);
      share[at] = value;
      weighted[c] = (weighted[c] as number) + value / (cableLine[4 * at + 3] as number);
      give[c] = (give[c] as number) + (value - 1) * pitch;
      if (value < (floor[c] as number)) floor[c] = value;
    }
  }
}

/** How far a cable gives a newton over its length in the arm, guide included, m/N. */
function armGive(arm: ArmModel, c: number): number {
  const end = arm.firstSpan[(arm.sectionOfCable[c] as number) + 1] as number;
  return (arm.along[end] as number) / (arm.cableEA[c] as number);
}

/** Angle by which cable c turns around the vertebra at the foot of span i: at the edge it comes from and at the edge it leaves by, rad. */
export function turnAt(arm: ArmModel, i: number, c: number, work: RodWork): number {
  const { cableLine, turn } = work;
  const o = 4 * (i * arm.cables + c);
  const t = 9 * i;
  const x = cableLine[o] as number;
  const y = cableLine[o + 1] as number;
  const z = cableLine[o + 2] as number;
  const u = (turn[t] as number) * x + (turn[t + 1] as number) * y + (turn[t + 2] as number) * z;
  const v = (turn[t + 3] as number) * x + (turn[t + 4] as number) * y + (turn[t + 5] as number) * z;
  const w = (turn[t + 6] as number) * x + (turn[t + 7] as number) * y + (turn[t + 8] as number) * z;
  const leaves = angleOf(u, v, w);
  if (i === work.firstFree) return leaves;
  const p = o - 4 * arm.cables;
  return leaves + angleOf(cableLine[p] as number, cableLine[p + 1] as number, cableLine[p + 2] as number);
}

/** Angle of a unit vector with z, rad. */
function angleOf(x: number, y: number, z: number): number {
  const sine = Math.sqrt(x * x + y * y);
  return z > 0 && sine < 1 ? Math.asin(sine) : Math.atan2(sine, z);
}

/** Tension of cable c at its drive, N. */
export function driveTension(arm: ArmModel, state: RodState, c: number): number {
  const grip = state.grip[arm.cables * arm.spans + c] as number;
  return (state.tension[c] as number) * Math.exp(grip * (arm.conduitFriction[nominal] as number) * arm.conduitTurn);
}
