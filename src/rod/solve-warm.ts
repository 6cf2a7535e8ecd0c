/** What a change of temperature and creep do to the cables' free lengths while the drives stay locked. */
import type { ArmModel, Section } from "../arm/index.ts";
import type { Load, RodState, SolveReport, Stance } from "./model.ts";
import { setStance } from "./place.ts";
import { solveLocked } from "./solve-locked.ts";
import type { RodWork } from "./work.ts";

/** Where an arm is used, against where it was set up; K, all of them. */
export interface Temperature {
  /** the arm was set up at, and its cables tensioned */
  readonly setUp: number;
  /** coldest and hottest in the machine */
  readonly arm: readonly [number, number];
  /** coldest and hottest of the conduits; when absent, as in the machine or as set up, whichever is worse */
  readonly conduit?: readonly [number, number];
}

/** How far from where it was set up the arm is. */
export interface Warming {
  /** the arm, its cables in it and its rods, K; below 0 when colder */
  readonly arm: number;
  /** the conduits and the cables in them, K */
  readonly conduit: number;
  /** the cables have crept by what their stock allows for, in proportion to their tension */
  readonly creep: boolean;
}

/**
 * The ends of what the job allows for: every pair of an end in the machine and one of the conduits, but not the arm as it was set up.
 * Without a temperature there is only the creep, and without that nothing.
 *
 * @param creep whether the cables are taken to have crept (where their stock allows for it)
 */
export function listWarmings(arm: ArmModel, temperature: Temperature | undefined, creep: boolean): Warming[] {
  const crept = creep && arm.description.sections.some(({ cable }) => (cable.creep ?? 0) > 0);
  const ends = (pair: readonly [number, number], setUp: number): number[] => [...new Set(pair)].map((value) => value - setUp);
  const pairs: Warming[] = [];
  const add = (inside: number, outside: number): void => {
    if (pairs.some((one) => one.arm === inside && one.conduit === outside)) return;
    if (crept || inside !== 0 || outside !== 0) pairs.push({ arm: inside, conduit: outside, creep: crept });
  };
  if (temperature === undefined) add(0, 0);
  else {
    const { setUp, conduit } = temperature;
    for (const inside of ends(temperature.arm, setUp)) {
      for (const outside of conduit === undefined ? [inside, 0] : ends(conduit, setUp)) add(inside, outside);
    }
  }
  return pairs;
}

/**
 * The balance of the warm arm with the drives locked where they were.
 *
 * @param arm as it was set up
 * @param warm the same by `heatArm(arm, warming.arm)`
 * @param stance the base stays where it is
 * @param tension [cable] when it was set up, N: the creep goes by it
 * @param free [cable] as set up (`readFreeLengths`); overwritten by those of the warm arm, m
 * @param state as set up, or near the balance; overwritten by it
 * @see docs/sources.md#expansion
 */
export function solveWarm(
  arm: ArmModel,
  warm: ArmModel,
  warming: Warming,
  load: Load,
  stance: Stance,
  tension: Float64Array,
  free: Float64Array,
  state: RodState,
  work: RodWork,
): SolveReport {
  warmFreeLengths(arm, warm, warming, stance, tension, free, work);
  for (let k = 0; k < 4 * arm.spans; k++) {
    state.strain[k] = (state.strain[k] as number) + (warm.rest[k] as number) - (arm.rest[k] as number);
  }
  return solveLocked(warm, load, stance, free, state, work);
}

/**
 * Each strand grows from its drive to its end, the conduit and what it runs through in vertebrae and guide grow too; what is left over
 * is let out into the free spans.
 *
 * @param tension [cable] when it was set up, N: for the creep
 * @param work the stance of the warm arm is left in it
 */
function warmFreeLengths(
  arm: ArmModel,
  warm: ArmModel,
  warming: Warming,
  stance: Stance,
  tension: Float64Array,
  free: Float64Array,
  work: RodWork,
): void {
  const { description } = arm;
  const conduit = description.conduitLength;
  setStance(arm, stance, work);
  addHeld(arm, work, free, 1);
  setStance(warm, stance, work);
  addHeld(warm, work, free, -1);
  for (let c = 0; c < arm.cables; c++) {
    const j = arm.sectionOfCable[c] as number;
    const { cable } = description.sections[j] as Section;
    const length = arm.along[arm.firstSpan[j + 1] as number] as number;
    const growth = (cable.expansion ?? 0) * (warming.arm * length + warming.conduit * conduit);
    const crept = warming.creep ? ((cable.creep ?? 0) * (tension[c] as number)) / (arm.workingLoad[c] as number) : 0;
    const way = (description.conduitExpansion ?? 0) * warming.conduit * conduit;
    free[c] = (free[c] as number) + growth + crept * (length + conduit) - way;
  }
}

/** Adds what each cable runs through besides the free spans: vertebrae, and hinges in the guide as long as they are at rest. */
function addHeld(arm: ArmModel, work: RodWork, free: Float64Array, sign: number): void {
  let held = 0;
  for (let j = 0; j < arm.sections; j++) {
    for (let i = arm.firstSpan[j] as number; i < (arm.firstSpan[j + 1] as number); i++) {
      const flexible = arm.flexible[i] as number;
      const hidden = i < work.firstFree ? flexible : flexible - (work.flexible[i] as number);
      held += (arm.lead[i] as number) + (arm.tail[i] as number) + hidden * (1 + (arm.rest[4 * i + 3] as number));
    }
    for (let c = arm.firstCable[j] as number; c < (arm.firstCable[j + 1] as number); c++) free[c] = (free[c] as number) + sign * held;
  }
}
