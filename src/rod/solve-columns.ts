/**
 * Solves with the factored tangent, one right-hand side a column. A column is reduced from the tip to the guide, and may
 * then be returned from the guide to the tip. What one solution does to another right-hand side needs no return:
 * b . tangent^-1 h = (reduced b) . (reduced h), weighted by the pivots.
 */
import type { ArmModel } from "../arm/index.ts";
import { addRoot, dotRoots, reduceRoots, returnRoots } from "./give-base.ts";
import type { RodWork } from "./work.ts";

/**
 * Solves tangent . x = right-hand side for several columns, and moves all vertebrae with them.
 *
 * @param count columns in use; column c holds its right-hand side in `work.column` [c, span, 4] up to `work.columnEnd[c]`,
 *   a wrench on the tip in `work.columnTip` [c, 6] (read when `columnEnd` is the last span) and the motion of the first
 *   free vertebra in `work.columnBase` [c, 6]
 * @param work `column` is overwritten by the solution, `motion` [c, vertebra, 6] written from the first free vertebra on
 */
export function solveColumns(arm: ArmModel, count: number, work: RodWork): void {
  reduceColumns(arm, 0, count, work);
  returnColumns(arm, 0, count, work);
}

/** `reduceColumn` for `count` columns from `from` on. */
export function reduceColumns(arm: ArmModel, from: number, count: number, work: RodWork): void {
  if (work.kernel !== undefined) work.kernel.reduceColumns(from, count, work.firstFree);
  else for (let c = from; c < from + count; c++) reducePlain(arm, c, work);
  if (work.hasBase) reduceRoots(from, count, work);
}

/** `returnColumn` for `count` columns from `from` on. */
export function returnColumns(arm: ArmModel, from: number, count: number, work: RodWork): void {
  if (work.hasBase) returnRoots(from, count, work);
  if (work.kernel !== undefined) work.kernel.returnColumns(from, count, work.firstFree);
  else for (let c = from; c < from + count; c++) returnPlain(arm, c, work);
}

/** Overwrites column c by its reduced right-hand side; the wrench it leaves on the first free vertebra goes to `work.columnFoot`. */
export function reduceColumn(arm: ArmModel, c: number, work: RodWork): void {
  reduceColumns(arm, c, 1, work);
}

function reducePlain(arm: ArmModel, c: number, work: RodWork): void {
  const n = arm.spans;
  const { column, columnTip, columnFoot, gain, pivot, reach, turn, shift, firstFree } = work;
  const { freeStrain } = arm;
  const base = 4 * n * c;
  const end = work.columnEnd[c] as number;
  column.fill(0, base + 4 * end, base + 4 * n);
  const whole = end === n;
  let m0 = whole ? (columnTip[6 * c] as number) : 0;
  let m1 = whole ? (columnTip[6 * c + 1] as number) : 0;
  let m2 = whole ? (columnTip[6 * c + 2] as number) : 0;
  let f0 = whole ? (columnTip[6 * c + 3] as number) : 0;
  let f1 = whole ? (columnTip[6 * c + 4] as number) : 0;
  let f2 = whole ? (columnTip[6 * c + 5] as number) : 0;
  for (let i = end - 1; i >= firstFree; i--) {
    const h = base + 4 * i;
    const b = 24 * i;
    let h0 =
      (column[h] as number) +
      (reach[b] as number) * m0 +
      (reach[b + 4] as number) * m1 +
      (reach[b + 8] as number) * m2 +
      (reach[b + 12] as number) * f0 +
      (reach[b + 16] as number) * f1 +
      (reach[b + 20] as number) * f2;
    let h1 =
      (column[h + 1] as number) +
      (reach[b + 1] as number) * m0 +
      (reach[b + 5] as number) * m1 +
      (reach[b + 9] as number) * m2 +
      (reach[b + 13] as number) * f0 +
      (reach[b + 17] as number) * f1 +
      (reach[b + 21] as number) * f2;
    let h2 =
      (column[h + 2] as number) +
      (reach[b + 2] as number) * m0 +
      (reach[b + 6] as number) * m1 +
      (reach[b + 10] as number) * m2 +
      (reach[b + 14] as number) * f0 +
      (reach[b + 18] as number) * f1 +
      (reach[b + 22] as number) * f2;
    // axial strain turns nothing
    let h3 = (column[h + 3] as number) + (reach[b + 15] as number) * f0 + (reach[b + 19] as number) * f1 + (reach[b + 23] as number) * f2;
    if (freeStrain[4 * i] !== 1) h0 = 0;
    if (freeStrain[4 * i + 1] !== 1) h1 = 0;
    if (freeStrain[4 * i + 2] !== 1) h2 = 0;
    if (freeStrain[4 * i + 3] !== 1) h3 = 0;
    const w0 = m0 - (gain[b] as number) * h0 - (gain[b + 6] as number) * h1 - (gain[b + 12] as number) * h2 - (gain[b + 18] as number) * h3;
    const w1 =
      m1 - (gain[b + 1] as number) * h0 - (gain[b + 7] as number) * h1 - (gain[b + 13] as number) * h2 - (gain[b + 19] as number) * h3;
    const w2 =
      m2 - (gain[b + 2] as number) * h0 - (gain[b + 8] as number) * h1 - (gain[b + 14] as number) * h2 - (gain[b + 20] as number) * h3;
    const e0 =
      f0 - (gain[b + 3] as number) * h0 - (gain[b + 9] as number) * h1 - (gain[b + 15] as number) * h2 - (gain[b + 21] as number) * h3;
    const e1 =
      f1 - (gain[b + 4] as number) * h0 - (gain[b + 10] as number) * h1 - (gain[b + 16] as number) * h2 - (gain[b + 22] as number) * h3;
    const e2 =
      f2 - (gain[b + 5] as number) * h0 - (gain[b + 11] as number) * h1 - (gain[b + 17] as number) * h2 - (gain[b + 23] as number) * h3;
    // as felt on the lower vertebra
    const t = 9 * i;
    const t0 = turn[t] as number;
    const t1 = turn[t + 1] as number;
    const t2 = turn[t + 2] as number;
    const t3 = turn[t + 3] as number;
    const t4 = turn[t + 4] as number;
    const t5 = turn[t + 5] as number;
    const t6 = turn[t + 6] as number;
    const t7 = turn[t + 7] as number;
    const t8 = turn[t + 8] as number;
    const px = shift[3 * i] as number;
    const py = shift[3 * i + 1] as number;
    const pz = shift[3 * i + 2] as number;
    f0 = t0 * e0 + t1 * e1 + t2 * e2;
    f1 = t3 * e0 + t4 * e1 + t5 * e2;
    f2 = t6 * e0 + t7 * e1 + t8 * e2;
    m0 = t0 * w0 + t1 * w1 + t2 * w2 + py * f2 - pz * f1;
    m1 = t3 * w0 + t4 * w1 + t5 * w2 + pz * f0 - px * f2;
    m2 = t6 * w0 + t7 * w1 + t8 * w2 + px * f1 - py * f0;
    // L^-1 h
    const o = 16 * i;
    const y1 = h1 - (pivot[o + 4] as number) * h0;
    const y2 = h2 - (pivot[o + 8] as number) * h0 - (pivot[o + 9] as number) * y1;
    column[h] = h0;
    column[h + 1] = y1;
    column[h + 2] = y2;
    column[h + 3] = h3 - (pivot[o + 12] as number) * h0 - (pivot[o + 13] as number) * y1 - (pivot[o + 14] as number) * y2;
  }
  const foot = 6 * c;
  columnFoot[foot] = m0;
  columnFoot[foot + 1] = m1;
  columnFoot[foot + 2] = m2;
  columnFoot[foot + 3] = f0;
  columnFoot[foot + 4] = f1;
  columnFoot[foot + 5] = f2;
}

/** (right-hand side of column a) . tangent^-1 (right-hand side of column c), both reduced. */
export function dotReduced(arm: ArmModel, a: number, c: number, work: RodWork): number {
  const { column, weight, columnEnd } = work;
  const p = 4 * arm.spans * a;
  const q = 4 * arm.spans * c;
  const end = 4 * Math.min(columnEnd[a] as number, columnEnd[c] as number);
  let sum = 0;
  for (let k = 4 * work.firstFree; k < end; k++) sum += (column[p + k] as number) * (column[q + k] as number) * (weight[k] as number);
  return work.hasBase ? sum + dotRoots(a, c, work) : sum;
}

/**
 * `dotReduced` of `rows` columns from a on with `count` columns from c on; two by two they end alike. With one column c what stands
 * beside its products is overwritten too.
 *
 * @param out `work.dense` or `work.denseRight`: [rows, work.columns] written from `at` on
 */
export function dotsReduced(
  arm: ArmModel,
  a: number,
  rows: number,
  c: number,
  count: number,
  out: Float64Array,
  at: number,
  work: RodWork,
): void {
  const { kernel, columns } = work;
  if (kernel !== undefined) {
    const into = out === work.dense ? kernel.denseAt : kernel.denseRightAt;
    kernel.products(a, rows, c, count, work.firstFree, into + 8 * at, columns);
  } else {
    for (let r = 0; r < rows; r += 2) for (let k = 0; k < count; k += 2) dotPairs(arm, a + r, c + k, work, out, at + columns * r + k);
  }
  if (!work.hasBase) return;
  for (let r = 0; r < rows; r++) {
    for (let k = 0; k < count; k++) {
      const o = at + columns * r + k;
      out[o] = (out[o] as number) + dotRoots(a + r, c + k, work);
    }
  }
}

/** Columns a and a + 1 with columns c and c + 1, into a 2 x 2 of `out` at o. */
function dotPairs(arm: ArmModel, a: number, c: number, work: RodWork, out: Float64Array, o: number): void {
  const { column, weight, columnEnd, columns: stride } = work;
  const n4 = 4 * arm.spans;
  const p = n4 * a;
  const q = n4 * c;
  const end = 4 * Math.min(columnEnd[a] as number, columnEnd[c] as number);
  let s00 = 0;
  let s01 = 0;
  let s10 = 0;
  let s11 = 0;
  for (let k = 4 * work.firstFree; k < end; k++) {
    const w = weight[k] as number;
    const a0 = w * (column[p + k] as number);
    const a1 = w * (column[p + n4 + k] as number);
    const c0 = column[q + k] as number;
    const c1 = column[q + n4 + k] as number;
    s00 += a0 * c0;
    s01 += a0 * c1;
    s10 += a1 * c0;
    s11 += a1 * c1;
  }
  out[o] = s00;
  out[o + 1] = s01;
  out[o + stride] = s10;
  out[o + stride + 1] = s11;
}

/** Adds `count` columns from `from` on to column `into`, each up to its end and times its factor in the first of `work.denseRight`. */
export function combineColumns(arm: ArmModel, into: number, from: number, count: number, work: RodWork): void {
  const { kernel, column, columnEnd, denseRight } = work;
  if (work.hasBase) for (let k = 0; k < count; k++) addRoot(into, from + k, denseRight[k] as number, work);
  if (kernel !== undefined) {
    kernel.combineColumns(into, from, count, kernel.denseRightAt);
    return;
  }
  const n4 = 4 * arm.spans;
  for (let k = 0; k < count; k++) {
    const end = 4 * (columnEnd[from + k] as number);
    const factor = denseRight[k] as number;
    for (let h = 0; h < end; h++)
      column[n4 * into + h] = (column[n4 * into + h] as number) + factor * (column[n4 * (from + k) + h] as number);
  }
}

/** Overwrites a reduced column by the solution, and moves all vertebrae with it and with the motion at `work.columnBase`. */
export function returnColumn(arm: ArmModel, c: number, work: RodWork): void {
  returnColumns(arm, c, 1, work);
}

function returnPlain(arm: ArmModel, c: number, work: RodWork): void {
  const n = arm.spans;
  const { column, columnBase, motion, gain, pivot, reach, turn, shift, firstFree } = work;
  const base = 4 * n * c;
  let o = 6 * ((n + 1) * c + firstFree);
  let w0 = columnBase[6 * c] as number;
  let w1 = columnBase[6 * c + 1] as number;
  let w2 = columnBase[6 * c + 2] as number;
  let u0 = columnBase[6 * c + 3] as number;
  let u1 = columnBase[6 * c + 4] as number;
  let u2 = columnBase[6 * c + 5] as number;
  for (let k = 0; k < 6; k++) motion[o + k] = columnBase[6 * c + k] as number;
  for (let i = firstFree; i < n; i++) {
    const h = base + 4 * i;
    const b = 24 * i;
    const t = 9 * i;
    // A d: turn' omega; turn' (v + omega x shift)
    const px = shift[3 * i] as number;
    const py = shift[3 * i + 1] as number;
    const pz = shift[3 * i + 2] as number;
    const v0 = u0 + w1 * pz - w2 * py;
    const v1 = u1 + w2 * px - w0 * pz;
    const v2 = u2 + w0 * py - w1 * px;
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
    // L'^-1 D^-1 of what was reduced
    const d = 16 * i;
    const y3 = (column[h + 3] as number) * (pivot[d + 15] as number);
    const y2 = (column[h + 2] as number) * (pivot[d + 10] as number) - (pivot[d + 14] as number) * y3;
    const y1 = (column[h + 1] as number) * (pivot[d + 5] as number) - (pivot[d + 9] as number) * y2 - (pivot[d + 13] as number) * y3;
    const y0 =
      (column[h] as number) * (pivot[d] as number) -
      (pivot[d + 4] as number) * y1 -
      (pivot[d + 8] as number) * y2 -
      (pivot[d + 12] as number) * y3;
    const x0 =
      y0 -
      (gain[b] as number) * a0 -
      (gain[b + 1] as number) * a1 -
      (gain[b + 2] as number) * a2 -
      (gain[b + 3] as number) * c0 -
      (gain[b + 4] as number) * c1 -
      (gain[b + 5] as number) * c2;
    const x1 =
      y1 -
      (gain[b + 6] as number) * a0 -
      (gain[b + 7] as number) * a1 -
      (gain[b + 8] as number) * a2 -
      (gain[b + 9] as number) * c0 -
      (gain[b + 10] as number) * c1 -
      (gain[b + 11] as number) * c2;
    const x2 =
      y2 -
      (gain[b + 12] as number) * a0 -
      (gain[b + 13] as number) * a1 -
      (gain[b + 14] as number) * a2 -
      (gain[b + 15] as number) * c0 -
      (gain[b + 16] as number) * c1 -
      (gain[b + 17] as number) * c2;
    const x3 =
      y3 -
      (gain[b + 18] as number) * a0 -
      (gain[b + 19] as number) * a1 -
      (gain[b + 20] as number) * a2 -
      (gain[b + 21] as number) * c0 -
      (gain[b + 22] as number) * c1 -
      (gain[b + 23] as number) * c2;
    column[h] = x0;
    column[h + 1] = x1;
    column[h + 2] = x2;
    column[h + 3] = x3;
    w0 = a0 + (reach[b] as number) * x0 + (reach[b + 1] as number) * x1 + (reach[b + 2] as number) * x2;
    w1 = a1 + (reach[b + 4] as number) * x0 + (reach[b + 5] as number) * x1 + (reach[b + 6] as number) * x2;
    w2 = a2 + (reach[b + 8] as number) * x0 + (reach[b + 9] as number) * x1 + (reach[b + 10] as number) * x2;
    u0 =
      c0 +
      (reach[b + 12] as number) * x0 +
      (reach[b + 13] as number) * x1 +
      (reach[b + 14] as number) * x2 +
      (reach[b + 15] as number) * x3;
    u1 =
      c1 +
      (reach[b + 16] as number) * x0 +
      (reach[b + 17] as number) * x1 +
      (reach[b + 18] as number) * x2 +
      (reach[b + 19] as number) * x3;
    u2 =
      c2 +
      (reach[b + 20] as number) * x0 +
      (reach[b + 21] as number) * x1 +
      (reach[b + 22] as number) * x2 +
      (reach[b + 23] as number) * x3;
    o += 6;
    motion[o] = w0;
    motion[o + 1] = w1;
    motion[o + 2] = w2;
    motion[o + 3] = u0;
    motion[o + 4] = u1;
    motion[o + 5] = u2;
  }
}
