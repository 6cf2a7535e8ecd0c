/**
 * How far friction lets the arm stand from where it was put, drives locked. To first order, by the tangent of the solved shape.
 *
 * `known`: every cable slid last the way the state says, and the coefficients lie anywhere in their ranges. `full`: nobody knows which
 * way a cable slid last. In each section the cables that bend it one way may all have been let out and those opposed to them all drawn
 * in, or the other way about; that is worked out for both axes of each section, and all of them are added up: no combination gives more.
 * What hoses, pins and rocking faces keep back goes the same way (what the load itself presses a joint with is left out). (All cables drawn in together against all let out together would bound nothing.)
 */
import { type ArmModel, cablesRub } from "../arm/index.ts";
import { factorLu, solveLu } from "../math/index.ts";
import { rubbedGive } from "./cable-stiffness.ts";
import { turnAt } from "./friction.ts";
import { addRoot } from "./give-base.ts";
import { firstHeld } from "./held-modes.ts";
import type { RodState } from "./model.ts";
import { dotReduced, reduceColumn, returnColumn } from "./solve-columns.ts";
import { gatherRubbed } from "./stability.ts";
import { addScaled, clearColumn } from "./tangent.ts";
import type { RodWork } from "./work.ts";

export interface Band {
  /** [vertebra] greatest motion of its centre, m, and greatest turn, rad */
  readonly shift: Float64Array;
  readonly turn: Float64Array;
  /** [span] greatest change of the joint's angle, rad */
  readonly joint: Float64Array;
}

export interface DeadBand {
  readonly known: Band;
  readonly full: Band;
  /** [cable] greatest and least tension anywhere from its drive to its end, N */
  readonly most: Float64Array;
  readonly least: Float64Array;
  /** [span, cable] turning gathered from the entry to each span, rad */
  readonly turned: Float64Array;
}

export function createDeadBand(arm: ArmModel): DeadBand {
  const createBand = (): Band => ({
    shift: new Float64Array(arm.spans + 1),
    turn: new Float64Array(arm.spans + 1),
    joint: new Float64Array(arm.spans),
  });
  return {
    known: createBand(),
    full: createBand(),
    most: new Float64Array(arm.cables),
    least: new Float64Array(arm.cables),
    turned: new Float64Array(arm.spans * arm.cables),
  };
}

/**
 * @param work as a solve that converged left it, without a tip wrench that turns with the tip
 * @param band every entry is overwritten; without friction it is all 0, and both tensions are the one there is
 * @returns false when the tangent is singular: the band is not known, and filled with NaN
 */
export function findDeadBand(arm: ArmModel, state: RodState, work: RodWork, band: DeadBand): boolean {
  for (const part of [band.known, band.full]) for (const values of [part.shift, part.turn, part.joint]) values.fill(0);
  gatherTurns(arm, work, band);
  rangeTensions(arm, state, work, band);
  const { dense, columns } = work;
  const rubs = cablesRub(arm);
  if (!rubs && !arm.hoseLoss.some((loss) => loss > 0) && !arm.jointRub.some((length) => length > 0)) return true;
  const active = gatherRubbed(arm, state.tension, 0, work);
  if (work.hasSkew || (active > 0 && !factorLu(dense, active, columns, work.pivots))) return forget(band);
  // low end, then high end of the coefficients, grips as they are
  addPair(arm, state, { first: 0, end: arm.sections, axis: -1, sign: 0 }, active, work, band, band.known);
  for (let j = firstHeld(arm, work); j < arm.sections; j++) {
    for (let axis = 0; axis < 2; axis++) addPair(arm, state, { first: j, end: j + 1, axis, sign: 0 }, active, work, band, band.full);
  }
  return true;
}

/**
 * The tensions of a band alone: greatest and least anywhere along each cable, whichever way it slid last.
 *
 * @param work as a solve that converged left it
 */
export function boundTensions(arm: ArmModel, state: RodState, work: RodWork, band: DeadBand): void {
  if ((arm.holeFriction[2] as number) > 0) gatherTurns(arm, work, band);
  else band.turned.fill(0);
  rangeTensions(arm, state, work, band);
}

function forget(band: DeadBand): false {
  for (const part of [band.known, band.full]) for (const values of [part.shift, part.turn, part.joint]) values.fill(Number.NaN);
  band.most.fill(Number.NaN);
  band.least.fill(Number.NaN);
  return false;
}

/** Turning of each cable gathered from its entry. */
function gatherTurns(arm: ArmModel, work: RodWork, band: DeadBand): void {
  const n = arm.cables;
  for (let i = work.firstFree; i < arm.spans; i++) {
    for (let c = arm.firstCable[arm.sectionOfSpan[i] as number] as number; c < n; c++) {
      const before = i > work.firstFree ? (band.turned[(i - 1) * n + c] as number) : 0;
      band.turned[i * n + c] = before + turnAt(arm, i, c, work);
    }
  }
}

/** Greatest and least tension along each cable, entry tension as it is, its friction either way and as high as it may be. */
function rangeTensions(arm: ArmModel, state: RodState, work: RodWork, band: DeadBand): void {
  const conduit = (arm.conduitFriction[2] as number) * arm.conduitTurn;
  for (let c = 0; c < arm.cables; c++) {
    const last = (arm.firstSpan[(arm.sectionOfCable[c] as number) + 1] as number) - 1;
    const whole = last < work.firstFree ? 0 : (arm.holeFriction[2] as number) * (band.turned[last * arm.cables + c] as number);
    band.most[c] = (state.tension[c] as number) * Math.exp(Math.max(whole, conduit));
    band.least[c] = (state.tension[c] as number) * Math.exp(-Math.max(whole, conduit));
  }
}

/** Which cables went which way: the sections they belong to; the axis about which they are opposed (-1: as they went), and the end or sense. */
interface Pattern {
  readonly first: number;
  readonly end: number;
  readonly axis: number;
  sign: number;
}

/** A pattern both ways about: the greater of the two is added to the band. */
function addPair(arm: ArmModel, state: RodState, pattern: Pattern, active: number, work: RodWork, band: DeadBand, into: Band): void {
  const n = arm.spans;
  const up = 2 * active;
  const down = up + 1;
  pattern.sign = 1;
  solvePattern(arm, state, pattern, active, up, work, band);
  pattern.sign = -1;
  solvePattern(arm, state, pattern, active, down, work, band);
  const { motion, column } = work;
  for (let i = work.firstFree + 1; i <= n; i++) {
    const p = 6 * ((n + 1) * up + i);
    const q = 6 * ((n + 1) * down + i);
    into.turn[i] = (into.turn[i] as number) + Math.max(size3(motion, p), size3(motion, q));
    into.shift[i] = (into.shift[i] as number) + Math.max(size3(motion, p + 3), size3(motion, q + 3));
  }
  for (let i = work.firstFree; i < n; i++) {
    const l = work.flexible[i] as number;
    const p = 4 * (n * up + i);
    const q = 4 * (n * down + i);
    const a = Math.sqrt((column[p] as number) ** 2 + (column[p + 1] as number) ** 2);
    const b = Math.sqrt((column[q] as number) ** 2 + (column[q + 1] as number) ** 2);
    into.joint[i] = (into.joint[i] as number) + l * Math.max(a, b);
  }
}

function size3(values: Float64Array, o: number): number {
  const x = values[o] as number;
  const y = values[o + 1] as number;
  const z = values[o + 2] as number;
  return Math.sqrt(x * x + y * y + z * z);
}

/** Change of strains into column `at` and of vertebrae into its motion, drives locked. */
function solvePattern(arm: ArmModel, state: RodState, pattern: Pattern, active: number, at: number, work: RodWork, band: DeadBand): void {
  patternColumn(arm, state, pattern, at, work, band);
  reduceColumn(arm, at, work);
  const { dense, denseRight, column, columns, columnEnd } = work;
  const n4 = 4 * arm.spans;
  let r = 0;
  for (let c = 0; c < arm.cables; c++) {
    if (!((state.tension[c] as number) > 0)) continue;
    const j = arm.sectionOfCable[c] as number;
    const longer = j < pattern.first || j >= pattern.end ? 0 : stretchChange(arm, state, pattern, c, work, band);
    denseRight[r] = dotReduced(arm, r, at, work) - longer;
    r++;
  }
  if (active > 0) solveLu(dense, active, columns, work.pivots, denseRight);
  for (let k = 0; k < active; k++) {
    const force = active + k;
    addScaled(column, n4 * at, column, n4 * force, 4 * (columnEnd[force] as number), -(denseRight[k] as number));
    addRoot(at, force, -(denseRight[k] as number), work);
  }
  returnColumn(arm, at, work);
}

/** Grip times coefficient of cable c at the foot of span i (`arm.spans`: the conduit) in this pattern. */
function rubOf(arm: ArmModel, state: RodState, pattern: Pattern, i: number, c: number, work: RodWork): number {
  const friction = i < arm.spans ? arm.holeFriction : arm.conduitFriction;
  if (pattern.axis < 0) return (state.grip[i * arm.cables + c] as number) * (friction[pattern.sign > 0 ? 2 : 0] as number);
  // the effort of a cable that was let out last is greater than its drive's, and smaller of one that was drawn in
  return (work.effortArm[2 * c + pattern.axis] as number) * pattern.sign > 0 ? -(friction[2] as number) : (friction[2] as number);
}

/** Column `at` = what the change of tensions along the cables, entry tensions kept, and the hoses do to the strains. */
function patternColumn(arm: ArmModel, state: RodState, pattern: Pattern, at: number, work: RodWork, band: DeadBand): void {
  clearColumn(arm, at, work);
  const { column, cableRate, share } = work;
  const n = arm.cables;
  const o = 4 * arm.spans * at;
  for (let c = arm.firstCable[pattern.first] as number; c < (arm.firstCable[pattern.end] as number); c++) {
    const end = arm.firstSpan[(arm.sectionOfCable[c] as number) + 1] as number;
    let logarithm = 0;
    for (let i = work.firstFree; i < end; i++) {
      logarithm -= rubOf(arm, state, pattern, i, c, work) * turnedAt(arm, i, c, work, band);
      const change = (state.tension[c] as number) * (Math.exp(logarithm) - (share[i * n + c] as number));
      const q = 4 * (i * n + c);
      for (let k = 0; k < 4; k++) column[o + 4 * i + k] = (column[o + 4 * i + k] as number) - change * (cableRate[q + k] as number);
    }
  }
  if (pattern.axis < 0) return;
  const { axis } = pattern;
  for (let i = Math.max(work.firstFree, arm.firstSpan[pattern.first] as number); i < (arm.firstSpan[pattern.end] as number); i++) {
    const l = work.flexible[i] as number;
    const bend = l * Math.abs(state.strain[4 * i + axis] as number);
    const kept = (arm.hoseLoss[i] as number) * bend + (arm.jointRub[i] as number) * forceThrough(arm, state, i, work);
    column[o + 4 * i + axis] = (column[o + 4 * i + axis] as number) + pattern.sign * l * kept;
  }
}

/** What the cables press span i together with, N. */
function forceThrough(arm: ArmModel, state: RodState, i: number, work: RodWork): number {
  let sum = 0;
  for (let c = arm.firstCable[arm.sectionOfSpan[i] as number] as number; c < arm.cables; c++) {
    sum += (state.tension[c] as number) * (work.share[i * arm.cables + c] as number);
  }
  return sum;
}

function turnedAt(arm: ArmModel, i: number, c: number, work: RodWork, band: DeadBand): number {
  const at = i * arm.cables + c;
  return (band.turned[at] as number) - (i > work.firstFree ? (band.turned[at - arm.cables] as number) : 0);
}

/** How much longer cable c is stretched in this pattern, entry tension kept, m. */
function stretchChange(arm: ArmModel, state: RodState, pattern: Pattern, c: number, work: RodWork, band: DeadBand): number {
  const end = arm.firstSpan[(arm.sectionOfCable[c] as number) + 1] as number;
  let sum = 0;
  let logarithm = 0;
  for (let i = work.firstFree; i < end; i++) {
    logarithm -= rubOf(arm, state, pattern, i, c, work) * turnedAt(arm, i, c, work, band);
    const pitch = (arm.lead[i] as number) + (arm.flexible[i] as number) + (arm.tail[i] as number);
    sum += (Math.exp(logarithm) - 1) * pitch;
  }
  const inArm = (arm.along[end] as number) / (arm.cableEA[c] as number);
  const x = rubOf(arm, state, pattern, arm.spans, c, work) * arm.conduitTurn;
  const give = inArm + sum / (arm.cableEA[c] as number) + rubbedGive(arm, c, x);
  return (state.tension[c] as number) * (give - (work.give[c] as number));
}
