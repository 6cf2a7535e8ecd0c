/** The arm held on the drum by its own sections: bends that make each turn with the core, tensions that hold them. */
import type { ArmModel, Section } from "../arm/index.ts";
import { type Load, type RodState, type RodWork, type SolveReport, type Stance, slideCables, solveHeld } from "../rod/index.ts";
import type { Coil } from "./model.ts";

/** The arm lies: its weight is the core's to carry. */
export const weightless: Load = { gravity: [0, 0, 0], forces: [] };

/** How far holding a coil has come. Plain data. */
export interface Hold {
  /** [section, 2] bend asked of each section at last, and where it started from, rad */
  readonly bend: Float64Array;
  readonly from: Float64Array;
  /** steps made from there, and how many there are */
  made: number;
  readonly steps: number;
  corrections: number;
  report: SolveReport | undefined;
  done: boolean;
}

/** Bends are raised and lowered in steps that Newton and the friction's history follow, rad. */
const bendStep = 0.25;
/** Greatest miss of a section's turn that is left, rad. */
const enough = 1e-5;
const mostCorrections = 4;

/** The same arm with the part of a section that is off the drum held straight by the tube. */
export function holdOff(arm: ArmModel, count: number, state: RodState): ArmModel {
  const j = count < arm.spans ? (arm.sectionOfSpan[count] as number) : arm.sections;
  if (j === arm.sections || count === arm.firstSpan[j]) return arm;
  const freeStrain = arm.freeStrain.slice();
  for (let i = count; i < (arm.firstSpan[j + 1] as number); i++) {
    freeStrain.fill(0, 4 * i, 4 * i + 4);
    state.strain.fill(0, 4 * i, 4 * i + 4);
  }
  return { ...arm, freeStrain };
}

/**
 * @param arm as `holdOff` gives it
 * @param count spans on the drum, from the base
 * @param from [section, 2] bends that the arm has
 */
export function createHold(arm: ArmModel, coil: Coil, count: number, from: Float64Array): Hold {
  const bend = wantedTurns(arm, coil, count);
  const start = from.slice();
  // a section of which a part was just straightened measures no more than the rest of it
  const j = count < arm.spans ? (arm.sectionOfSpan[count] as number) : arm.sections;
  if (j < arm.sections)
    for (const k of [2 * j, 2 * j + 1]) if (smaller(bend[k] as number, start[k] as number)) start[k] = bend[k] as number;
  let far = 0;
  for (let k = 0; k < bend.length; k++) far = Math.max(far, Math.abs((bend[k] as number) - (start[k] as number)));
  const steps = Math.max(1, Math.ceil(far / bendStep));
  return { bend, from: start, made: 0, steps, corrections: 0, report: undefined, done: false };
}

function smaller(a: number, b: number): boolean {
  return Math.abs(a) < Math.abs(b);
}

/** One solve: a step nearer to the bends, or a correction. The cables' friction is moved on by what they slid. */
export function stepHold(arm: ArmModel, coil: Coil, count: number, hold: Hold, state: RodState, work: RodWork): void {
  if (hold.done) return;
  const stance: Stance = { base: coil.base, exit: 0 };
  const { bend, from, steps } = hold;
  if (hold.made < steps) {
    hold.made++;
    const asked = bend.map((value, k) => (from[k] as number) + ((value - (from[k] as number)) * hold.made) / steps);
    hold.report = solveHeld(arm, weightless, stance, asked, state, work, { tolerance: 1e-6 });
    hold.done = hold.report.status === "not-converged";
    if (!hold.done) slideCables(arm, state, work);
    return;
  }
  hold.report = solveHeld(arm, weightless, stance, bend, state, work);
  if (hold.report.status === "not-converged" || hold.corrections === mostCorrections) {
    hold.done = true;
    return;
  }
  // the cables measure chords, not turns: what a section is short of is asked for on top
  const missing = findMiss(arm, state, wantedTurns(arm, coil, count), count);
  hold.done = missing.every((miss) => Math.abs(miss) < enough);
  if (hold.done) return;
  hold.corrections++;
  for (let k = 0; k < bend.length; k++) bend[k] = (bend[k] as number) + (missing[k] as number);
}

/** [section, 2] turn of each section on the drum about its own x and y, rad. */
function wantedTurns(arm: ArmModel, coil: Coil, count: number): Float64Array {
  const wanted = new Float64Array(2 * arm.sections);
  for (let i = 0; i < count; i++) {
    const j = 2 * (arm.sectionOfSpan[i] as number);
    wanted[j] = (wanted[j] as number) + (coil.turn[i] as number) * Math.cos(coil.direction[i] as number);
    wanted[j + 1] = (wanted[j + 1] as number) + (coil.turn[i] as number) * Math.sin(coil.direction[i] as number);
  }
  return wanted;
}

/** [section, 2] what the sections' turns are short of, rad. */
function findMiss(arm: ArmModel, state: RodState, wanted: Float64Array, count: number): Float64Array {
  const missing = new Float64Array(2 * arm.sections);
  for (let j = 0; j < arm.sections && (arm.firstSpan[j] as number) < count; j++) {
    for (let axis = 0; axis < 2; axis++) {
      let got = 0;
      for (let i = arm.firstSpan[j] as number; i < Math.min(arm.firstSpan[j + 1] as number, count); i++) {
        got += (arm.flexible[i] as number) * (state.strain[4 * i + axis] as number);
      }
      missing[2 * j + axis] = (wanted[2 * j + axis] as number) - got;
    }
  }
  return missing;
}

/** Length of the arm that is not on the drum, to the tool point, m. */
export function paidOut(arm: ArmModel, count: number): number {
  return (arm.along[arm.spans] as number) - (arm.along[count] as number) + arm.description.tool.length;
}

export function sectionAt(arm: ArmModel, span: number): Section {
  return arm.description.sections[arm.sectionOfSpan[span] as number] as Section;
}
