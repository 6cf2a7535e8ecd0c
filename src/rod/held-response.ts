/** How a held shape moves when its bends or the roll of its base change. */
import type { ArmModel } from "../arm/index.ts";
import { factorLu, solveLu } from "../math/index.ts";
import { rollAlong } from "./give-base.ts";
import { bendChange, firstHeld, gatherModes } from "./held-modes.ts";
import { combineColumns, dotsReduced, reduceColumns, returnColumn } from "./solve-columns.ts";
import { addScaled, clearColumn } from "./tangent.ts";
import type { RodWork } from "./work.ts";

/**
 * Motion of every vertebra a unit bend of each held section and a unit base roll, bends held: into `work.response`
 * [2 section + 1, vertebra, 6], own axes; the last block is the roll. `bendCompliance` is written too. Call it right after a solve that converged.
 */
export function heldResponse(arm: ArmModel, work: RodWork): void {
  const limp = firstHeld(arm, work);
  const held = 2 * (arm.sections - limp);
  const block = 6 * (arm.spans + 1);
  const { denseRight, response, motion } = work;
  response.fill(0);
  // vertebrae in the guide only roll
  const guide = 6 * work.firstFree;
  for (let k = 2; k < guide; k += 6) response[block * 2 * arm.sections + k] = 1;
  if (!factorModes(arm, limp, held, work)) return;
  for (let mode = 0; mode <= held; mode++) {
    const roll = mode === held;
    const o = roll ? block * 2 * arm.sections : block * (2 * limp + mode);
    solveMode(mode, held, work);
    if (work.hasSkew) {
      if (roll) addScaled(response, o + guide, motion, guide, block - guide, 1);
      for (let k = 0; k < held; k++)
        addScaled(response, o + guide, motion, block * (1 + k) + guide, block - guide, denseRight[k] as number);
      continue;
    }
    clearColumn(arm, 0, work);
    work.columnBase[2] = roll ? 1 : 0;
    combineColumns(arm, 0, 1, held, work);
    returnColumn(arm, 0, work);
    for (let k = guide; k < block; k++) response[o + k] = motion[k] as number;
  }
}

/**
 * The same of the tip vertebra alone, into `work.tipResponse` [2 section + 1, 6]: no column is returned, the products of the efforts'
 * reduced columns with those of six wrenches on the tip are its motions. `bendCompliance` is written too.
 */
export function heldTipResponse(arm: ArmModel, work: RodWork): void {
  const limp = firstHeld(arm, work);
  const held = 2 * (arm.sections - limp);
  const { denseRight, columns, tipResponse, motion, columnTip } = work;
  const tip = 6 * arm.spans;
  const rollAt = 12 * arm.sections;
  tipResponse.fill(0);
  if (!factorModes(arm, limp, held, work)) return;
  const first = 1 + 2 * held;
  // motion of the tip a unit effort in the rows after the first two, by the roll alone in the one after
  const o = 2 * columns;
  if (!work.hasSkew) {
    for (let k = 0; k < 6; k++) {
      clearColumn(arm, first + k, work);
      columnTip[6 * (first + k) + k] = 1;
    }
    reduceColumns(arm, first, 6, work);
    dotsReduced(arm, 1, held, first, 6, denseRight, o, work);
  }
  for (let k = 0; k < 6; k++) {
    if (work.hasSkew)
      for (let c = 0; c < held; c++) denseRight[o + columns * c + k] = motion[6 * (arm.spans + 1) * (1 + c) + tip + k] as number;
    denseRight[o + columns * held + k] = work.hasSkew ? (motion[tip + k] as number) : rollAlong(first + k, work);
  }
  for (let mode = 0; mode <= held; mode++) {
    solveMode(mode, held, work);
    const at = mode === held ? rollAt : 6 * (2 * limp + mode);
    for (let k = 0; k < 6; k++) {
      let sum = mode === held ? (denseRight[o + columns * held + k] as number) : 0;
      for (let c = 0; c < held; c++) sum += (denseRight[c] as number) * (denseRight[o + columns * c + k] as number);
      tipResponse[at + k] = sum;
    }
  }
}

/**
 * The dense system of efforts and bends, factored; bends a unit effort into `bendCompliance`, what the roll alone does to the bends
 * into the second row of `denseRight`. Column 0 is the roll when a tip wrench without potential is there.
 */
function factorModes(arm: ArmModel, limp: number, held: number, work: RodWork): boolean {
  const { dense, denseRight, columns, bendCompliance } = work;
  clearColumn(arm, 0, work);
  work.columnBase[2] = 1;
  if (!work.gathered) gatherModes(arm, limp, held, work);
  work.gathered = false; // `dense` is factored in place
  bendCompliance.fill(0);
  for (let r = 0; r < held; r++) bendCompliance[2 * limp + r] = dense[columns * r + r] as number;
  // the wrench of a bend's reduced column at the base
  for (let r = 0; r < held; r++) {
    denseRight[columns + r] = work.hasSkew ? bendChange(arm, 2 * limp + r, 0, work) : rollAlong(1 + held + r, work);
  }
  return held === 0 || factorLu(dense, held, columns, work.pivots);
}

/** Efforts that make a unit of one bend alone, or that keep the bends while the base rolls by one, into the first row of `denseRight`. */
function solveMode(mode: number, held: number, work: RodWork): void {
  const { dense, denseRight, columns } = work;
  denseRight.fill(0, 0, held);
  if (mode < held) denseRight[mode] = 1;
  else for (let r = 0; r < held; r++) denseRight[r] = -(denseRight[columns + r] as number);
  solveLu(dense, held, columns, work.pivots, denseRight);
}
