/** In how many directions an arm would leave its balance at fixed tensions, also under a tip wrench that has no potential. */
import type { ArmModel } from "../arm/index.ts";
import { solveTangent } from "./tangent.ts";
import type { RodWork } from "./work.ts";

/** Largest part of a unit motion of the tip that the wrench's lack of potential gives back, for a tip that counts as led. */
const led = 0.01;

/**
 * Directions in which the arm leaves its balance at fixed tensions.
 *
 * With a tip wrench without potential the tangent is H + G' A G, A skew, and the count is the parity of its determinant (1 when
 * negative): the first static divergence is a sign change of it. A round rod has its directions two by two, and the parity shows none of
 * them; where walls lead the tip so that A does next to nothing, all of H's directions are counted.
 *
 * @param work `evaluate` was called without guard
 */
export function countDivergent(arm: ArmModel, work: RodWork): number {
  if (!work.hasSkew || work.negative === 0) return work.negative;
  const odd = parityDivergent(arm, work);
  return givenBack(arm, work) < led ? work.negative : odd;
}

/** 1 when the tangent's determinant is negative, 0 when it is not. */
export function parityDivergent(arm: ArmModel, work: RodWork): number {
  let odd = work.negative & 1;
  if (!work.hasSkew) return odd;
  solveTangent(arm, 0, work);
  for (let k = 0; k < 6; k++) {
    if ((work.dense[work.columns * k + k] as number) < 0) odd = 1 - odd;
    if (work.pivots[k] !== k) odd = 1 - odd;
  }
  return odd;
}

/** Largest row sum of C A, C the tip's compliance, lengths as shares of the arm's. */
function givenBack(arm: ArmModel, work: RodWork): number {
  const { motion, tipSkew } = work;
  const length = arm.along[arm.spans] as number;
  let most = 0;
  for (let r = 0; r < 6; r++) {
    let row = 0;
    for (let k = 0; k < 6; k++) {
      let sum = 0;
      for (let j = 0; j < 6; j++) sum += (motion[6 * ((arm.spans + 1) * j + arm.spans) + r] as number) * (tipSkew[6 * j + k] as number);
      row += Math.abs(sum) * (k < 3 ? 1 : length);
    }
    most = Math.max(most, r < 3 ? row : row / length);
  }
  return most;
}
