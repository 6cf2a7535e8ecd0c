/** Puts the friction that follows a step of a held shape into the step. */
import type { ArmModel } from "../arm/index.ts";
import { changeShares } from "./friction-rates.ts";
import { pullColumn, solveGathered, solveNear } from "./solve-near.ts";
import { addScaled, clearColumn, copyRange, largestTurn } from "./tangent.ts";
import type { RodWork } from "./work.ts";

/** Rounds for one step; each leaves some tenth of what the one before it left. */
const mostRounds = 8;

/**
 * @param near the dense system is of an earlier tangent
 * @param enough rad: what may be left out
 * @param work the arm placed, `shareRate` of this shape or one near it, its tangent factored, the system of efforts and bends too; the step stands in `step`, in column 0 and in the first
 *   of `denseRight`, and is overwritten in `step` and `denseRight`
 */
export function rubStep(arm: ArmModel, limp: number, tension: Float64Array, near: boolean, enough: number, work: RodWork): void {
  const held = 2 * (arm.sections - limp);
  const { step, column, denseRight, effortStep } = work;
  const n4 = 4 * arm.spans;
  copyRange(effortStep, denseRight, held);
  keepRoot(work);
  let before = Number.POSITIVE_INFINITY;
  for (let round = 0; round < mostRounds; round++) {
    changeShares(arm, 0, work);
    changeTensions(arm, work);
    clearColumn(arm, 0, work);
    pullColumn(arm, 0, tension, work);
    if (near) solveNear(arm, undefined, limp, work);
    else solveGathered(arm, undefined, limp, work);
    const size = largestTurn(arm, column, 0, work);
    if (!(size < before)) break;
    addScaled(step, 0, column, 0, n4, 1);
    if (work.hasBase) addScaled(work.baseStep, 0, work.columnRoot, 0, 6, 1);
    addScaled(effortStep, 0, denseRight, 0, held, 1);
    if (work.hasBase) addScaled(work.rootStep, 0, work.columnRoot, 0, 6, 1);
    if (size <= enough) break;
    before = size;
  }
  copyRange(denseRight, effortStep, held);
  if (work.hasBase) copyRange(work.columnRoot, work.rootStep, 6);
}

/** The base's part of the step, which the column's next solution writes over. */
function keepRoot(work: RodWork): void {
  if (work.hasBase) copyRange(work.rootStep, work.columnRoot, 6);
}

/** `work.tensionChange`: the tensions that keep the efforts, and the slackest place of each cable at its pretension, while shares change. */
function changeTensions(arm: ArmModel, work: RodWork): void {
  const { floor, floorChange, tensionChange, tensionRate, effortArm, grip, friction } = work;
  const turn = (friction[1] as number) * arm.conduitTurn;
  for (let j = 0; j < arm.sections; j++) {
    const first = arm.firstCable[j] as number;
    const end = arm.firstCable[j + 1] as number;
    let x = 0;
    let y = 0;
    for (let c = first; c < end; c++) {
      const conduit = Math.exp((grip[arm.cables * arm.spans + c] as number) * turn);
      const inArm = (arm.pretension[c] as number) < conduit * (floor[c] as number);
      const change = inArm ? -(floor[c] as number) * (floorChange[c] as number) : 0;
      tensionChange[c] = change;
      if (tensionRate[2 * c] === 0 && tensionRate[2 * c + 1] === 0) continue;
      x += change * (effortArm[2 * c] as number);
      y += change * (effortArm[2 * c + 1] as number);
    }
    for (let c = first; c < end; c++) {
      const rx = tensionRate[2 * c] as number;
      const ry = tensionRate[2 * c + 1] as number;
      if (rx !== 0 || ry !== 0) tensionChange[c] = rx * x + ry * y;
    }
  }
}
