/**
 * A base that gives: the guide's exit moves by its compliance times the wrench that the arm leaves on it.
 *
 * The compliance is L L' (its root L by Cholesky), and the motion of the exit, a rotation vector and a translation in its own axes, is L n: six
 * more unknowns n of unit stiffness, at the foot of the sweep. There the sweep has left the wrench p of all that hangs on the first free
 * vertebra and its second derivative P, so the base is one more small system, M = 1 + R' P R, with R the motion of that vertebra a unit n.
 * (Left out of M is the bend of the exponential itself, a sixth of the wrench times the turn of the base: steps then shrink a thousandfold each
 * rather than quadratically; the balance is exact.) A rigid way is a row of zeros in L. Nothing here is called for an arm whose base is rigid.
 */
import type { ArmModel } from "../arm/index.ts";
import { countNegative, factorLu, solveLu } from "../math/index.ts";
import type { Stance } from "./model.ts";
import type { RodWork } from "./work.ts";

/** Takes exit and root for a stance; the compliance's axes do not roll with the arm. */
export function setBase(arm: ArmModel, stance: Stance, work: RodWork): void {
  work.hasBase = arm.baseRoot.length > 0;
  if (!work.hasBase) return;
  const { baseRoot, exitFrame } = work;
  const roll = stance.roll ?? 0;
  const c = Math.cos(roll);
  const s = Math.sin(roll);
  for (let r = 0; r < 6; r += 3) {
    for (let k = 0; k < 6; k++) {
      const x = arm.baseRoot[6 * r + k] as number;
      const y = arm.baseRoot[6 * r + 6 + k] as number;
      baseRoot[6 * r + k] = c * x + s * y;
      baseRoot[6 * r + 6 + k] = c * y - s * x;
      baseRoot[6 * r + 12 + k] = arm.baseRoot[6 * r + 12 + k] as number;
    }
  }
  for (let k = 0; k < 9; k++) exitFrame[k] = stance.base[k] as number;
  for (let r = 0; r < 3; r++) exitFrame[9 + r] = (stance.base[9 + r] as number) + stance.exit * (stance.base[3 * r + 2] as number);
  work.exit = stance.exit;
}

/** Frames of the vertebrae in the guide and of the first free one, with the base as far as it gives in `work.base`; `work.footReach` too. */
export function placeBase(arm: ArmModel, work: RodWork): void {
  const { base, baseRoot, baseMotion, exitFrame, frame, footReach, firstFree } = work;
  for (let r = 0; r < 6; r++) {
    let sum = 0;
    for (let k = 0; k < 6; k++) sum += (baseRoot[6 * r + k] as number) * (base[k] as number);
    baseMotion[r] = sum;
  }
  expandMotion(baseMotion, work);
  const { baseTurn } = work;
  for (let i = 0; i <= firstFree; i++) {
    const o = 12 * i;
    const z = (arm.along[i] as number) - work.exit;
    for (let r = 0; r < 3; r++) {
      const a = exitFrame[3 * r] as number;
      const b = exitFrame[3 * r + 1] as number;
      const c = exitFrame[3 * r + 2] as number;
      for (let k = 0; k < 3; k++) {
        frame[o + 3 * r + k] = a * (baseTurn[k] as number) + b * (baseTurn[3 + k] as number) + c * (baseTurn[6 + k] as number);
      }
      const shift = a * (baseTurn[9] as number) + b * (baseTurn[10] as number) + c * (baseTurn[11] as number);
      frame[o + 9 + r] = (exitFrame[9 + r] as number) + shift + z * (frame[o + 3 * r + 2] as number);
    }
  }
  // motion of the exit in its own moved axes: the right Jacobian of the exponential, column by column; then of the first free vertebra
  const height = (arm.along[firstFree] as number) - work.exit;
  for (let k = 0; k < 6; k++) {
    jacobianColumn(baseMotion, baseRoot, k, footReach);
    footReach[18 + k] = (footReach[18 + k] as number) + height * (footReach[6 + k] as number);
    footReach[24 + k] = (footReach[24 + k] as number) - height * (footReach[k] as number);
  }
}

/** exp of a motion, into `work.baseTurn`: rotation [9] and translation [3]. */
function expandMotion(motion: Float64Array, work: RodWork): void {
  const out = work.baseTurn;
  const x = motion[0] as number;
  const y = motion[1] as number;
  const z = motion[2] as number;
  const q = x * x + y * y + z * z;
  const t = Math.sqrt(q);
  const a = t < 1e-3 ? 1 - (q / 6) * (1 - q / 20) : Math.sin(t) / t;
  const b = t < 1e-3 ? 0.5 - (q / 24) * (1 - q / 30) : (1 - Math.cos(t)) / q;
  const c = t < 1e-3 ? 1 / 6 - (q / 120) * (1 - q / 42) : (t - Math.sin(t)) / (q * t);
  out[0] = 1 - b * (y * y + z * z);
  out[1] = b * x * y - a * z;
  out[2] = b * x * z + a * y;
  out[3] = b * x * y + a * z;
  out[4] = 1 - b * (x * x + z * z);
  out[5] = b * y * z - a * x;
  out[6] = b * x * z - a * y;
  out[7] = b * y * z + a * x;
  out[8] = 1 - b * (x * x + y * y);
  const u = motion[3] as number;
  const v = motion[4] as number;
  const w = motion[5] as number;
  const dot = x * u + y * v + z * w;
  const d = 1 - c * q;
  out[9] = d * u + b * (y * w - z * v) + c * dot * x;
  out[10] = d * v + b * (z * u - x * w) + c * dot * y;
  out[11] = d * w + b * (x * v - y * u) + c * dot * z;
}

/** Terms of the series of the Jacobian; a base that turns by half a radian is met to 1e-10. */
const mostTerms = 9;

/** Column k of J(motion) root into column k of `out`, both [6, 6]. */
function jacobianColumn(motion: Float64Array, root: Float64Array, k: number, out: Float64Array): void {
  const x = motion[0] as number;
  const y = motion[1] as number;
  const z = motion[2] as number;
  const u = motion[3] as number;
  const v = motion[4] as number;
  const w = motion[5] as number;
  let a0 = root[k] as number;
  let a1 = root[6 + k] as number;
  let a2 = root[12 + k] as number;
  let b0 = root[18 + k] as number;
  let b1 = root[24 + k] as number;
  let b2 = root[30 + k] as number;
  for (let r = 0; r < 6; r++) out[6 * r + k] = root[6 * r + k] as number;
  for (let n = 2; n <= mostTerms; n++) {
    // minus the bracket with the motion, over n
    const c0 = -(y * a2 - z * a1) / n;
    const c1 = -(z * a0 - x * a2) / n;
    const c2 = -(x * a1 - y * a0) / n;
    const d0 = -(v * a2 - w * a1 + y * b2 - z * b1) / n;
    const d1 = -(w * a0 - u * a2 + z * b0 - x * b2) / n;
    const d2 = -(u * a1 - v * a0 + x * b1 - y * b0) / n;
    a0 = c0;
    a1 = c1;
    a2 = c2;
    b0 = d0;
    b1 = d1;
    b2 = d2;
    out[k] = (out[k] as number) + a0;
    out[6 + k] = (out[6 + k] as number) + a1;
    out[12 + k] = (out[12 + k] as number) + a2;
    out[18 + k] = (out[18 + k] as number) + b0;
    out[24 + k] = (out[24 + k] as number) + b1;
    out[30 + k] = (out[30 + k] as number) + b2;
  }
}

/**
 * The base's part of the tangent, once the sweep has come to the first free vertebra.
 *
 * @param p offset of the wrench [6] in `work.scratch`, @param P offset of the second derivative [6, 6]
 * @param guard lift what is below zero, so that a step along the solution lowers the energy
 */
export function factorBase(p: number, P: number, guard: boolean, work: RodWork): void {
  const { scratch, base, footReach, footCurvature, footGive, footPush, footWork, footPivots } = work;
  for (let k = 0; k < 36; k++) footCurvature[k] = scratch[P + k] as number;
  for (let k = 0; k < 6; k++) {
    let sum = base[k] as number;
    for (let r = 0; r < 6; r++) sum += (footReach[6 * r + k] as number) * (scratch[p + r] as number);
    footPush[k] = -sum;
    work.energy += 0.5 * (base[k] as number) * (base[k] as number);
  }
  // P R, then 1 + R' P R
  for (let r = 0; r < 6; r++) {
    for (let k = 0; k < 6; k++) {
      let sum = 0;
      for (let j = 0; j < 6; j++) sum += (footCurvature[6 * r + j] as number) * (footReach[6 * j + k] as number);
      footWork[6 * r + k] = sum;
    }
  }
  for (let r = 0; r < 6; r++) {
    for (let k = 0; k < 6; k++) {
      let sum = r === k ? 1 + work.lift : 0;
      for (let j = 0; j < 6; j++) sum += (footReach[6 * j + r] as number) * (footWork[6 * j + k] as number);
      footWork[36 + 6 * r + k] = sum;
    }
  }
  for (let k = 0; k < 36; k++) footWork[k] = footWork[36 + k] as number;
  const negative = countNegative(footWork, 6, 6);
  work.negative += negative;
  for (let k = 0; k < 36; k++) footWork[k] = footWork[36 + k] as number;
  if (guard && negative > 0) liftBase(work);
  factorLu(footWork, 6, 6, footPivots);
  footGive.fill(0);
  for (let k = 0; k < 6; k++) footGive[7 * k] = 1;
  for (let k = 0; k < 6; k++) solveLu(footWork, 6, 6, footPivots, footGive, 6 * k);
}

/** Adds to the diagonal until nothing is below zero; the sum of a row bounds how much that takes. */
function liftBase(work: RodWork): void {
  const { footWork } = work;
  let most = 0;
  for (let r = 0; r < 6; r++) {
    let sum = 0;
    for (let k = 0; k < 6; k++) sum += Math.abs(footWork[36 + 6 * r + k] as number);
    most = Math.max(most, sum);
  }
  for (let k = 0; k < 6; k++) footWork[7 * k] = (footWork[7 * k] as number) + 2 * most;
}

/** What reduced columns leave on the base: added to their part in it. */
export function reduceRoots(from: number, count: number, work: RodWork): void {
  const { columnRoot, columnFoot, footReach } = work;
  for (let c = 6 * from; c < 6 * (from + count); c += 6) {
    for (let k = 0; k < 6; k++) {
      let sum = columnRoot[c + k] as number;
      for (let r = 0; r < 6; r++) sum += (footReach[6 * r + k] as number) * (columnFoot[c + r] as number);
      columnRoot[c + k] = sum;
    }
  }
}

/** Overwrites the columns' parts in the base by its solution, and adds its motion to the one at `work.columnBase`. */
export function returnRoots(from: number, count: number, work: RodWork): void {
  const { columnRoot, columnBase, footReach, footGive, footCurvature, footWork } = work;
  for (let c = 6 * from; c < 6 * (from + count); c += 6) {
    // what the given motion of the base changes in the wrench there
    for (let r = 0; r < 6; r++) {
      let sum = 0;
      for (let k = 0; k < 6; k++) sum += (footCurvature[6 * r + k] as number) * (columnBase[c + k] as number);
      footWork[r] = sum;
    }
    for (let k = 0; k < 6; k++) {
      let sum = columnRoot[c + k] as number;
      for (let r = 0; r < 6; r++) sum -= (footReach[6 * r + k] as number) * (footWork[r] as number);
      footWork[6 + k] = sum;
    }
    for (let k = 0; k < 6; k++) {
      let sum = 0;
      for (let r = 0; r < 6; r++) sum += (footGive[6 * k + r] as number) * (footWork[6 + r] as number);
      columnRoot[c + k] = sum;
    }
    for (let r = 0; r < 6; r++) {
      let sum = columnBase[c + r] as number;
      for (let k = 0; k < 6; k++) sum += (footReach[6 * r + k] as number) * (columnRoot[c + k] as number);
      columnBase[c + r] = sum;
    }
  }
}

/** The base's share in the product of two reduced columns. */
export function dotRoots(a: number, c: number, work: RodWork): number {
  const { columnRoot, footGive } = work;
  let sum = 0;
  for (let r = 0; r < 6; r++) {
    for (let k = 0; k < 6; k++) {
      sum += (columnRoot[6 * a + r] as number) * (footGive[6 * r + k] as number) * (columnRoot[6 * c + k] as number);
    }
  }
  return sum;
}

/** What a unit roll of the base does along a reduced column. */
export function rollAlong(c: number, work: RodWork): number {
  const { columnRoot, columnFoot, footGive, footReach, footCurvature } = work;
  let along = columnFoot[6 * c + 2] as number;
  if (!work.hasBase) return along;
  for (let k = 0; k < 6; k++) {
    let pushed = 0;
    for (let r = 0; r < 6; r++) pushed += (footReach[6 * r + k] as number) * (footCurvature[6 * r + 2] as number);
    for (let r = 0; r < 6; r++) along -= (columnRoot[6 * c + r] as number) * (footGive[6 * r + k] as number) * pushed;
  }
  return along;
}

/** Adds one column's part in the base to another's. */
export function addRoot(into: number, from: number, factor: number, work: RodWork): void {
  if (!work.hasBase) return;
  const { columnRoot } = work;
  for (let k = 0; k < 6; k++) {
    columnRoot[6 * into + k] = (columnRoot[6 * into + k] as number) + factor * (columnRoot[6 * from + k] as number);
  }
}

/** Where a line search of the base starts from. */
export function saveBase(work: RodWork): void {
  if (work.hasBase) for (let k = 0; k < 6; k++) work.baseSaved[k] = work.base[k] as number;
}

/** The base at a share of its step, from where it was saved. */
export function searchBase(share: number, work: RodWork): void {
  if (!work.hasBase) return;
  for (let k = 0; k < 6; k++) work.base[k] = (work.baseSaved[k] as number) + share * (work.baseStep[k] as number);
}

/** Moves the base by a share of its step. */
export function stepBase(share: number, work: RodWork): void {
  saveBase(work);
  searchBase(share, work);
}

/** Slope of the energy along the base's step. */
export function slopeOfBase(work: RodWork): number {
  let slope = 0;
  if (work.hasBase) for (let k = 0; k < 6; k++) slope -= (work.footPush[k] as number) * (work.baseStep[k] as number);
  return slope;
}

/** Length over which a shift counts as an angle, m. */
const shiftArm = 0.1;

/**
 * Largest motion of the first free vertebra with the base by some of its unknowns, rad (a shift: over a tenth of a metre).
 *
 * @param parts [6]
 */
export function turnOfBase(parts: Float64Array, work: RodWork): number {
  const { footReach } = work;
  let largest = 0;
  for (let r = 0; r < 6; r++) {
    let sum = 0;
    for (let k = 0; k < 6; k++) sum += (footReach[6 * r + k] as number) * (parts[k] as number);
    const value = Math.abs(sum) / (r < 3 ? 1 : shiftArm);
    if (!(value <= largest)) largest = value;
  }
  return largest;
}
