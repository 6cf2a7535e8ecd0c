/** Held solves with a tangent and a dense system of efforts and bends that stand factored. */
import type { ArmModel } from "../arm/index.ts";
import { solveLu } from "../math/index.ts";
import { addRoot } from "./give-base.ts";
import { bendChange } from "./held-modes.ts";
import { combineColumns, dotsReduced, reduceColumn, returnColumn } from "./solve-columns.ts";
import { addScaled, clearColumn } from "./tangent.ts";
import type { RodWork } from "./work.ts";

/**
 * @param bend [section, 2] rad; bends are kept when absent
 * @param work column 0 holds the right-hand side and is overwritten by the strains' change, the first of `denseRight` by the efforts'; the
 *   other columns are as `gatherModes` left them for this tangent
 */
export function solveGathered(arm: ArmModel, bend: Float64Array | undefined, limp: number, work: RodWork): void {
  const held = 2 * (arm.sections - limp);
  const { dense, denseRight, columns } = work;
  if (!work.hasSkew) {
    reduceColumn(arm, 0, work);
    dotsReduced(arm, 1 + held, held, 0, 1, denseRight, columns, work);
  }
  for (let r = 0; r < held; r++) {
    const mode = 2 * limp + r;
    const change = work.hasSkew ? bendChange(arm, mode, 0, work) : (denseRight[columns * (1 + r)] as number);
    denseRight[r] = (bend === undefined ? 0 : (bend[mode] as number) - (work.bend[mode] as number)) - change;
  }
  solveLu(dense, held, columns, work.pivots, denseRight);
  combineColumns(arm, 0, 1, held, work);
  if (!work.hasSkew) returnColumn(arm, 0, work);
}

/** The same where the dense system is of an earlier tangent: two columns are reduced and returned, 0 and 1. */
export function solveNear(arm: ArmModel, bend: Float64Array | undefined, limp: number, work: RodWork): void {
  const held = 2 * (arm.sections - limp);
  const { dense, denseRight, columns, column, tensionRate, tensionChange } = work;
  const n4 = 4 * arm.spans;
  reduceColumn(arm, 0, work);
  returnColumn(arm, 0, work);
  changeBends(arm, limp, 0, work);
  for (let r = 0; r < held; r++) {
    const mode = 2 * limp + r;
    denseRight[r] = (bend === undefined ? 0 : (bend[mode] as number) - (work.bend[mode] as number)) - (work.bendChange[mode] as number);
  }
  solveLu(dense, held, columns, work.pivots, denseRight);
  tensionChange.fill(0);
  for (let c = arm.firstCable[limp] as number; c < arm.cables; c++) {
    const k = 2 * ((arm.sectionOfCable[c] as number) - limp);
    tensionChange[c] =
      (tensionRate[2 * c] as number) * (denseRight[k] as number) + (tensionRate[2 * c + 1] as number) * (denseRight[k + 1] as number);
  }
  clearColumn(arm, 1, work);
  pullColumn(arm, 1, undefined, work);
  reduceColumn(arm, 1, work);
  returnColumn(arm, 1, work);
  addScaled(column, 0, column, n4, n4, 1);
  if (work.hasBase) addRoot(0, 1, 1, work);
}

/** Changes of the bends from section `limp` on by the strains of column c, into `work.bendChange`. */
function changeBends(arm: ArmModel, limp: number, c: number, work: RodWork): void {
  const { kernel } = work;
  if (kernel !== undefined) {
    kernel.bendChanges(c, arm.sections, work.firstFree, kernel.bendChangeAt);
    return;
  }
  for (let mode = 2 * limp; mode < 2 * arm.sections; mode++) work.bendChange[mode] = bendChange(arm, mode, c, work);
}

/**
 * Column c = minus what `work.tensionChange` adds to the gradient, with `work.shareChange` too when tensions are given.
 *
 * @param tension [cable] N
 */
export function pullColumn(arm: ArmModel, c: number, tension: Float64Array | undefined, work: RodWork): void {
  const { column, cableRate, share, shareChange, tensionChange, kernel } = work;
  if (kernel !== undefined) {
    if (tension !== undefined) kernel.tension.set(tension);
    kernel.pullColumn(c, tension === undefined ? 0 : 1, work.firstFree);
    return;
  }
  const n = arm.cables;
  for (let i = work.firstFree; i < arm.spans; i++) {
    const h = 4 * (arm.spans * c + i);
    for (let j = 0; j < 4; j++) column[h + j] = 0;
    for (let cable = arm.firstCable[arm.sectionOfSpan[i] as number] as number; cable < n; cable++) {
      const at = i * n + cable;
      let change = tensionChange[cable] as number;
      if (tension !== undefined) change += (tension[cable] as number) * (shareChange[at] as number);
      const pull = (share[at] as number) * change;
      for (let j = 0; j < 4; j++) column[h + j] = (column[h + j] as number) - pull * (cableRate[4 * at + j] as number);
    }
  }
}
