/**
 * The tangent of the whole arm, factored in one sweep from the tip to the guide (the algebra of linear-quadratic
 * control). Cost is linear in the number of spans.
 *
 * A motion d of the lower vertebra and a change du of the span's strains move the upper one by A d + B du, with
 * A = Ad(E^-1) and B the span's reach. To second order the two also mix: 1/2 [A d, B du].
 */
import type { ArmModel } from "../arm/index.ts";
import { factorBase } from "./give-base.ts";
import { addSpanCurvature } from "./span.ts";
import { cables, cableTerms, local, pull, rodTerms } from "./span-terms.ts";
import type { RodWork } from "./work.ts";

/** offsets in `work.scratch`, beside those of span-terms.ts; turn coefficients (0 to 7) belong to span.ts */
const costate = 16; // [6] wrench on the upper vertebra
const curvature = 22; // [6, 6] second derivative of all that hangs on it
const reached = 80; // [strain, 6] curvature times reach

/**
 * Gradient of the energy by all strains, and the factored tangent.
 *
 * @param strain [span, 4], as placed
 * @param tension [cable] N
 * @param guard when true, a pivot below zero is lifted so that a step along the solution lowers the energy
 * @param work frames, loads placed; `gradient`, `pivot`, `gain`, `negative` are written, the rods' and cables' energy added
 */
export function factorTangent(arm: ArmModel, strain: Float64Array, tension: Float64Array, guard: boolean, work: RodWork): void {
  const w = work.scratch;
  for (let k = 0; k < 6; k++) w[costate + k] = work.loadGradient[6 * arm.spans + k] as number;
  for (let k = 0; k < 36; k++) w[curvature + k] = work.loadCurvature[36 * arm.spans + k] as number;
  work.negative = 0;
  const { kernel } = work;
  if (kernel !== undefined) kernel.lift[0] = work.lift;
  for (let i = arm.spans - 1; i >= work.firstFree; i--) {
    rodTerms(arm, strain, i, work);
    cableTerms(arm, tension, i, work);
    if (kernel !== undefined) {
      work.negative += kernel.sweepSpan(i, guard ? 1 : 0);
      continue;
    }
    chainTerms(arm, strain, i, work);
    factorPivot(i, guard, work, arm);
    gainOf(arm, i, work);
    stepDown(i, work);
  }
  if (work.hasBase) factorBase(costate, curvature, guard, work);
  const paths = work.hasGrip ? work.weighted : work.cableLength;
  for (let c = 0; c < arm.cables; c++) work.energy += (tension[c] as number) * (paths[c] as number);
}

/** Gradient and second derivative of span i from its rods, cables and what hangs on its upper vertebra; curvature times reach at `reached`. */
function chainTerms(arm: ArmModel, strain: Float64Array, i: number, work: RodWork): void {
  const w = work.scratch;
  const B = work.reach;
  const b = 24 * i;
  const p0 = w[costate] as number;
  const p1 = w[costate + 1] as number;
  const p2 = w[costate + 2] as number;
  const p3 = w[costate + 3] as number;
  const p4 = w[costate + 4] as number;
  const p5 = w[costate + 5] as number;
  // the costate plus the cables' wrench act on the span's own second derivative
  for (let k = 0; k < 6; k++) w[pull + k] = (w[pull + k] as number) + (w[costate + k] as number);
  addSpanCurvature(strain, i, work.flexible, arm.tail, w, pull, work.turn, B, w, w, local + 4);
  const q00 = w[cables] as number;
  const q11 = w[cables + 1] as number;
  const q22 = w[cables + 2] as number;
  const q01 = w[cables + 3] as number;
  const q02 = w[cables + 4] as number;
  const q12 = w[cables + 5] as number;
  const qx = w[cables + 6] as number;
  const qy = w[cables + 7] as number;
  const qz = w[cables + 8] as number;
  const k0 = w[cables + 9] as number;
  for (let j = 0; j < 4; j++) {
    const a0 = B[b + j] as number;
    const a1 = B[b + 4 + j] as number;
    const a2 = B[b + 8 + j] as number;
    const v0 = B[b + 12 + j] as number;
    const v1 = B[b + 16 + j] as number;
    const v2 = B[b + 20 + j] as number;
    w[local + j] = (w[local + j] as number) + p0 * a0 + p1 * a1 + p2 * a2 + p3 * v0 + p4 * v1 + p5 * v2;
    const m = reached + 6 * j;
    for (let r = 0; r < 6; r++) {
      const row = curvature + 6 * r;
      w[m + r] =
        (w[row] as number) * a0 +
        (w[row + 1] as number) * a1 +
        (w[row + 2] as number) * a2 +
        (w[row + 3] as number) * v0 +
        (w[row + 4] as number) * v1 +
        (w[row + 5] as number) * v2;
    }
    const s0 = (w[m] as number) + q00 * a0 + q01 * a1 + q02 * a2 + qy * v2 - qz * v1;
    const s1 = (w[m + 1] as number) + q01 * a0 + q11 * a1 + q12 * a2 + qz * v0 - qx * v2;
    const s2 = (w[m + 2] as number) + q02 * a0 + q12 * a1 + q22 * a2 + qx * v1 - qy * v0;
    const s3 = (w[m + 3] as number) + k0 * v0 + a1 * qz - a2 * qy;
    const s4 = (w[m + 4] as number) + k0 * v1 + a2 * qx - a0 * qz;
    const s5 = (w[m + 5] as number) + k0 * v2 + a0 * qy - a1 * qx;
    for (let r = j; r < 4; r++) {
      const at = local + 4 + 4 * r + j;
      w[at] =
        (w[at] as number) +
        (B[b + r] as number) * s0 +
        (B[b + 4 + r] as number) * s1 +
        (B[b + 8 + r] as number) * s2 +
        (B[b + 12 + r] as number) * s3 +
        (B[b + 16 + r] as number) * s4 +
        (B[b + 20 + r] as number) * s5;
    }
  }
  const h = 4 * i;
  for (let j = 0; j < 4; j++) {
    if (arm.freeStrain[h + j] === 1) continue;
    for (let r = 0; r < j; r++) w[local + 4 + 4 * j + r] = 0;
    for (let r = j + 1; r < 4; r++) w[local + 4 + 4 * r + j] = 0;
    w[local + 4 + 5 * j] = 1;
    w[local + j] = 0;
  }
  for (let j = 0; j < 4; j++) work.gradient[h + j] = w[local + j] as number;
}

/** LDL' of the span's 4 x 4, the inverse of D on the diagonal. Strains are scaled by nothing: units differ, signs of pivots do not. */
function factorPivot(i: number, guard: boolean, work: RodWork, arm: ArmModel): void {
  const w = work.scratch;
  const D = work.pivot;
  const o = 16 * i;
  for (let j = 0; j < 4; j++) {
    // row j of L times D stands in the upper part until the row is done
    let d = w[local + 4 + 5 * j] as number;
    for (let k = 0; k < j; k++) {
      let sum = w[local + 4 + 4 * j + k] as number;
      for (let q = 0; q < k; q++) sum -= (D[o + 4 * q + j] as number) * (D[o + 4 * k + q] as number);
      D[o + 4 * k + j] = sum;
      const factor = sum * (D[o + 5 * k] as number);
      D[o + 4 * j + k] = factor;
      d -= sum * factor;
    }
    const scale = Math.abs(arm.stiffness[o + 5 * j] as number) * (work.flexible[i] as number) + 1e-300;
    if (arm.freeStrain[4 * i + j] === 1) d += work.lift * scale;
    // a motion that costs nothing (a bent strut turning about its own thrust) is no instability: rounding may not make it one
    if (d < -1e-8 * scale) work.negative++;
    if (guard && d < 1e-3 * scale && arm.freeStrain[4 * i + j] === 1) d = Math.max(-d, 1e-3 * scale);
    else if (Math.abs(d) < 1e-12 * scale) d = 1e-12 * scale;
    D[o + 5 * j] = 1 / d;
    work.weight[4 * i + j] = 1 / d;
  }
}

/**
 * Gain = pivot^-1 B' (P + M') A, kept in the upper vertebra's motion (before A): G = pivot^-1 (B' P + B' M').
 * M is the bracket of the chain: p . 1/2 [A d, B du].
 */
function gainOf(arm: ArmModel, i: number, work: RodWork): void {
  const w = work.scratch;
  const { gain, reach: B, pivot: D } = work;
  const b = 24 * i;
  const p0 = 0.5 * (w[costate] as number);
  const p1 = 0.5 * (w[costate + 1] as number);
  const p2 = 0.5 * (w[costate + 2] as number);
  const q0 = 0.5 * (w[costate + 3] as number);
  const q1 = 0.5 * (w[costate + 4] as number);
  const q2 = 0.5 * (w[costate + 5] as number);
  for (let j = 0; j < 4; j++) {
    const m = reached + 6 * j;
    if (arm.freeStrain[4 * i + j] !== 1) {
      for (let k = 0; k < 6; k++) w[m + k] = 0;
      continue;
    }
    const a0 = B[b + j] as number;
    const a1 = B[b + 4 + j] as number;
    const a2 = B[b + 8 + j] as number;
    const v0 = B[b + 12 + j] as number;
    const v1 = B[b + 16 + j] as number;
    const v2 = B[b + 20 + j] as number;
    // d -> m . (w_d x a) + f . (w_d x v + v_d x a), halves taken: rows of the bracket
    w[m] = (w[m] as number) + a1 * p2 - a2 * p1 + v1 * q2 - v2 * q1;
    w[m + 1] = (w[m + 1] as number) + a2 * p0 - a0 * p2 + v2 * q0 - v0 * q2;
    w[m + 2] = (w[m + 2] as number) + a0 * p1 - a1 * p0 + v0 * q1 - v1 * q0;
    w[m + 3] = (w[m + 3] as number) + a1 * q2 - a2 * q1;
    w[m + 4] = (w[m + 4] as number) + a2 * q0 - a0 * q2;
    w[m + 5] = (w[m + 5] as number) + a0 * q1 - a1 * q0;
  }
  // P <- P - H' pivot^-1 H by way of L^-1 H, then the gain itself
  const o = 16 * i;
  const d0 = D[o] as number;
  const d1 = D[o + 5] as number;
  const d2 = D[o + 10] as number;
  const d3 = D[o + 15] as number;
  const l10 = D[o + 4] as number;
  const l20 = D[o + 8] as number;
  const l21 = D[o + 9] as number;
  const l30 = D[o + 12] as number;
  const l31 = D[o + 13] as number;
  const l32 = D[o + 14] as number;
  for (let k = 0; k < 6; k++) {
    const m = reached + k;
    const x0 = w[m] as number;
    const x1 = (w[m + 6] as number) - l10 * x0;
    const x2 = (w[m + 12] as number) - l20 * x0 - l21 * x1;
    const x3 = (w[m + 18] as number) - l30 * x0 - l31 * x1 - l32 * x2;
    w[m + 6] = x1;
    w[m + 12] = x2;
    w[m + 18] = x3;
    const s0 = x0 * d0;
    const s1 = x1 * d1;
    const s2 = x2 * d2;
    const s3 = x3 * d3;
    for (let r = 0; r <= k; r++) {
      const q = reached + r;
      const value = (w[q] as number) * s0 + (w[q + 6] as number) * s1 + (w[q + 12] as number) * s2 + (w[q + 18] as number) * s3;
      const at = curvature + 6 * k + r;
      w[at] = (w[at] as number) - value;
    }
    const y3 = s3;
    const y2 = s2 - l32 * y3;
    const y1 = s1 - l21 * y2 - l31 * y3;
    gain[b + k] = s0 - l10 * y1 - l20 * y2 - l30 * y3;
    gain[b + 6 + k] = y1;
    gain[b + 12 + k] = y2;
    gain[b + 18 + k] = y3;
  }
}

/** Costate and curvature from the upper vertebra to the lower one: A' p + loads, A' P A + loads. The curvature's lower part is read, all of it written. */
function stepDown(i: number, work: RodWork): void {
  const w = work.scratch;
  const { loadGradient, loadCurvature } = work;
  pullBack(work, i, w, costate, 1);
  for (let r = 0; r < 6; r++) for (let k = r + 1; k < 6; k++) w[curvature + 6 * r + k] = w[curvature + 6 * k + r] as number;
  // columns of P by A', then rows: P A' twice by symmetry
  for (let r = 0; r < 6; r++) pullBack(work, i, w, curvature + r, 6);
  for (let r = 0; r < 6; r++) pullBack(work, i, w, curvature + 6 * r, 1);
  for (let k = 0; k < 6; k++) w[costate + k] = (w[costate + k] as number) + (loadGradient[6 * i + k] as number);
  for (let k = 0; k < 36; k++) w[curvature + k] = (w[curvature + k] as number) + (loadCurvature[36 * i + k] as number);
}

/** x <- A' x over span i, six numbers at `at`, `stride` apart: a wrench on the upper vertebra as felt on the lower one. */
function pullBack(work: RodWork, i: number, x: Float64Array, at: number, stride: number): void {
  const { turn, shift } = work;
  const t = 9 * i;
  const m0 = x[at] as number;
  const m1 = x[at + stride] as number;
  const m2 = x[at + 2 * stride] as number;
  const f0 = x[at + 3 * stride] as number;
  const f1 = x[at + 4 * stride] as number;
  const f2 = x[at + 5 * stride] as number;
  const px = shift[3 * i] as number;
  const py = shift[3 * i + 1] as number;
  const pz = shift[3 * i + 2] as number;
  const g0 = (turn[t] as number) * f0 + (turn[t + 1] as number) * f1 + (turn[t + 2] as number) * f2;
  const g1 = (turn[t + 3] as number) * f0 + (turn[t + 4] as number) * f1 + (turn[t + 5] as number) * f2;
  const g2 = (turn[t + 6] as number) * f0 + (turn[t + 7] as number) * f1 + (turn[t + 8] as number) * f2;
  x[at] = (turn[t] as number) * m0 + (turn[t + 1] as number) * m1 + (turn[t + 2] as number) * m2 + py * g2 - pz * g1;
  x[at + stride] = (turn[t + 3] as number) * m0 + (turn[t + 4] as number) * m1 + (turn[t + 5] as number) * m2 + pz * g0 - px * g2;
  x[at + 2 * stride] = (turn[t + 6] as number) * m0 + (turn[t + 7] as number) * m1 + (turn[t + 8] as number) * m2 + px * g1 - py * g0;
  x[at + 3 * stride] = g0;
  x[at + 4 * stride] = g1;
  x[at + 5 * stride] = g2;
}
