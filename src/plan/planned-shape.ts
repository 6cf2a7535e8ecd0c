/** The plan's shape at one depth, solved again with what its cables rub by on the way there; and the same for an arm that is a little other, its drives drawing what the plan says. */
import type { ArmModel } from "../arm/index.ts";
import {
  atDepth,
  type DepthRecord,
  type InsertionModel,
  type InsertionState,
  type InsertionWork,
  loadWithWalls,
  rubs,
  slideHere,
  solveAt,
  solved,
  stanceAt,
} from "../insertion/index.ts";
import {
  copyRodState,
  createRodState,
  type Load,
  type RodState,
  readFreeLengths,
  type Stance,
  solveHeld,
  solveLocked,
} from "../rod/index.ts";

export interface Shape {
  readonly rod: RodState;
  /** with the walls it leans on, where it does */
  readonly load: Load;
  /** [cable] free lengths of its drives, m */
  readonly free: Float64Array;
}

/** Depths before that are gone through: what a cable slid earlier than that it has slid over again, all but a hundredth. */
const history = 4;

/**
 * Every cable grips as the way from some depths before slid it (on the way out: from some depths beyond); what is older is forgotten.
 *
 * @returns undefined when no balance was found; its shape stands in `work.rod`
 */
export function plannedShape(
  whole: InsertionModel,
  insertion: InsertionState,
  way: "in" | "out",
  record: DepthRecord,
  work: InsertionWork,
): Shape | undefined {
  const inner = atDepth(whole, record.depth, record.roll);
  const { arm } = inner;
  const deepest = insertion.wayIn[insertion.wayIn.length - 1];
  const atEnd = record.depth === deepest?.depth && insertion.deepest !== undefined;
  const records = way === "in" ? insertion.wayIn : insertion.wayOut;
  const index = records.findIndex((one) => one.depth === record.depth);
  const first = Math.max(0, index - history);
  const fromEnd = atEnd || (way === "out" && first === 0);
  const rod = fromEnd && insertion.deepest !== undefined ? copyRodState(insertion.deepest) : createRodState(arm);
  if (rubs(inner) && !atEnd) {
    for (const one of records.slice(first, index + 1))
      if (!solved(slideHere(atDepth(whole, one.depth, one.roll), one.depth, one.roll, one.bend, rod, work))) return undefined;
  }
  if (!solved(solveAt(inner, record.depth, record.roll, record.bend, rod, work))) return undefined;
  const load = record.contact?.state === "held" ? loadWithWalls(inner, work, way) : inner.load;
  if (load !== inner.load && !solved(solveAt({ ...inner, load }, record.depth, record.roll, record.bend, rod, work))) return undefined;
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, rod, work.rod, free);
  return { rod, load, free };
}

/**
 * The other arm under the same draws: drives count them from the straight, unloaded arm with every cable at its pretension.
 *
 * @param inner at the depth
 * @returns undefined when no balance was found; its shape stands in `work.rod`
 */
export function shapeAfter(
  inner: InsertionModel,
  planned: Shape,
  record: DepthRecord,
  arm: ArmModel,
  work: InsertionWork,
): Shape | undefined {
  const stance = stanceAt(inner, record.depth, record.roll, work);
  const from = zeroLengths(inner.arm, stance, work);
  const to = zeroLengths(arm, stance, work);
  if (from === undefined || to === undefined) return undefined;
  const free = planned.free.map((length, c) => length + (to[c] as number) - (from[c] as number));
  const rod = copyRodState(planned.rod);
  if (!solved(solveLocked(arm, planned.load, stance, free, rod, work.rod))) return undefined;
  return { rod, load: planned.load, free };
}

/** [cable] free lengths of the straight, unloaded arm. */
function zeroLengths(arm: ArmModel, stance: Stance, work: InsertionWork): Float64Array | undefined {
  const state = createRodState(arm);
  const bare: Load = { gravity: [0, 0, 0], forces: [], toolShare: 0 };
  if (!solved(solveHeld(arm, bare, stance, new Float64Array(2 * arm.sections), state, work.rod))) return undefined;
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work.rod, free);
  return free;
}
