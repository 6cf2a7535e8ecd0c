/**
 * How the arm is turned in its guide before it goes in. The shape that follows the route is the same for every roll of the base, but which cables
 * make it, and about which axis the hinges bend, is not.
 */
import { createInspection, createRodState, inspectShape } from "../rod/index.ts";
import { atDepth } from "./launch.ts";
import type { DepthRecord, InsertionModel, InsertionState } from "./model.ts";
import { solveAt, solved } from "./solve-at.ts";
import type { InsertionWork } from "./work.ts";

/** rad; turns tried */
const step = Math.PI / 12;
export const rollTries = 23;

/** Nothing is changed where the hardest used part has this much to spare, and for less than this share of its use. */
const tight = 0.75;
const worthwhile = 0.9;

/** Greatest share of what cables, joints and rods may bear at a record, by the plan's own figures. */
interface Uses {
  readonly cable: number;
  readonly joint: number;
  readonly strain: number;
}

function usesOf(model: InsertionModel, tension: Float64Array, joint: Float64Array, strain: Float64Array, from: number): Uses {
  const { arm } = model;
  const uses = { cable: 0, joint: 0, strain: 0 };
  for (let c = 0; c < arm.cables; c++) uses.cable = Math.max(uses.cable, (tension[c] as number) / (arm.workingLoad[c] as number));
  for (let i = from; i < arm.spans; i++) {
    const section = arm.description.sections[arm.sectionOfSpan[i] as number];
    if (section === undefined) continue;
    uses.joint = Math.max(uses.joint, (joint[i] as number) / section.jointLimit);
    const allowed = Math.min(...section.rods.map((rod) => rod.material.allowedStrain));
    uses.strain = Math.max(uses.strain, (strain[i] as number) / allowed);
  }
  return uses;
}

/** Greatest share of what cables, joints and rods bear over a whole way in, 1. */
export function hardestUse(model: InsertionModel, records: readonly DepthRecord[]): number {
  return records.reduce((most, record) => Math.max(most, worstOf(recordUses(model, record))), 0);
}

function recordUses(model: InsertionModel, record: DepthRecord): Uses {
  return usesOf(model, record.tension, record.jointAngle, record.strain, record.firstFree);
}

/** The two records each at which cables, joints and rods are used hardest. */
function hardestRecords(model: InsertionModel, records: readonly DepthRecord[]): DepthRecord[] {
  const uses = records.map((record, k) => ({ ...recordUses(model, record), k }));
  const two = (of: "cable" | "joint" | "strain"): number[] =>
    [...uses]
      .sort((a, b) => b[of] - a[of])
      .slice(0, 2)
      .map((one) => one.k);
  return [...new Set([...two("cable"), ...two("joint"), ...two("strain")])].map((k) => records[k] as DepthRecord);
}

function worstOf({ cable, joint, strain }: Uses): number {
  return Math.max(cable, joint, strain);
}

/** Whether any other roll is looked for at all: where parts are used hard, and nothing fixes the roll. */
export function mayTurn(model: InsertionModel, state: InsertionState): boolean {
  if (state.turned !== undefined || state.wayIn.some((record) => record.contact !== undefined)) return false;
  return hardestUse(model, state.wayIn) > tight;
}

/**
 * One roll tried: the planned shapes at the hardest depths, held by the cables of the arm rolled on by `step * (index + 1)`.
 *
 * @returns the greatest share there, 1; Infinity where one is not found or the roll is more than the job allows
 */
export function tryRoll(whole: InsertionModel, state: InsertionState, index: number, work: InsertionWork): number {
  const angle = rollOf(index);
  const limit = whole.roll?.mostTurns;
  let worst = 0;
  for (const record of hardestRecords(whole, state.wayIn)) {
    const roll = record.roll + angle;
    if (limit !== undefined && Math.abs(roll) > 2 * Math.PI * limit) return Number.POSITIVE_INFINITY;
    const model = atDepth(whole, record.depth, roll);
    const rod = createRodState(model.arm);
    const report = solveAt(model, record.depth, roll, turnBack(record.bend, angle), rod, work);
    if (!solved(report)) return Number.POSITIVE_INFINITY;
    const seen = createInspection(model.arm);
    inspectShape(model.arm, rod, work.rod, seen);
    worst = Math.max(worst, worstOf(usesOf(model, rod.tension, seen.jointAngle, seen.strain, work.rod.firstFree)));
  }
  return worst;
}

/** The turn of a try, rad, the shorter way about. */
function rollOf(index: number): number {
  const angle = step * (index + 1);
  return angle > Math.PI ? angle - 2 * Math.PI : angle;
}

/** The same bends as told about the axes of an arm that is rolled on. */
function turnBack(bend: Float64Array, angle: number): Float64Array {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const turned = new Float64Array(bend.length);
  for (let k = 0; k < bend.length; k += 2) {
    turned[k] = c * (bend[k] as number) + s * (bend[k + 1] as number);
    turned[k + 1] = c * (bend[k + 1] as number) - s * (bend[k] as number);
  }
  return turned;
}

/** Which roll the tries, the first of them as the arm lies, make worth a second way in, rad; undefined where it stays as it is. */
export function chooseRoll(tries: readonly number[]): number | undefined {
  const [own = Number.POSITIVE_INFINITY, ...others] = tries;
  let best = -1;
  for (let k = 0; k < others.length; k++) {
    if (best < 0 || (others[k] as number) < (others[best] as number) - 1e-9) best = k;
  }
  const found = others[best];
  if (found === undefined || !(found < worthwhile * own)) return undefined;
  return rollOf(best);
}

/** Whether a second way in is kept: its hardest use must really be less than that of the first. */
export function isBetter(from: number, to: number): boolean {
  return to < worthwhile * from;
}

/** The try of the roll as it is. */
export function tryOwn(model: InsertionModel, state: InsertionState, work: InsertionWork): number {
  return tryRoll(model, state, -1, work);
}
