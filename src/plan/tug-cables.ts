/** How far the tool point goes for a little of each cable drawn in, at the target, all other drives locked. */
import type { ArmDescription } from "../arm/index.ts";
import { assert } from "../base/index.ts";
import {
  atDepth,
  type InsertionModel,
  type InsertionState,
  type InsertionWork,
  loadWithWalls,
  solveAt,
  solved,
  stanceAt,
} from "../insertion/index.ts";
import { pointOf } from "../math/index.ts";
import { copyRodState, readFreeLengths, solveLocked } from "../rod/index.ts";
import type { PlanState } from "./model.ts";

/** m: a small motion, yet far from rounding */
const tug = 0.05e-3;

/** Only where the arm tells how coarsely its drives are set, or how loose they are. */
export function isTugged({ drives }: ArmDescription): boolean {
  return drives?.motor?.counts !== undefined || (drives?.gear?.backlash ?? 0) > 0;
}

/** One cable a step: adds to `state.tug` [cable] the way of the tool point a metre drawn in, 1; NaN where no balance was found. */
export function tugCable(whole: InsertionModel, insertion: InsertionState, state: PlanState, work: InsertionWork): void {
  const record = insertion.wayIn[insertion.wayIn.length - 1];
  assert(record !== undefined && insertion.deepest !== undefined, "there is a depth to draw at");
  state.tug ??= [];
  const model = atDepth(whole, record.depth, record.roll);
  const { arm } = model;
  const planned = copyRodState(insertion.deepest);
  const load = record.contact === undefined ? model.load : loadWithWalls(model, work);
  const held = solveAt({ ...model, load }, record.depth, record.roll, record.bend, planned, work);
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, planned, work.rod, free);
  const before = toolOf(model, work);
  const c = state.tug.length;
  free[c] = (free[c] as number) - tug;
  const drawn = copyRodState(planned);
  const report = solveLocked(arm, load, stanceAt(model, record.depth, record.roll, work), free, drawn, work.rod);
  const after = toolOf(model, work);
  const way = Math.sqrt(before.reduce((sum, value, r) => sum + ((after[r] as number) - value) ** 2, 0));
  state.tug.push(solved(held) && solved(report) ? way / tug : Number.NaN);
}

function toolOf({ arm }: InsertionModel, work: InsertionWork): Float64Array {
  const tool = new Float64Array(3);
  pointOf(work.rod.frame, arm.spans, 0, 0, arm.description.tool.length, tool);
  return tool;
}
