/** Solves with the factored tangent: right-hand sides from the tip to the guide, solutions back. */
import type { ArmModel } from "../arm/index.ts";
import { pullBack } from "./sweep.ts";
import type { RodWork } from "./work.ts";

/** offset in `work.scratch` of the wrench that goes down the arm */
const costate = 16;

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
      solvePivot(pivot, 16 * i, column, h);
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

/** x = pivot^-1 x, four numbers at `at`. */
function solvePivot(D: Float64Array, o: number, x: Float64Array, at: number): void {
  const x0 = x[at] as number;
  const x1 = (x[at + 1] as number) - (D[o + 4] as number) * x0;
  const x2 = (x[at + 2] as number) - (D[o + 8] as number) * x0 - (D[o + 9] as number) * x1;
  const x3 = (x[at + 3] as number) - (D[o + 12] as number) * x0 - (D[o + 13] as number) * x1 - (D[o + 14] as number) * x2;
  const y3 = x3 * (D[o + 15] as number);
  const y2 = x2 * (D[o + 10] as number) - (D[o + 14] as number) * y3;
  const y1 = x1 * (D[o + 5] as number) - (D[o + 9] as number) * y2 - (D[o + 13] as number) * y3;
  x[at] = x0 * (D[o] as number) - (D[o + 4] as number) * y1 - (D[o + 8] as number) * y2 - (D[o + 12] as number) * y3;
  x[at + 1] = y1;
  x[at + 2] = y2;
  x[at + 3] = y3;
}
