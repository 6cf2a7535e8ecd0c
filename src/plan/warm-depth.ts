/** What the ends of the temperatures do to cables, rods and tip at one depth of the way in, with the drives locked as planned. */
import { type ArmModel, heatArm, linearStrainAt, type Section } from "../arm/index.ts";
import { assert } from "../base/index.ts";
import {
  type DepthRecord,
  type InsertionModel,
  type InsertionState,
  type InsertionWork,
  loadWithWalls,
  solveAt,
  solved,
  stanceAt,
} from "../insertion/index.ts";
import { pointOf } from "../math/index.ts";
import {
  copyRodState,
  createInspection,
  createRodState,
  type Inspection,
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
 * Adds one depth to `state.warm`. Its shape is solved again, without friction, from the bends that the plan keeps, leaning where the plan's
 * leans; what warmth changes is put on top of what the plan found there, the pull of a cable in proportion to what friction adds to it.
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
  const rod = createRodState(arm);
  let report = solveAt(model, record.depth, record.roll, record.bend, rod, work);
  const load = record.contact?.state === "held" ? loadWithWalls(model, work) : model.load;
  if (solved(report) && load !== model.load) report = solveAt({ ...model, load }, record.depth, record.roll, record.bend, rod, work);
  if (!solved(report)) {
    state.warm = { ...fact, lost: fact.lost + 1 };
    return;
  }
  const planned = look(arm, rod, work);
  const free = new Float64Array(arm.cables);
  const cold = new Float64Array(arm.cables);
  readFreeLengths(arm, rod, work.rod, cold);
  for (const at of ends) {
    const warm = heatArm(arm, at.arm);
    const after = copyRodState(rod);
    free.set(cold);
    const stance = stanceAt(model, record.depth, record.roll, work);
    const warmed = solveWarm(arm, warm, at, load, stance, rod.tension, free, after, work.rod);
    fact = solved(warmed) ? worseOf(warm, fact, record, planned, look(warm, after, work), at) : { ...fact, lost: fact.lost + 1 };
  }
  state.warm = fact;
}

interface Look {
  readonly tension: Float64Array;
  readonly seen: Inspection;
  /** [3] tool point, m, world */
  readonly tool: Float64Array;
}

/** @param work the solved shape stands in it */
function look(arm: ArmModel, state: RodState, work: InsertionWork): Look {
  const seen = createInspection(arm);
  inspectShape(arm, state, work.rod, seen);
  const tool = new Float64Array(3);
  pointOf(work.rod.frame, arm.spans, 0, 0, arm.description.tool.length, tool);
  return { tension: state.tension.slice(), seen, tool };
}

function worseOf(arm: ArmModel, fact: WarmFact, record: DepthRecord, planned: Look, warm: Look, at: Warming): WarmFact {
  const { depth } = record;
  let { cable, strain, line, shift } = fact;
  for (let c = 0; c < arm.cables; c++) {
    const before = planned.tension[c] as number;
    const now = warm.tension[c] as number;
    const told = record.rub?.most[c] ?? (record.tension[c] as number);
    const tension = before > 0 ? (told * now) / before : told + now;
    const use = tension / (arm.workingLoad[c] as number);
    if (use > cable.use) cable = { use, tension, cable: c, depth, at };
  }
  for (let i = 0; i < arm.spans; i++) {
    const { rods } = arm.description.sections[arm.sectionOfSpan[i] as number] as Section;
    const here = (record.strain[i] as number) + (warm.seen.strain[i] as number) - (planned.seen.strain[i] as number);
    const stress = (record.stress[i] as number) + (warm.seen.stress[i] as number) - (planned.seen.stress[i] as number);
    const use = here / Math.min(...rods.map((rod) => rod.material.allowedStrain));
    if (use > strain.use) strain = { use, strain: here, stress, span: i, depth, at };
    const limit = Math.min(...rods.map((rod) => linearStrainAt(rod.material, at.arm)));
    const past = limit > 0 ? here / limit : Number.POSITIVE_INFINITY;
    if (past > line.use) line = { use: past, strain: here, limit, span: i, depth, at };
  }
  const size = Math.sqrt(warm.tool.reduce((sum, value, r) => sum + (value - (planned.tool[r] as number)) ** 2, 0));
  if (size > shift.size) shift = { size, depth, at };
  return { cable, strain, line, shift, lost: fact.lost };
}
