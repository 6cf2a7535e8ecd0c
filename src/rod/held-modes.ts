/** What the efforts of the held sections do to their bends: the dense system that is left when the tangent's sweep has eliminated the strains. */
import type { ArmModel } from "../arm/index.ts";
import { countNegative } from "../math/index.ts";
import { dotsReduced, reduceColumns } from "./solve-columns.ts";
import { clearColumn, solveTangent } from "./tangent.ts";
import type { RodWork } from "./work.ts";

/** First section with any part out of the guide, and cables of its own: it and all beyond are held. Those before it without any bend as they must. */
export function firstHeld(arm: ArmModel, work: RodWork): number {
  if (work.firstFree >= arm.spans) return arm.sections;
  return Math.max(arm.sectionOfSpan[work.firstFree] as number, arm.sectionOfCable[0] as number);
}

/**
 * What the efforts do to the bends, into `work.dense` [held, held]; efforts in columns 1 to held, bends in the next ones, reduced.
 * With a tip wrench without potential columns 0 to held are solved instead.
 */
export function gatherModes(arm: ArmModel, limp: number, held: number, work: RodWork): void {
  const { dense, columns } = work;
  for (let k = 0; k < held; k += 2) effortColumns(arm, limp + (k >> 1), 1 + k, work);
  if (work.hasSkew) {
    solveTangent(arm, 1 + held, work);
    for (let c = 0; c < held; c++) work.columnEnd[1 + c] = arm.spans;
    for (let r = 0; r < held; r++) for (let c = 0; c < held; c++) dense[columns * r + c] = bendChange(arm, 2 * limp + r, 1 + c, work);
    return;
  }
  for (let k = 0; k < held; k += 2) bendColumns(arm, limp + (k >> 1), 1 + held + k, work);
  reduceColumns(arm, 1, 2 * held, work);
  // the two modes of a section end alike
  dotsReduced(arm, 1 + held, held, 1, held, dense, 0, work);
  work.gathered = true;
}

/** Columns c and c + 1 = load on the strains of one more unit of the section's efforts: minus its tensions' pull. */
function effortColumns(arm: ArmModel, j: number, c: number, work: RodWork): void {
  sumRates(arm, j, work.firstFree, c, work.tensionRate, -1, work.hasGrip, work);
}

/** Columns c and c + 1 = rates of a section's bends by all strains they are measured over. */
function bendColumns(arm: ArmModel, j: number, c: number, work: RodWork): void {
  sumRates(arm, j, Math.max(work.firstFree, arm.firstSpan[j] as number), c, work.bendWeight, 1, false, work);
}

/** Columns c and c + 1 = rates of the section's cables from span `from` on to its end, weighted [cable, 2], and by their shares of the entry tension where they rub. */
function sumRates(
  arm: ArmModel,
  j: number,
  from: number,
  c: number,
  weight: Float64Array,
  sign: number,
  rubs: boolean,
  work: RodWork,
): void {
  clearColumn(arm, c, work);
  clearColumn(arm, c + 1, work);
  const { column, cableRate } = work;
  const end = arm.firstSpan[j + 1] as number;
  work.columnEnd[c] = end;
  work.columnEnd[c + 1] = end;
  const first = arm.firstCable[j] as number;
  const past = arm.firstCable[j + 1] as number;
  for (let i = from; i < end; i++) {
    let a0 = 0;
    let a1 = 0;
    let a2 = 0;
    let a3 = 0;
    let b0 = 0;
    let b1 = 0;
    let b2 = 0;
    let b3 = 0;
    let q = 4 * (i * arm.cables + first);
    for (let cable = first; cable < past; cable++, q += 4) {
      const share = rubs ? (work.share[q >> 2] as number) : 1;
      const x = share * (weight[2 * cable] as number);
      const y = share * (weight[2 * cable + 1] as number);
      const r0 = cableRate[q] as number;
      const r1 = cableRate[q + 1] as number;
      const r2 = cableRate[q + 2] as number;
      const r3 = cableRate[q + 3] as number;
      a0 += x * r0;
      a1 += x * r1;
      a2 += x * r2;
      a3 += x * r3;
      b0 += y * r0;
      b1 += y * r1;
      b2 += y * r2;
      b3 += y * r3;
    }
    const o = 4 * (arm.spans * c + i);
    const p = o + 4 * arm.spans;
    column[o] = sign * a0;
    column[o + 1] = sign * a1;
    column[o + 2] = sign * a2;
    column[o + 3] = sign * a3;
    column[p] = sign * b0;
    column[p + 1] = sign * b1;
    column[p + 2] = sign * b2;
    column[p + 3] = sign * b3;
  }
}

/** Change of a section's bend by the strains of column c. */
export function bendChange(arm: ArmModel, mode: number, c: number, work: RodWork): number {
  const j = mode >> 1;
  const o = 4 * arm.spans * c;
  const { column, cableRate, bendWeight } = work;
  let sum = 0;
  for (let i = Math.max(work.firstFree, arm.firstSpan[j] as number); i < (arm.firstSpan[j + 1] as number); i++) {
    for (let cable = arm.firstCable[j] as number; cable < (arm.firstCable[j + 1] as number); cable++) {
      const q = 4 * (i * arm.cables + cable);
      const h = o + 4 * i;
      sum +=
        (bendWeight[2 * cable + (mode & 1)] as number) *
        ((cableRate[q] as number) * (column[h] as number) +
          (cableRate[q + 1] as number) * (column[h + 1] as number) +
          (cableRate[q + 2] as number) * (column[h + 2] as number) +
          (cableRate[q + 3] as number) * (column[h + 3] as number));
    }
  }
  return sum;
}

/**
 * Whether the balance is steady with the drives locked, told by the efforts' columns alone (they serve the sensitivities too). With E = S W
 * the load of the efforts, S the cables' rates and K their stiffness, the locked tangent H + S K S' is no softer than
 * H + E (W' K^-1 W)^-1 E', whose directions below zero are neg(H) - neg(W' K^-1 W + E' H^-1 E) (Haynsworth's inertia formula).
 *
 * @param tension [cable]
 * @returns false when these columns alone do not tell
 */
export function steadyByEfforts(arm: ArmModel, limp: number, tension: Float64Array, work: RodWork): boolean {
  const held = 2 * (arm.sections - limp);
  if (work.hasSkew || held < work.negative) return false;
  for (let c = arm.firstCable[limp] as number; c < arm.cables; c++) if (!((tension[c] as number) > 0)) return false;
  if (!work.gathered) gatherModes(arm, limp, held, work);
  const { denseRight, tensionRate, columns } = work;
  dotsReduced(arm, 1, held, 1, held, denseRight, 0, work);
  for (let c = arm.firstCable[limp] as number; c < arm.cables; c++) {
    const give = work.give[c] as number;
    const x = tensionRate[2 * c] as number;
    const y = tensionRate[2 * c + 1] as number;
    const o = 2 * ((arm.sectionOfCable[c] as number) - limp) * (columns + 1);
    denseRight[o] = (denseRight[o] as number) + give * x * x;
    denseRight[o + columns] = (denseRight[o + columns] as number) + give * x * y;
    denseRight[o + columns + 1] = (denseRight[o + columns + 1] as number) + give * y * y;
  }
  return countNegative(denseRight, held, columns) === work.negative;
}
