/**
 * The tangent of the whole arm, factored in one sweep from the tip to the guide (the algebra of linear-quadratic
 * control), and solves with it. Cost is linear in the number of spans.
 *
 * A motion d of the lower vertebra and a change du of the span's strains move the upper one by A d + B du, with
 * A = Ad(E^-1) and B the span's reach. To second order the two also mix: 1/2 [A d, B du].
 */
import type { ArmModel } from "../arm/index.ts";
import { addSpanCurvature } from "./span.ts";
import type { RodWork } from "./work.ts";

/** offsets in `work.scratch`: turn coefficients (0 to 7) belong to span.ts */
const costate = 16;
const curvature = 22;
const middle = 60;
const mixed = 100;
const local = 130;

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
  for (let i = arm.spans - 1; i >= work.firstFree; i--) {
    rodTerms(arm, strain, i, work);
    cableTerms(arm, tension, i, work);
    chainTerms(arm, strain, i, guard, work);
    stepDown(i, work);
  }
  for (let c = 0; c < arm.cables; c++) work.energy += (tension[c] as number) * (work.cableLength[c] as number);
}

/** Energy, gradient and second derivative of the rods of span i, into local [4] and [16]. */
function rodTerms(arm: ArmModel, strain: Float64Array, i: number, work: RodWork): void {
  const w = work.scratch;
  const l = work.flexible[i] as number;
  const o = 4 * i;
  const x0 = (strain[o] as number) - (arm.rest[o] as number);
  const x1 = (strain[o + 1] as number) - (arm.rest[o + 1] as number);
  const x2 = (strain[o + 2] as number) - (arm.rest[o + 2] as number);
  const x3 = (strain[o + 3] as number) - (arm.rest[o + 3] as number);
  const s = 16 * i;
  const K = arm.stiffness;
  let energy = 0;
  for (let r = 0; r < 4; r++) {
    const k0 = K[s + 4 * r] as number;
    const k1 = K[s + 4 * r + 1] as number;
    const k2 = K[s + 4 * r + 2] as number;
    const k3 = K[s + 4 * r + 3] as number;
    const force = k0 * x0 + k1 * x1 + k2 * x2 + k3 * x3;
    energy += 0.5 * force * (r === 0 ? x0 : r === 1 ? x1 : r === 2 ? x2 : x3);
    w[local + r] = l * force;
    w[local + 4 + 4 * r] = l * k0;
    w[local + 5 + 4 * r] = l * k1;
    w[local + 6 + 4 * r] = l * k2;
    w[local + 7 + 4 * r] = l * k3;
  }
  const b0 = arm.twistStretch[o] as number;
  const b1 = arm.twistStretch[o + 1] as number;
  const b3 = arm.twistStretch[o + 2] as number;
  const q = arm.twistStretch[o + 3] as number;
  const pull = b0 * x0 + b1 * x1 + b3 * x3;
  const z2 = x2 * x2;
  energy += pull * z2 + 0.5 * q * z2 * z2;
  w[local] = (w[local] as number) + l * b0 * z2;
  w[local + 1] = (w[local + 1] as number) + l * b1 * z2;
  w[local + 2] = (w[local + 2] as number) + l * (2 * pull * x2 + 2 * q * z2 * x2);
  w[local + 3] = (w[local + 3] as number) + l * b3 * z2;
  addSym(w, local + 4, 4, 2, 2, l * (2 * pull + 6 * q * z2));
  addSym(w, local + 4, 4, 0, 2, 2 * l * b0 * x2);
  addSym(w, local + 4, 4, 1, 2, 2 * l * b1 * x2);
  addSym(w, local + 4, 4, 3, 2, 2 * l * b3 * x2);
  work.energy += l * energy;
}

/** Covector [6] at `mixed` and curvature [36] at `middle` of the cables over span i, in the upper vertebra's motion. */
function cableTerms(arm: ArmModel, tension: Float64Array, i: number, work: RodWork): void {
  const w = work.scratch;
  const { turn, shift } = work;
  w.fill(0, middle, middle + 36);
  w.fill(0, mixed, mixed + 6);
  const t = 9 * i;
  const rz = -(arm.tail[i] as number);
  const px = shift[3 * i] as number;
  const py = shift[3 * i + 1] as number;
  const pz = (shift[3 * i + 2] as number) - (work.lead[i] as number);
  const t0 = turn[t] as number;
  const t1 = turn[t + 1] as number;
  const t2 = turn[t + 2] as number;
  const t3 = turn[t + 3] as number;
  const t4 = turn[t + 4] as number;
  const t5 = turn[t + 5] as number;
  const t6 = turn[t + 6] as number;
  const t7 = turn[t + 7] as number;
  const t8 = turn[t + 8] as number;
  for (let c = arm.firstCable[arm.sectionOfSpan[i] as number] as number; c < arm.cables; c++) {
    const T = tension[c] as number;
    if (T === 0) continue;
    const rx = arm.cableX[c] as number;
    const ry = arm.cableY[c] as number;
    const dx = px - rx;
    const dy = py - ry;
    const wx = t0 * dx + t3 * dy + t6 * pz + rx;
    const wy = t1 * dx + t4 * dy + t7 * pz + ry;
    const wz = t2 * dx + t5 * dy + t8 * pz + rz;
    const s = Math.sqrt(wx * wx + wy * wy + wz * wz);
    const f0 = (T * wx) / s;
    const f1 = (T * wy) / s;
    const f2 = (T * wz) / s;
    const m0 = ry * f2 - rz * f1;
    const m1 = rz * f0 - rx * f2;
    const m2 = rx * f1 - ry * f0;
    w[mixed] = (w[mixed] as number) + m0;
    w[mixed + 1] = (w[mixed + 1] as number) + m1;
    w[mixed + 2] = (w[mixed + 2] as number) + m2;
    w[mixed + 3] = (w[mixed + 3] as number) + f0;
    w[mixed + 4] = (w[mixed + 4] as number) + f1;
    w[mixed + 5] = (w[mixed + 5] as number) + f2;
    // (T / s) (|dw|^2 - (n . dw)^2) with dw = v + omega x r, then T n . (1/2 omega x v + 1/2 omega x (omega x r))
    const k = T / s;
    const j = 1 / (T * s);
    addSym(w, middle, 6, 0, 0, k * (ry * ry + rz * rz) - j * m0 * m0 - (f1 * ry + f2 * rz));
    addSym(w, middle, 6, 1, 1, k * (rx * rx + rz * rz) - j * m1 * m1 - (f0 * rx + f2 * rz));
    addSym(w, middle, 6, 2, 2, k * (rx * rx + ry * ry) - j * m2 * m2 - (f0 * rx + f1 * ry));
    addSym(w, middle, 6, 0, 1, -k * rx * ry - j * m0 * m1 + 0.5 * (f0 * ry + f1 * rx));
    addSym(w, middle, 6, 0, 2, -k * rx * rz - j * m0 * m2 + 0.5 * (f0 * rz + f2 * rx));
    addSym(w, middle, 6, 1, 2, -k * ry * rz - j * m1 * m2 + 0.5 * (f1 * rz + f2 * ry));
    addSym(w, middle, 6, 3, 3, k - j * f0 * f0);
    addSym(w, middle, 6, 4, 4, k - j * f1 * f1);
    addSym(w, middle, 6, 5, 5, k - j * f2 * f2);
    addSym(w, middle, 6, 3, 4, -j * f0 * f1);
    addSym(w, middle, 6, 3, 5, -j * f0 * f2);
    addSym(w, middle, 6, 4, 5, -j * f1 * f2);
    // rows rotation, columns translation: k [r]x - j m f' - 1/2 [f]x
    addSym(w, middle, 6, 0, 3, -j * m0 * f0);
    addSym(w, middle, 6, 0, 4, -k * rz - j * m0 * f1 + 0.5 * f2);
    addSym(w, middle, 6, 0, 5, k * ry - j * m0 * f2 - 0.5 * f1);
    addSym(w, middle, 6, 1, 3, k * rz - j * m1 * f0 - 0.5 * f2);
    addSym(w, middle, 6, 1, 4, -j * m1 * f1);
    addSym(w, middle, 6, 1, 5, -k * rx - j * m1 * f2 + 0.5 * f0);
    addSym(w, middle, 6, 2, 3, -k * ry - j * m2 * f0 + 0.5 * f1);
    addSym(w, middle, 6, 2, 4, k * rx - j * m2 * f1 - 0.5 * f0);
    addSym(w, middle, 6, 2, 5, -j * m2 * f2);
  }
}

/** Gradient, 4 x 4 pivot and 4 x 6 gain of span i from what hangs on its upper vertebra. */
function chainTerms(arm: ArmModel, strain: Float64Array, i: number, guard: boolean, work: RodWork): void {
  const w = work.scratch;
  const B = work.reach;
  const b = 24 * i;
  // the costate plus the cables' covector act on the span's own second derivative
  const m0 = (w[costate] as number) + (w[mixed] as number);
  const m1 = (w[costate + 1] as number) + (w[mixed + 1] as number);
  const m2 = (w[costate + 2] as number) + (w[mixed + 2] as number);
  const f0 = (w[costate + 3] as number) + (w[mixed + 3] as number);
  const f1 = (w[costate + 4] as number) + (w[mixed + 4] as number);
  const f2 = (w[costate + 5] as number) + (w[mixed + 5] as number);
  const flexible = work.flexible[i] as number;
  const tail = arm.tail[i] as number;
  addSpanCurvature(strain, i, flexible, tail, m0, m1, m2, f0, f1, f2, work.turn, B, w, w, local + 4);
  for (let j = 0; j < 4; j++) {
    w[local + j] = (w[local + j] as number) +
      m0 * (B[b + j] as number) + m1 * (B[b + 4 + j] as number) + m2 * (B[b + 8 + j] as number) +
      f0 * (B[b + 12 + j] as number) + f1 * (B[b + 16 + j] as number) + f2 * (B[b + 20 + j] as number);
  }
  // (P + cables) B, then B' of it
  for (let r = 0; r < 6; r++) {
    for (let j = 0; j < 4; j++) {
      let sum = 0;
      for (let k = 0; k < 6; k++) sum += ((w[curvature + 6 * r + k] as number) + (w[middle + 6 * r + k] as number)) * (B[b + 4 * k + j] as number);
      w[mixed + 4 * r + j] = sum;
    }
  }
  for (let r = 0; r < 4; r++) {
    for (let j = r; j < 4; j++) {
      let sum = 0;
      for (let k = 0; k < 6; k++) sum += (B[b + 4 * k + r] as number) * (w[mixed + 4 * k + j] as number);
      addSym(w, local + 4, 4, r, j, sum);
    }
  }
  const h = 4 * i;
  for (let j = 0; j < 4; j++) {
    if (arm.freeStrain[h + j] === 1) continue;
    for (let r = 0; r < 4; r++) {
      w[local + 4 + 4 * r + j] = 0;
      w[local + 4 + 4 * j + r] = 0;
    }
    w[local + 4 + 5 * j] = 1;
    w[local + j] = 0;
  }
  for (let j = 0; j < 4; j++) work.gradient[h + j] = w[local + j] as number;
  factorPivot(i, guard, work, arm);
  gainOf(arm, i, work);
}

/** LDL' of the span's 4 x 4, strains scaled by nothing: units differ, signs of pivots do not. */
function factorPivot(i: number, guard: boolean, work: RodWork, arm: ArmModel): void {
  const w = work.scratch;
  const D = work.pivot;
  const o = 16 * i;
  for (let j = 0; j < 4; j++) {
    let d = w[local + 4 + 5 * j] as number;
    for (let k = 0; k < j; k++) d -= (D[o + 4 * j + k] as number) ** 2 * (D[o + 5 * k] as number);
    const scale = Math.abs(arm.stiffness[o + 5 * j] as number) * (work.flexible[i] as number) + 1e-300;
    // a motion that costs nothing (a bent strut turning about its own thrust) is no instability: rounding may not make it one
    if (d < -1e-8 * scale) work.negative++;
    if (guard && d < 1e-3 * scale && arm.freeStrain[4 * i + j] === 1) d = Math.max(-d, 1e-3 * scale);
    else if (Math.abs(d) < 1e-12 * scale) d = 1e-12 * scale;
    D[o + 5 * j] = d;
    for (let r = j + 1; r < 4; r++) {
      let sum = w[local + 4 + 4 * r + j] as number;
      for (let k = 0; k < j; k++) sum -= (D[o + 4 * r + k] as number) * (D[o + 4 * j + k] as number) * (D[o + 5 * k] as number);
      D[o + 4 * r + j] = sum / d;
    }
  }
}

/** x = pivot^-1 x, four numbers at `at`. */
function solvePivot(D: Float64Array, o: number, x: Float64Array, at: number, stride: number): void {
  const x0 = x[at] as number;
  const x1 = (x[at + stride] as number) - (D[o + 4] as number) * x0;
  const x2 = (x[at + 2 * stride] as number) - (D[o + 8] as number) * x0 - (D[o + 9] as number) * x1;
  const x3 = (x[at + 3 * stride] as number) - (D[o + 12] as number) * x0 - (D[o + 13] as number) * x1 - (D[o + 14] as number) * x2;
  const y3 = x3 / (D[o + 15] as number);
  const y2 = x2 / (D[o + 10] as number) - (D[o + 14] as number) * y3;
  const y1 = x1 / (D[o + 5] as number) - (D[o + 9] as number) * y2 - (D[o + 13] as number) * y3;
  const y0 = x0 / (D[o] as number) - (D[o + 4] as number) * y1 - (D[o + 8] as number) * y2 - (D[o + 12] as number) * y3;
  x[at] = y0;
  x[at + stride] = y1;
  x[at + 2 * stride] = y2;
  x[at + 3 * stride] = y3;
}

/**
 * Gain = pivot^-1 B' (P + M') A, kept in the upper vertebra's motion (before A): G = pivot^-1 (B' P + B' M').
 * M is the bracket of the chain: p . 1/2 [A d, B du].
 */
function gainOf(arm: ArmModel, i: number, work: RodWork): void {
  const w = work.scratch;
  const B = work.reach;
  const b = 24 * i;
  const g = 24 * i;
  const p0 = 0.5 * (w[costate] as number);
  const p1 = 0.5 * (w[costate + 1] as number);
  const p2 = 0.5 * (w[costate + 2] as number);
  const q0 = 0.5 * (w[costate + 3] as number);
  const q1 = 0.5 * (w[costate + 4] as number);
  const q2 = 0.5 * (w[costate + 5] as number);
  for (let j = 0; j < 4; j++) {
    const a0 = B[b + j] as number;
    const a1 = B[b + 4 + j] as number;
    const a2 = B[b + 8 + j] as number;
    const v0 = B[b + 12 + j] as number;
    const v1 = B[b + 16 + j] as number;
    const v2 = B[b + 20 + j] as number;
    if (arm.freeStrain[4 * i + j] !== 1) {
      for (let k = 0; k < 6; k++) work.gain[g + 6 * j + k] = 0;
      continue;
    }
    // d -> m . (w_d x a) + f . (w_d x v + v_d x a), halves taken: rows of the bracket
    work.gain[g + 6 * j] = a1 * p2 - a2 * p1 + v1 * q2 - v2 * q1;
    work.gain[g + 6 * j + 1] = a2 * p0 - a0 * p2 + v2 * q0 - v0 * q2;
    work.gain[g + 6 * j + 2] = a0 * p1 - a1 * p0 + v0 * q1 - v1 * q0;
    work.gain[g + 6 * j + 3] = a1 * q2 - a2 * q1;
    work.gain[g + 6 * j + 4] = a2 * q0 - a0 * q2;
    work.gain[g + 6 * j + 5] = a0 * q1 - a1 * q0;
    for (let k = 0; k < 6; k++) {
      let sum = work.gain[g + 6 * j + k] as number;
      for (let r = 0; r < 6; r++) sum += (w[curvature + 6 * r + k] as number) * (B[b + 4 * r + j] as number);
      work.gain[g + 6 * j + k] = sum;
    }
  }
  // P <- P - H' pivot^-1 H, then the gain itself
  for (let j = 0; j < 4; j++) for (let k = 0; k < 6; k++) w[mixed + 6 * j + k] = work.gain[g + 6 * j + k] as number;
  for (let k = 0; k < 6; k++) solvePivot(work.pivot, 16 * i, work.gain, g + k, 6);
  for (let r = 0; r < 6; r++) {
    for (let k = r; k < 6; k++) {
      let sum = 0;
      for (let j = 0; j < 4; j++) sum += (w[mixed + 6 * j + r] as number) * (work.gain[g + 6 * j + k] as number);
      addSym(w, curvature, 6, r, k, -sum);
    }
  }
}

/** Costate and curvature from the upper vertebra to the lower one: A' p + loads, A' P A + loads. */
function stepDown(i: number, work: RodWork): void {
  const w = work.scratch;
  pullBack(work, i, w, costate, 1);
  // columns of P by A', then rows: P A' twice by symmetry
  for (let r = 0; r < 6; r++) pullBack(work, i, w, curvature + r, 6);
  for (let r = 0; r < 6; r++) pullBack(work, i, w, curvature + 6 * r, 1);
  for (let k = 0; k < 6; k++) w[costate + k] = (w[costate + k] as number) + (work.loadGradient[6 * i + k] as number);
  for (let k = 0; k < 36; k++) w[curvature + k] = (w[curvature + k] as number) + (work.loadCurvature[36 * i + k] as number);
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

/**
 * Solves tangent . x = right-hand side for several columns at once, and moves all vertebrae with them.
 *
 * @param count columns in use; column c holds its right-hand side in `work.column` [c, span, 4] up to `work.columnEnd[c]`,
 *   a wrench on the tip in `work.columnTip` [c, 6] (read when `columnEnd` is the last span) and the motion of the first
 *   free vertebra in `work.columnBase` [c, 6]
 * @param work `column` is overwritten by the solution, `motion` [c, vertebra, 6] written from the first free vertebra on
 */
export function solveColumns(arm: ArmModel, count: number, work: RodWork): void {
  const n = arm.spans;
  const { column, motion, gain, pivot, reach, turn, shift } = work;
  const w = work.scratch;
  for (let c = 0; c < count; c++) {
    const base = 4 * n * c;
    const end = work.columnEnd[c] as number;
    column.fill(0, base + 4 * end, base + 4 * n);
    for (let k = 0; k < 6; k++) w[costate + k] = end === n ? (work.columnTip[6 * c + k] as number) : 0;
    for (let i = end - 1; i >= work.firstFree; i--) {
      const h = base + 4 * i;
      const b = 24 * i;
      for (let j = 0; j < 4; j++) {
        if (arm.freeStrain[4 * i + j] !== 1) {
          column[h + j] = 0;
          continue;
        }
        column[h + j] = (column[h + j] as number) +
          (reach[b + j] as number) * (w[costate] as number) + (reach[b + 4 + j] as number) * (w[costate + 1] as number) +
          (reach[b + 8 + j] as number) * (w[costate + 2] as number) + (reach[b + 12 + j] as number) * (w[costate + 3] as number) +
          (reach[b + 16 + j] as number) * (w[costate + 4] as number) + (reach[b + 20 + j] as number) * (w[costate + 5] as number);
      }
      const h0 = column[h] as number;
      const h1 = column[h + 1] as number;
      const h2 = column[h + 2] as number;
      const h3 = column[h + 3] as number;
      for (let k = 0; k < 6; k++) {
        w[costate + k] = (w[costate + k] as number) -
          (gain[b + k] as number) * h0 - (gain[b + 6 + k] as number) * h1 - (gain[b + 12 + k] as number) * h2 - (gain[b + 18 + k] as number) * h3;
      }
      pullBack(work, i, w, costate, 1);
      solvePivot(pivot, 16 * i, column, h, 1);
    }
    let o = 6 * ((n + 1) * c + work.firstFree);
    for (let k = 0; k < 6; k++) motion[o + k] = work.columnBase[6 * c + k] as number;
    for (let i = work.firstFree; i < n; i++) {
      const h = base + 4 * i;
      const b = 24 * i;
      const t = 9 * i;
      // A d: turn' omega; turn' (v + omega x shift)
      const w0 = motion[o] as number;
      const w1 = motion[o + 1] as number;
      const w2 = motion[o + 2] as number;
      const px = shift[3 * i] as number;
      const py = shift[3 * i + 1] as number;
      const pz = shift[3 * i + 2] as number;
      const v0 = (motion[o + 3] as number) + w1 * pz - w2 * py;
      const v1 = (motion[o + 4] as number) + w2 * px - w0 * pz;
      const v2 = (motion[o + 5] as number) + w0 * py - w1 * px;
      const t0 = turn[t] as number;
      const t1 = turn[t + 1] as number;
      const t2 = turn[t + 2] as number;
      const t3 = turn[t + 3] as number;
      const t4 = turn[t + 4] as number;
      const t5 = turn[t + 5] as number;
      const t6 = turn[t + 6] as number;
      const t7 = turn[t + 7] as number;
      const t8 = turn[t + 8] as number;
      const a0 = t0 * w0 + t3 * w1 + t6 * w2;
      const a1 = t1 * w0 + t4 * w1 + t7 * w2;
      const a2 = t2 * w0 + t5 * w1 + t8 * w2;
      const c0 = t0 * v0 + t3 * v1 + t6 * v2;
      const c1 = t1 * v0 + t4 * v1 + t7 * v2;
      const c2 = t2 * v0 + t5 * v1 + t8 * v2;
      for (let j = 0; j < 4; j++) {
        const q = b + 6 * j;
        column[h + j] = (column[h + j] as number) -
          (gain[q] as number) * a0 - (gain[q + 1] as number) * a1 - (gain[q + 2] as number) * a2 -
          (gain[q + 3] as number) * c0 - (gain[q + 4] as number) * c1 - (gain[q + 5] as number) * c2;
      }
      const x0 = column[h] as number;
      const x1 = column[h + 1] as number;
      const x2 = column[h + 2] as number;
      const x3 = column[h + 3] as number;
      o += 6;
      motion[o] = a0 + (reach[b] as number) * x0 + (reach[b + 1] as number) * x1 + (reach[b + 2] as number) * x2;
      motion[o + 1] = a1 + (reach[b + 4] as number) * x0 + (reach[b + 5] as number) * x1 + (reach[b + 6] as number) * x2;
      motion[o + 2] = a2 + (reach[b + 8] as number) * x0 + (reach[b + 9] as number) * x1 + (reach[b + 10] as number) * x2;
      motion[o + 3] = c0 + (reach[b + 12] as number) * x0 + (reach[b + 13] as number) * x1 + (reach[b + 14] as number) * x2 + (reach[b + 15] as number) * x3;
      motion[o + 4] = c1 + (reach[b + 16] as number) * x0 + (reach[b + 17] as number) * x1 + (reach[b + 18] as number) * x2 + (reach[b + 19] as number) * x3;
      motion[o + 5] = c2 + (reach[b + 20] as number) * x0 + (reach[b + 21] as number) * x1 + (reach[b + 22] as number) * x2 + (reach[b + 23] as number) * x3;
    }
  }
}

function addSym(into: Float64Array, o: number, size: number, r: number, s: number, value: number): void {
  into[o + size * r + s] = (into[o + size * r + s] as number) + value;
  if (r !== s) into[o + size * s + r] = (into[o + size * s + r] as number) + value;
}
