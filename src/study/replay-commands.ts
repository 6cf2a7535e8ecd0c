/**
 * A plan's commands: what its drives have let out at every depth, both ways, and how far each hole's friction was mobilised there. Records do not
 * keep that; it is found again by walking the plan's depths, rolls and bends once more.
 */
import type { ArmModel } from "../arm/index.ts";
import { assert } from "../base/index.ts";
import {
  atDepth,
  type DepthRecord,
  type InsertionModel,
  type InsertionWork,
  loadWithWalls,
  rubs,
  slideHere,
  solveAt,
  solved,
  stanceAt,
} from "../insertion/index.ts";
import type { PlanResult } from "../plan/index.ts";
import {
  copyRodState,
  createRodState,
  type Load,
  type RodState,
  type RodWork,
  readFreeLengths,
  type Stance,
  solveHeld,
} from "../rod/index.ts";

/** At one depth. Plain data. */
export interface Command {
  /** [cable] free length over the free spans, m */
  readonly free: Float64Array;
  /** [cable] the same of the straight, unloaded arm with its slackest cables at their pretension: drives count from there, m */
  readonly zero: Float64Array;
  /** the planned arm as it stands there */
  readonly rod: RodState;
  /** it leans on what may be touched */
  readonly leans: boolean;
}

export interface Replay {
  /** the order of the walk: way in, then way out */
  readonly commands: (Command | undefined)[];
  /** greatest distance of a vertebra from where the plan's record has it, m: what was not found again exactly */
  apart: number;
  rod: RodState;
}

export function createReplay(arm: ArmModel): Replay {
  return { commands: [], apart: 0, rod: createRodState(arm) };
}

/** Records of a plan in the order of its walk. */
export function walkOf(
  result: Pick<PlanResult, "wayIn" | "wayOut">,
): readonly { readonly record: DepthRecord; readonly way: "in" | "out" }[] {
  const on = (way: "in" | "out", records: readonly DepthRecord[]) => records.map((record) => ({ record, way }));
  return [...on("in", result.wayIn), ...on("out", result.wayOut)];
}

export function isReplayDone(replay: Replay, result: PlanResult): boolean {
  return replay.commands.length === result.wayIn.length + result.wayOut.length;
}

/** One depth. Where it finds no balance, there is no command. */
export function stepReplay(whole: InsertionModel, result: PlanResult, replay: Replay, work: InsertionWork): void {
  const k = replay.commands.length;
  const at = walkOf(result)[k];
  assert(at !== undefined, "there is a depth to replay");
  const { record, way } = at;
  const model = atDepth(whole, record.depth, record.roll);
  const { rod } = replay;
  let report = solveAt(model, record.depth, record.roll, record.bend, rod, work);
  // at its deepest the arm turns about: nothing has slid back yet
  const turned = way === "out" && k === result.wayIn.length;
  if (solved(report) && rubs(model) && !turned) report = slideHere(model, record.depth, record.roll, record.bend, rod, work);
  const leans = record.contact?.state === "held";
  const own = leans ? copyRodState(rod) : rod;
  if (leans && solved(report)) {
    const load = loadWithWalls(model, work, way);
    report = solveHeld(model.arm, load, stanceAt(model, record.depth, record.roll, work), record.bend, own, work.rod);
  }
  const stance = stanceAt(model, record.depth, record.roll, work);
  if (!solved(report)) {
    replay.commands.push(undefined);
    return;
  }
  const free = new Float64Array(model.arm.cables);
  readFreeLengths(model.arm, own, work.rod, free);
  replay.apart = Math.max(replay.apart, apartOf(record, work.rod.frame));
  const zero = zeroLengths(model.arm, stance, work.rod);
  replay.commands.push(zero === undefined ? undefined : { free, zero, rod: copyRodState(own), leans });
}

function apartOf({ frames, firstFree }: DepthRecord, frame: Float64Array): number {
  let most = 0;
  for (let v = firstFree; v < frames.length / 12; v++) {
    let d2 = 0;
    for (let r = 9; r < 12; r++) d2 += ((frames[12 * v + r] as number) - (frame[12 * v + r] as number)) ** 2;
    most = Math.max(most, d2);
  }
  return Math.sqrt(most);
}

/** Nothing weighs and nothing pulls. */
const bare: Load = { gravity: [0, 0, 0], forces: [], toolShare: 0 };

/** [cable] free lengths of the straight, unloaded arm; undefined where it has no balance. */
export function zeroLengths(arm: ArmModel, stance: Stance, work: RodWork): Float64Array | undefined {
  const state = createRodState(arm);
  if (!solved(solveHeld(arm, bare, stance, new Float64Array(2 * arm.sections), state, work))) return undefined;
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work, free);
  return free;
}
