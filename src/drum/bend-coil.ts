/** The arm bent round the core by the drum itself: core and cover carry the bend, the cables are kept at their pretension. */
import type { ArmModel } from "../arm/index.ts";
import { type RodState, type RodWork, type Stance, slideCables, solveTensions } from "../rod/index.ts";
import { type Hold, weightless } from "./hold-coil.ts";
import type { Coil } from "./model.ts";

/** The same arm with every joint's bend held where the lay has it, straight off the drum; it twists and gives in length. */
export function bendOnDrum(arm: ArmModel, coil: Coil, count: number, state: RodState): ArmModel {
  const freeStrain = arm.freeStrain.slice();
  for (let i = 0; i < arm.spans; i++) {
    for (let axis = 0; axis < 2; axis++) {
      freeStrain[4 * i + axis] = 0;
      state.strain[4 * i + axis] = i < count ? (coil.bend[2 * i + axis] as number) / (arm.flexible[i] as number) : 0;
    }
  }
  return { ...arm, freeStrain };
}

export function createBent(arm: ArmModel): Hold {
  const bend = new Float64Array(2 * arm.sections);
  return { bend, from: bend.slice(), made: 0, steps: 3, corrections: 0, report: undefined, done: false };
}

/**
 * One solve: with the tensions as they were, after which the cables have slid; with the friction of that; and with what the slackest place of each
 * then needs.
 */
export function stepBent(arm: ArmModel, coil: Coil, hold: Hold, state: RodState, work: RodWork): void {
  if (hold.done) return;
  const stance: Stance = { base: coil.base, exit: 0 };
  hold.report = solveTensions(arm, weightless, stance, state, work, { ramp: false, escape: false });
  hold.made++;
  hold.done = hold.report.status === "not-converged" || hold.made === hold.steps;
  if (hold.made === 1) slideCables(arm, state, work);
  if (hold.made === 2 && !hold.done) state.tension.set(work.floor);
  hold.bend.set(work.bend);
}
