/** The line search of the held closure among walls: it has no energy to lower, so what is left over must fall. */
import type { ArmModel } from "../arm/index.ts";
import { saveBase, searchBase, turnOfBase } from "./give-base.ts";
import type { Load, RodState } from "./model.ts";
import { evaluateHeld } from "./tangent.ts";
import type { RodWork } from "./work.ts";

/**
 * Walls let go and take hold along a step: it is shortened until what is left over falls.
 *
 * @param before what was left over where it starts
 */
export function searchHeld(
  arm: ArmModel,
  load: Load,
  bend: Float64Array,
  limp: number,
  state: RodState,
  before: number,
  most: number,
  work: RodWork,
): void {
  const { strain, effort } = state;
  const { lineStrain, lineEffort, step, denseRight } = work;
  lineStrain.set(strain);
  lineEffort.set(effort);
  saveBase(work);
  let share = most;
  for (let halving = 0; ; halving++) {
    for (let k = 0; k < strain.length; k++) strain[k] = (lineStrain[k] as number) + share * (step[k] as number);
    for (let k = 2 * limp; k < effort.length; k++) effort[k] = (lineEffort[k] as number) + share * (denseRight[k - 2 * limp] as number);
    if (work.hasBase) searchBase(share, work);
    evaluateHeld(arm, load, state, work);
    if (halving === mostHalvings || unbalance(arm, bend, limp, work) < (1 - 1e-3 * share) * before) return;
    share /= 2;
  }
}

const mostHalvings = 10;

/** Sum of squares of what is left over, as the angle (axial: the strain) by which each joint alone would take it up, and of the bends that are missing, rad^2. */
export function unbalance(arm: ArmModel, bend: Float64Array, limp: number, work: RodWork): number {
  const { gradient } = work;
  let sum = 0;
  for (let i = work.firstFree; i < arm.spans; i++) {
    const l = work.flexible[i] as number;
    for (let k = 0; k < 4; k++) {
      if (arm.freeStrain[4 * i + k] !== 1) continue;
      const angle = ((gradient[4 * i + k] as number) / (arm.stiffness[16 * i + 5 * k] as number)) * (k === 3 ? 1 / l : 1);
      sum += angle * angle;
    }
  }
  if (work.hasBase) sum += turnOfBase(work.footPush, work) ** 2;
  for (let k = 2 * limp; k < 2 * arm.sections; k++) sum += ((bend[k] as number) - (work.bend[k] as number)) ** 2;
  return sum;
}
