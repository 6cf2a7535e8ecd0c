/** Strains -> frames of all vertebrae, reach of every span, cable lengths and their rates, bends of the sections. */
import type { ArmModel } from "../arm/index.ts";
import { placeBase, setBase } from "./give-base.ts";
import type { Stance } from "./model.ts";
import { placeSpan } from "./span.ts";
import type { RodWork } from "./work.ts";

/** Shortest piece of a span that still counts as free, m: less bends by less than any tolerance here. */
const leastFree = 1e-5;

/** Which spans are free with the guide's exit where it is: those before it are straight, the one on it is shortened. */
export function setStance(arm: ArmModel, stance: Stance, work: RodWork): void {
  work.kernel?.useArm(arm);
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
  setBase(arm, stance, work);
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
  const { frame, turn, shift, reach, lead, flexible, kernel } = work;
  work.gathered = false;
  if (work.hasBase) placeBase(arm, work);
  if (kernel !== undefined) {
    kernel.strain.set(strain);
    kernel.placeArm(work.firstFree, arm.sections);
    return;
  }
  const k = work.scratch;
  work.cableLength.fill(0);
  work.bend.fill(0);
  for (let i = work.firstFree; i < arm.spans; i++) {
    placeSpan(strain, i, lead, flexible, arm.tail, turn, shift, reach, k);
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

/** Lengths of the cables over span i (flexible part), their lines and rates, and their share in the section's bend. */
function measureCables(arm: ArmModel, i: number, work: RodWork): void {
  const { turn, shift, reach, cableRate, cableLine, cableLength, bend, bendWeight } = work;
  const { cableX, cableY } = arm;
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
  const b00 = reach[b] as number;
  const b01 = reach[b + 1] as number;
  const b02 = reach[b + 2] as number;
  const b10 = reach[b + 4] as number;
  const b11 = reach[b + 5] as number;
  const b12 = reach[b + 6] as number;
  const b20 = reach[b + 8] as number;
  const b21 = reach[b + 9] as number;
  const b22 = reach[b + 10] as number;
  const b30 = reach[b + 12] as number;
  const b31 = reach[b + 13] as number;
  const b32 = reach[b + 14] as number;
  const b33 = reach[b + 15] as number;
  const b40 = reach[b + 16] as number;
  const b41 = reach[b + 17] as number;
  const b42 = reach[b + 18] as number;
  const b43 = reach[b + 19] as number;
  const b50 = reach[b + 20] as number;
  const b51 = reach[b + 21] as number;
  const b52 = reach[b + 22] as number;
  const b53 = reach[b + 23] as number;
  const rz = -(arm.tail[i] as number);
  const px = shift[3 * i] as number;
  const py = shift[3 * i + 1] as number;
  const pz = (shift[3 * i + 2] as number) - (work.lead[i] as number);
  // the lower hole as the upper vertebra sees it, but for its own x and y
  const u0 = (turn[t + 6] as number) * pz;
  const u1 = (turn[t + 7] as number) * pz;
  const u2 = (turn[t + 8] as number) * pz + rz;
  let o = 4 * (i * arm.cables + own);
  for (let c = own; c < arm.cables; c++, o += 4) {
    const rx = cableX[c] as number;
    const ry = cableY[c] as number;
    const dx = px - rx;
    const dy = py - ry;
    const wx = t0 * dx + t3 * dy + u0 + rx;
    const wy = t1 * dx + t4 * dy + u1 + ry;
    const wz = t2 * dx + t5 * dy + u2;
    const s = Math.sqrt(wx * wx + wy * wy + wz * wz);
    const short = 1 / s;
    const n0 = wx * short;
    const n1 = wy * short;
    const n2 = wz * short;
    const m0 = ry * n2 - rz * n1;
    const m1 = rz * n0 - rx * n2;
    const m2 = rx * n1 - ry * n0;
    cableLine[o] = n0;
    cableLine[o + 1] = n1;
    cableLine[o + 2] = n2;
    cableLine[o + 3] = short;
    // axial strain turns nothing
    cableRate[o] = m0 * b00 + m1 * b10 + m2 * b20 + n0 * b30 + n1 * b40 + n2 * b50;
    cableRate[o + 1] = m0 * b01 + m1 * b11 + m2 * b21 + n0 * b31 + n1 * b41 + n2 * b51;
    cableRate[o + 2] = m0 * b02 + m1 * b12 + m2 * b22 + n0 * b32 + n1 * b42 + n2 * b52;
    cableRate[o + 3] = n0 * b33 + n1 * b43 + n2 * b53;
    cableLength[c] = (cableLength[c] as number) + s;
    if (c < ownEnd) {
      bend[2 * section] = (bend[2 * section] as number) + (bendWeight[2 * c] as number) * s;
      bend[2 * section + 1] = (bend[2 * section + 1] as number) + (bendWeight[2 * c + 1] as number) * s;
    }
  }
}
