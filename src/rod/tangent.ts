/** One full evaluation at given strains and tensions: shape, energy, gradient, factored tangent; and solves that include a tip wrench without potential. */
import type { ArmModel } from "../arm/index.ts";
import { factorLu, solveLu } from "../math/index.ts";
import { spreadEffort } from "./effort.ts";
import { shareTensions } from "./friction.ts";
import { addRoot, turnOfBase } from "./give-base.ts";
import { applyLoads } from "./loads.ts";
import type { Load, RodState } from "./model.ts";
import { placeArm } from "./place.ts";
import { solveColumns } from "./solve-columns.ts";
import { factorTangent } from "./sweep.ts";
import type { RodWork } from "./work.ts";

/** Energy, gradient and factored tangent at `strain` and `tension`; the stance must be set. */
export function evaluate(arm: ArmModel, load: Load, strain: Float64Array, tension: Float64Array, guard: boolean, work: RodWork): void {
  work.energy = 0;
  placeArm(arm, strain, work);
  if (work.hasGrip) shareTensions(arm, work);
  applyLoads(arm, load, work);
  factorTangent(arm, strain, tension, guard, work);
}

/** The same with the tensions that the efforts of a held shape take, friction included: into `state.tension`. */
export function evaluateHeld(arm: ArmModel, load: Load, state: RodState, work: RodWork): void {
  work.energy = 0;
  placeHeld(arm, state, work);
  applyLoads(arm, load, work);
  factorTangent(arm, state.strain, state.tension, false, work);
}

/** Shape and tensions alone. */
export function placeHeld(arm: ArmModel, state: RodState, work: RodWork): void {
  placeArm(arm, state.strain, work);
  if (work.hasGrip) shareTensions(arm, work);
  spreadEffort(arm, state.effort, state.tension, work);
}

/**
 * Factors once more with so much of the rods' own stiffness on top that every motion costs energy (Levenberg and Marquardt): the
 * step then goes downhill, however far the arm is beyond buckling.
 *
 * @param start share to begin with; returns the one that was enough
 */
export function liftTangent(arm: ArmModel, strain: Float64Array, tension: Float64Array, start: number, work: RodWork): number {
  const { energy } = work;
  work.lift = start;
  for (;;) {
    factorTangent(arm, strain, tension, false, work);
    if (work.negative === 0 || work.lift > mostLift) break;
    work.lift *= 4;
  }
  const enough = work.lift;
  work.lift = 0;
  work.energy = energy;
  return enough;
}

const mostLift = 1e12;

/** An empty column: no right-hand side, no tip wrench, no base motion. */
export function clearColumn(arm: ArmModel, c: number, work: RodWork): void {
  const n = arm.spans;
  if (c > 0) work.gathered = false;
  work.column.fill(0, 4 * n * c, 4 * n * (c + 1));
  work.columnEnd[c] = n;
  work.columnTip.fill(0, 6 * c, 6 * c + 6);
  work.columnBase.fill(0, 6 * c, 6 * c + 6);
  if (work.hasBase) work.columnRoot.fill(0, 6 * c, 6 * c + 6);
}

/** Column c = minus the gradient: its solution is the Newton step at fixed tensions. */
export function gradientColumn(arm: ArmModel, c: number, work: RodWork): void {
  clearColumn(arm, c, work);
  const o = 4 * arm.spans * c;
  for (let k = 4 * work.firstFree; k < 4 * arm.spans; k++) work.column[o + k] = -(work.gradient[k] as number);
  if (work.hasBase) for (let k = 0; k < 6; k++) work.columnRoot[6 * c + k] = work.footPush[k] as number;
}

/**
 * `solveColumns` for the full tangent. A tip wrench without potential adds G' A G (G: motion of the tip, A skew, 6 x 6):
 * with the tip's response Z to six unit wrenches, x = x0 - Z A (I + C A)^-1 G x0.
 */
export function solveTangent(arm: ArmModel, count: number, work: RodWork): void {
  if (!work.hasSkew) {
    solveColumns(arm, count, work);
    return;
  }
  const n = arm.spans;
  for (let k = 0; k < 6; k++) {
    clearColumn(arm, count + k, work);
    work.columnTip[6 * (count + k) + k] = 1;
  }
  solveColumns(arm, count + 6, work);
  const { dense, denseRight, tipSkew, motion, column, columns } = work;
  const tip = (c: number): number => 6 * ((n + 1) * c + n);
  for (let r = 0; r < 6; r++) {
    for (let k = 0; k < 6; k++) {
      let sum = r === k ? 1 : 0;
      for (let j = 0; j < 6; j++) sum += (motion[tip(count + j) + r] as number) * (tipSkew[6 * j + k] as number);
      dense[columns * r + k] = sum;
    }
  }
  factorLu(dense, 6, columns, work.pivots);
  for (let c = 0; c < count; c++) {
    for (let k = 0; k < 6; k++) denseRight[k] = motion[tip(c) + k] as number;
    solveLu(dense, 6, columns, work.pivots, denseRight);
    for (let k = 0; k < 6; k++) {
      let factor = 0;
      for (let j = 0; j < 6; j++) factor += (tipSkew[6 * k + j] as number) * (denseRight[j] as number);
      if (factor === 0) continue;
      addScaled(column, 4 * n * c, column, 4 * n * (count + k), 4 * n, -factor);
      if (work.hasBase) addRoot(c, count + k, -factor, work);
      addScaled(motion, 6 * (n + 1) * c, motion, 6 * (n + 1) * (count + k), 6 * (n + 1), -factor);
    }
  }
}

/** into[o + k] += factor * from[p + k] for k below count */
export function addScaled(into: Float64Array, o: number, from: Float64Array, p: number, count: number, factor: number): void {
  for (let k = 0; k < count; k++) into[o + k] = (into[o + k] as number) + factor * (from[p + k] as number);
}

/** into[k] = from[k] for k below count: no view is made */
export function copyRange(into: Float64Array, from: Float64Array, count: number): void {
  for (let k = 0; k < count; k++) into[k] = from[k] as number;
}

/** The solution in column 0 as a step of the strains and of the base. */
export function takeStep(arm: ArmModel, work: RodWork): void {
  copyRange(work.step, work.column, 4 * arm.spans);
  if (work.hasBase) copyRange(work.baseStep, work.columnRoot, 6);
}

/** Greatest change of a joint by a step of strains, rad (axial: as a share of the span), and of the base by its part in it. @param step `work.step`, or column 0 of `work.column` */
export function largestTurn(arm: ArmModel, step: Float64Array, o: number, work: RodWork): number {
  let largest = work.hasBase ? turnOfBase(step === work.step ? work.baseStep : work.columnRoot, work) : 0;
  for (let i = work.firstFree; i < arm.spans; i++) {
    const l = work.flexible[i] as number;
    for (let k = 0; k < 4; k++) {
      const value = Math.abs((k === 3 ? 1 : l) * (step[o + 4 * i + k] as number));
      if (!(value <= largest)) largest = value;
    }
  }
  return largest;
}
