/** Strains -> frames of all vertebrae, reach of every span, cable lengths and their rates, bends of the sections. */
import type { ArmModel } from "../arm/index.ts";
import type { Stance } from "./model.ts";
import { placeSpan } from "./span.ts";
import type { RodWork } from "./work.ts";

/** Shortest piece of a span that still counts as free, m: less bends by less than any tolerance here. */
const leastFree = 1e-5;

/** Which spans are free with the guide's exit where it is: those before it are straight, the one on it is shortened. */
export function setStance(arm: ArmModel, stance: Stance, work: RodWork): void {
  let first = arm.spans;
  for (let i = arm.spans - 1; i >= 0; i--) {
    const start = (arm.along[i] as number) + (arm.lead[i] as number);
    const end = start + (arm.flexible[i] as number);
    const free = Math.min(end - Math.max(start, stance.exit), arm.flexible[i] as number);
    if (free < Math.min(leastFree, 0.5 * (arm.flexible[i] as number))) break;
    first = i;
    work.flexible[i] = free;
    work.lead[i] = (arm.lead[i] as number) + (arm.flexible[i] as number) - free;
  }
  work.firstFree = first;
  const base = stance.base;
  for (let i = 0; i <= first; i++) {
    const o = 12 * i;
    for (let k = 0; k < 9; k++) work.frame[o + k] = base[k] as number;
    const s = arm.along[i] as number;
    work.frame[o + 9] = (base[9] as number) + s * (base[2] as number);
    work.frame[o + 10] = (base[10] as number) + s * (base[5] as number);
    work.frame[o + 11] = (base[11] as number) + s * (base[8] as number);
  }
}

/**
 * Frames, turns, shifts, reaches, cable lengths and rates, bends.
 *
 * @param strain [span, 4]; spans in the guide are not read
 * @param work the stance must be set
 */
export function placeArm(arm: ArmModel, strain: Float64Array, work: RodWork): void {
  const { frame, turn, shift, reach, lead, flexible } = work;
  const k = work.scratch;
  work.cableLength.fill(0);
  work.bend.fill(0);
  for (let i = work.firstFree; i < arm.spans; i++) {
    placeSpan(strain, i, lead[i] as number, flexible[i] as number, arm.tail[i] as number, turn, shift, reach, k);
    chainFrame(frame, 12 * i, turn, 9 * i, shift, 3 * i);
    measureCables(arm, i, work);
  }
}

/** frame[o + 12] = frame[o] * (turn, shift) */
function chainFrame(frame: Float64Array, o: number, turn: Float64Array, t: number, shift: Float64Array, s: number): void {
  const x = shift[s] as number;
  const y = shift[s + 1] as number;
  const z = shift[s + 2] as number;
  for (let r = 0; r < 3; r++) {
    const a = frame[o + 3 * r] as number;
    const b = frame[o + 3 * r + 1] as number;
    const c = frame[o + 3 * r + 2] as number;
    frame[o + 12 + 3 * r] = a * (turn[t] as number) + b * (turn[t + 3] as number) + c * (turn[t + 6] as number);
    frame[o + 13 + 3 * r] = a * (turn[t + 1] as number) + b * (turn[t + 4] as number) + c * (turn[t + 7] as number);
    frame[o + 14 + 3 * r] = a * (turn[t + 2] as number) + b * (turn[t + 5] as number) + c * (turn[t + 8] as number);
    frame[o + 21 + r] = (frame[o + 9 + r] as number) + a * x + b * y + c * z;
  }
}

/** Lengths of the cables over span i (flexible part), their rates, and their share in the section's bend. */
function measureCables(arm: ArmModel, i: number, work: RodWork): void {
  const { turn, shift, reach, cableRate, cableLength, bend, bendWeight } = work;
  const section = arm.sectionOfSpan[i] as number;
  const own = arm.firstCable[section] as number;
  const ownEnd = arm.firstCable[section + 1] as number;
  const t = 9 * i;
  const b = 24 * i;
  const t0 = turn[t] as number;
  const t1 = turn[t + 1] as number;
  const t2 = turn[t + 2] as number;
  const t3 = turn[t + 3] as number;
  const t4 = turn[t + 4] as number;
  const t5 = turn[t + 5] as number;
  const t6 = turn[t + 6] as number;
  const t7 = turn[t + 7] as number;
  const t8 = turn[t + 8] as number;
  const rz = -(arm.tail[i] as number);
  const px = shift[3 * i] as number;
  const py = shift[3 * i + 1] as number;
  const pz = (shift[3 * i + 2] as number) - (work.lead[i] as number);
  for (let c = own; c < arm.cables; c++) {
    const rx = arm.cableX[c] as number;
    const ry = arm.cableY[c] as number;
    const dx = px - rx;
    const dy = py - ry;
    const wx = t0 * dx + t3 * dy + t6 * pz + rx;
    const wy = t1 * dx + t4 * dy + t7 * pz + ry;
    const wz = t2 * dx + t5 * dy + t8 * pz + rz;
    const s = Math.sqrt(wx * wx + wy * wy + wz * wz);
    const n0 = wx / s;
    const n1 = wy / s;
    const n2 = wz / s;
    const m0 = ry * n2 - rz * n1;
    const m1 = rz * n0 - rx * n2;
    const m2 = rx * n1 - ry * n0;
    const o = 4 * (i * arm.cables + c);
    for (let j = 0; j < 4; j++) {
      cableRate[o + j] =
        m0 * (reach[b + j] as number) + m1 * (reach[b + 4 + j] as number) + m2 * (reach[b + 8 + j] as number) +
        n0 * (reach[b + 12 + j] as number) + n1 * (reach[b + 16 + j] as number) + n2 * (reach[b + 20 + j] as number);
    }
    cableLength[c] = (cableLength[c] as number) + s;
    if (c < ownEnd) {
      bend[2 * section] = (bend[2 * section] as number) + (bendWeight[2 * c] as number) * s;
      bend[2 * section + 1] = (bend[2 * section + 1] as number) + (bendWeight[2 * c + 1] as number) * s;
    }
  }
}
