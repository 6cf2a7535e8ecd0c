/** Whether a balance would stay where it is with the drives locked. */
import type { ArmModel } from "../arm/index.ts";
import { countNegative, factorLu } from "../math/index.ts";
import { parityDivergent } from "./count-divergent.ts";
import { dotReduced, reduceColumns } from "./solve-columns.ts";
import { clearColumn, solveTangent } from "./tangent.ts";
import type { RodWork } from "./work.ts";

/** Whether any cable hangs loose. */
export function anySlack(tension: Float64Array): boolean {
  for (let c = 0; c < tension.length; c++) if ((tension[c] as number) <= 0) return true;
  return false;
}

/**
 * Independent directions in which the arm, cables locked at their drives, would leave the balance; 0 when stable.
 *
 * With H the tangent at fixed tensions, S the cables' rates and K their stiffness, the tangent with locked cables
 * H + S K S' has neg(H) - neg(1/K + S' H^-1 S) negative directions (Haynsworth's inertia formula). With a tip wrench without
 * potential it is the parity of its determinant, as in `parityDivergent`: det H times det (1/K + S' H^-1 S), but for factors above zero.
 *
 * @param tension [cable]; a cable without tension does not hold
 * @param work `evaluate` was called without guard at these strains and tensions
 */
export function countUnstable(arm: ArmModel, tension: Float64Array, work: RodWork): number {
  if (work.hasSkew) return parityLocked(arm, tension, work);
  if (work.negative === 0) return 0;
  const active = gatherRates(arm, tension, 0, work);
  return work.negative - countNegative(work.dense, active, work.columns);
}

function parityLocked(arm: ArmModel, tension: Float64Array, work: RodWork): number {
  let below = parityDivergent(arm, work);
  const active = gatherRates(arm, tension, 0, work);
  const { dense, columns, pivots } = work;
  // a tip led by walls: all directions are counted, as without the wrench
  if (below > 1) return Math.max(0, below - countNegative(dense, active, columns));
  if (active > 0) factorLu(dense, active, columns, pivots);
  for (let k = 0; k < active; k++) {
    if ((dense[columns * k + k] as number) < 0) below = 1 - below;
    if (pivots[k] !== k) below = 1 - below;
  }
  return below;
}

/**
 * What the tensions do to the lengths, drives locked, into `work.dense` [active, active]: 1/K + S' H^-1 S over the cables that
 * pull. Their columns stand from `first` on, reduced like all before them; with a tip wrench without potential all are solved instead.
 *
 * @returns number of cables that pull
 */
export function gatherRates(arm: ArmModel, tension: Float64Array, first: number, work: RodWork): number {
  const { dense, columns } = work;
  let active = 0;
  for (let c = 0; c < arm.cables; c++) if ((tension[c] as number) > 0) rateColumn(arm, c, first + active++, work);
  if (work.hasSkew) solveTangent(arm, first + active, work);
  else reduceColumns(arm, 0, first + active, work);
  let r = 0;
  for (let c = 0; c < arm.cables; c++) {
    if (!((tension[c] as number) > 0)) continue;
    for (let k = 0; k < active; k++) {
      const along = work.hasSkew ? rateAlong(arm, c, first + k, work) : k <= r ? dotReduced(arm, first + r, first + k, work) : 0;
      dense[columns * r + k] = along + (k === r ? (work.give[c] as number) : 0);
    }
    r++;
  }
  if (work.hasSkew) return active;
  for (r = 0; r < active; r++) for (let k = r + 1; k < active; k++) dense[columns * r + k] = dense[columns * k + r] as number;
  return active;
}

/**
 * The same where cables rub: what they pull with is no longer what they are measured by, so the matrix has no symmetry. Rates stand
 * from `first` on, reduced; forces follow them, reduced (solved with a tip wrench without potential).
 */
export function gatherRubbed(arm: ArmModel, tension: Float64Array, first: number, work: RodWork): number {
  const { dense, columns } = work;
  let active = 0;
  for (let c = 0; c < arm.cables; c++) if ((tension[c] as number) > 0) active++;
  let k = 0;
  for (let c = 0; c < arm.cables; c++) {
    if (!((tension[c] as number) > 0)) continue;
    rateColumn(arm, c, first + k, work);
    forceColumn(arm, c, first + active + k, work);
    k++;
  }
  if (work.hasSkew) solveTangent(arm, first + 2 * active, work);
  else reduceColumns(arm, 0, first + 2 * active, work);
  let r = 0;
  for (let c = 0; c < arm.cables; c++) {
    if (!((tension[c] as number) > 0)) continue;
    for (k = 0; k < active; k++) {
      const at = first + active + k;
      const along = work.hasSkew ? rateAlong(arm, c, at, work) : dotReduced(arm, first + r, at, work);
      dense[columns * r + k] = along + (k === r ? (work.give[c] as number) : 0);
    }
    r++;
  }
  return active;
}

/** Column c = what a unit of one cable's entry tension does to all strains: its rates times its shares. */
export function forceColumn(arm: ArmModel, cable: number, c: number, work: RodWork): void {
  rateColumn(arm, cable, c, work);
  if (!work.hasGrip) return;
  const o = 4 * arm.spans * c;
  const end = work.columnEnd[c] as number;
  for (let i = work.firstFree; i < end; i++) {
    const share = work.share[i * arm.cables + cable] as number;
    for (let k = 0; k < 4; k++) work.column[o + 4 * i + k] = share * (work.column[o + 4 * i + k] as number);
  }
}

/** Column c = rates of one cable's length by all strains it runs over. */
export function rateColumn(arm: ArmModel, cable: number, c: number, work: RodWork): void {
  clearColumn(arm, c, work);
  const end = arm.firstSpan[(arm.sectionOfCable[cable] as number) + 1] as number;
  work.columnEnd[c] = end;
  const o = 4 * arm.spans * c;
  for (let i = work.firstFree; i < end; i++) {
    const q = 4 * (i * arm.cables + cable);
    for (let k = 0; k < 4; k++) work.column[o + 4 * i + k] = work.cableRate[q + k] as number;
  }
}

/** Change of one cable's length by the strains of column c. */
export function rateAlong(arm: ArmModel, cable: number, c: number, work: RodWork): number {
  const end = arm.firstSpan[(arm.sectionOfCable[cable] as number) + 1] as number;
  const o = 4 * arm.spans * c;
  let sum = 0;
  for (let i = work.firstFree; i < end; i++) {
    const q = 4 * (i * arm.cables + cable);
    for (let k = 0; k < 4; k++) sum += (work.cableRate[q + k] as number) * (work.column[o + 4 * i + k] as number);
  }
  return sum;
}
