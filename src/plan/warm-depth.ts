/** What the ends of the temperatures do to cables, rods and tip at one depth of the way in, with the drives locked as planned. */
import { heatArm, linearStrainAt, type Section } from "../arm/index.ts";
import { assert } from "../base/index.ts";
import {
  type DepthRecord,
  type InsertionModel,
  type InsertionState,
  type InsertionWork,
  solveAt,
  solved,
  stanceAt,
} from "../insertion/index.ts";
import { pointOf } from "../math/index.ts";
import {
  copyRodState,
  createInspection,
  createRodState,
  inspectShape,
  type RodState,
  readFreeLengths,
  solveWarm,
  type Warming,
} from "../rod/index.ts";
import type { WarmFact } from "../verdict/index.ts";
import type { PlanState } from "./model.ts";

/** Worst so far: of nothing. */
function nothing(at: Warming): WarmFact {
  return {
    cable: { use: 0, tension: 0, cable: 0, depth: 0, at },
    strain: { use: 0, strain: 0, stress: 0, span: 0, depth: 0, at },
    line: { use: 0, strain: 0, limit: Number.POSITIVE_INFINITY, span: 0, depth: 0, at },
    shift: { size: 0, depth: 0, at },
    lost: 0,
  };
}

/**
 * Adds one depth to `state.warm`. Its shape is solved again from the tensions and bends that the plan keeps; the state of the
 * deepest one is the start.
 *
 * @param index of the depth on the way in
 * @param ends one or more
 */
export function warmDepth(
  model: InsertionModel,
  insertion: InsertionState,
  index: number,
  ends: readonly Warming[],
  state: PlanState,
  work: InsertionWork,
): void {
  const record = insertion.wayIn[index];
  assert(record !== undefined && ends.length > 0, "there is a depth to warm, and a temperature");
  const { arm } = model;
  let fact = state.warm ?? nothing(ends[0] as Warming);
  const planned = createRodState(arm);
  if (!solved(solveAt(model, record.depth, record.roll, record.bend, planned, work))) {
    state.warm = { ...fact, lost: fact.lost + 1 };
    return;
  }
  const free = new Float64Array(arm.cables);
  const cold = new Float64Array(arm.cables);
  readFreeLengths(arm, planned, work.rod, cold);
  for (const at of ends) {
    const warm = heatArm(arm, at.arm);
    const after = copyRodState(planned);
    free.set(cold);
    const stance = stanceAt(model, record.depth, record.roll, work);
    const report = solveWarm(arm, warm, at, model.load, stance, planned.tension, free, after, work.rod);
    fact = solved(report) ? worseOf({ ...model, arm: warm }, fact, record, after, at, work) : { ...fact, lost: fact.lost + 1 };
  }
  state.warm = fact;
}

function worseOf(
  { arm }: InsertionModel,
  fact: WarmFact,
  record: DepthRecord,
  state: RodState,
  at: Warming,
  work: InsertionWork,
): WarmFact {
  const { depth } = record;
  const seen = createInspection(arm);
  inspectShape(arm, state, work.rod, seen);
  let { cable, strain, line, shift } = fact;
  for (let c = 0; c < arm.cables; c++) {
    const tension = state.tension[c] as number;
    const use = tension / (arm.workingLoad[c] as number);
    if (use > cable.use) cable = { use, tension, cable: c, depth, at };
  }
  for (let i = 0; i < arm.spans; i++) {
    const { rods } = arm.description.sections[arm.sectionOfSpan[i] as number] as Section;
    const here = seen.strain[i] as number;
    const use = here / Math.min(...rods.map((rod) => rod.material.allowedStrain));
    if (use > strain.use) strain = { use, strain: here, stress: seen.stress[i] as number, span: i, depth, at };
    const limit = Math.min(...rods.map((rod) => linearStrainAt(rod.material, at.arm)));
    const past = limit > 0 ? here / limit : Number.POSITIVE_INFINITY;
    if (past > line.use) line = { use: past, strain: here, limit, span: i, depth, at };
  }
  const tool = new Float64Array(3);
  pointOf(work.rod.frame, arm.spans, 0, 0, arm.description.tool.length, tool);
  const size = Math.sqrt(tool.reduce((sum, value, r) => sum + (value - (record.tool[r] as number)) ** 2, 0));
  if (size > shift.size) shift = { size, depth, at };
  return { cable, strain, line, shift, lost: fact.lost };
}
