/**
 * The length between carriage and guide as a column: by Euler's formula, and by the arm itself.
 *
 * The cables' own pull does not buckle it as a load from outside would: they run through the vertebrae, so their force bends with the arm
 * and is carried round within it. What it does to the joints, which it presses together, the solved column tells.
 */
import { type ArmDescription, type ArmModel, createArm, pairOf, type Section } from "../arm/index.ts";
import { InputError } from "../base/index.ts";
import { createRodState, createRodWork, solveTensions } from "../rod/index.ts";
import type { Column, Outside } from "./model.ts";

/** Effective length over length: both hinged, one clamped, both clamped (Euler; Timoshenko & Gere). @see docs/sources.md#room-outside */
const effective = { hinged: 1, mixed: Math.PI / 4.493409457909064, clamped: 0.5 } as const;

/** @param length between the grips, m, > 0 */
export function columnOf(arm: ArmModel, outside: Outside, length: number): Omit<Column, "solved"> {
  const { carriageHolds, guideHolds } = outside;
  const factor = effective[carriageHolds === guideHolds ? carriageHolds : "mixed"];
  const { stiffness, section } = softest(arm);
  return { length, factor, stiffness, euler: (Math.PI ** 2 * stiffness) / (factor * length) ** 2, tension: passingTension(arm, section) };
}

/**
 * Bending stiffness of a length of arm, vertebrae taken as stiff: its pitch over what its joint gives a moment, two neighbours together
 * because they may bend about axes that are square to each other.
 */
function softest(arm: ArmModel): { stiffness: number; section: number } {
  let best = { stiffness: Number.POSITIVE_INFINITY, section: 0 };
  for (let i = 0; i < arm.spans; i++) {
    const section = arm.sectionOfSpan[i] as number;
    const pair = pairOf(arm, i);
    const give = (span: number, axis: 0 | 1): number => {
      const at = (row: number, column: number): number => arm.stiffness[16 * span + 4 * row + column] as number;
      // the joint's length is free
      const bending = at(axis, axis) - (at(3, 3) > 0 ? at(axis, 3) ** 2 / at(3, 3) : 0);
      return (arm.flexible[span] as number) / bending;
    };
    const pitch = (span: number): number => (arm.along[span + 1] as number) - (arm.along[span] as number);
    for (const axis of [0, 1] as const) {
      const stiffness = (pitch(i) + pitch(pair)) / (give(i, axis) + give(pair, axis));
      if (stiffness < best.stiffness) best = { stiffness, section };
    }
  }
  return best;
}

/** All cables of a section and of those beyond it pass there, at their pretension. */
function passingTension(arm: ArmModel, section: number): number {
  let sum = 0;
  for (let c = arm.firstCable[section] as number; c < arm.cables; c++) sum += arm.pretension[c] as number;
  return sum;
}

/** Steps of the search for the load, each halving what is left. */
const halvings = 24;

/**
 * The load at which the straight arm falls over, found on a part of it that is clamped at its base and as long as the column's quarter wave:
 * the softest section, all passing cables in it.
 *
 * @returns N; NaN where such an arm cannot be made, or is too short to be told from one joint
 */
export function solveColumn(arm: ArmModel, column: Omit<Column, "solved">): number {
  const { section: k } = softest(arm);
  const { description } = arm;
  const section = description.sections[k] as Section;
  const quarter = (column.factor * column.length) / 2;
  const spans = Math.round(quarter / section.pitch);
  if (spans < 4) return Number.NaN;
  const passing = description.sections.slice(k);
  const angles = passing.flatMap((other) => other.cableAngles);
  const cut: ArmDescription = {
    name: "column",
    sections: [
      { ...section, spans, cableAngles: angles, pretension: angles.length === 0 ? 0 : column.tension / angles.length, rest: [0, 0, 0] },
    ],
    tool: { name: "none", mass: 0, centre: [0, 0, 0], diameter: 0, length: 0 },
    conduitLength: 0,
    cableDesignFactor: description.cableDesignFactor,
    terminationFactor: description.terminationFactor,
  };
  const model = tryArm(cut);
  if (model === undefined) return Number.NaN;
  const work = createRodWork(model);
  const falls = (push: number): boolean => {
    const state = createRodState(model);
    state.tension.set(model.pretension);
    const load = { gravity: [0, 0, 0] as const, forces: [{ vertebra: spans, force: [0, 0, -push] as const, at: [0, 0, 0] as const }] };
    const base = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0);
    return solveTensions(model, load, { base, exit: 0 }, state, work, { escape: false }).status !== "stable";
  };
  let [low, high] = [0, 4 * column.euler];
  if (falls(0)) return 0;
  if (!falls(high)) return Number.NaN;
  for (let turn = 0; turn < halvings; turn++) {
    const middle = 0.5 * (low + high);
    if (falls(middle)) high = middle;
    else low = middle;
  }
  // the part is a whole number of spans long
  return low * ((spans * section.pitch) / quarter) ** 2;
}

function tryArm(description: ArmDescription): ArmModel | undefined {
  try {
    return createArm(description);
  } catch (error) {
    if (error instanceof InputError) return undefined;
    throw error;
  }
}
