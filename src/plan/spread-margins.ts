/**
 * How far each margin may be off for what is not surely known of the arm. At the depth of each margin the drives have drawn what the plan says;
 * an arm one standard deviation stiffer or softer takes another shape under the same draws, and its margin is read off that. What was found up and down
 * gives a slope; slopes are summed with the correlations that the fit left.
 */
import { type ArmModel, createArm } from "../arm/index.ts";
import { assert } from "../base/index.ts";
import { type DepthRecord, type InsertionModel, type InsertionWork, loadWithWalls, solveAt, solved, stanceAt } from "../insertion/index.ts";
import { pointOf } from "../math/index.ts";
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
import { type MarginRow, poseOf, type Verdict } from "../verdict/index.ts";
import { correlationOf, listUnsure, shiftArm, type Unsure } from "./list-unsure.ts";
import type { PlanModel, PlanState } from "./model.ts";
import { useOf } from "./use-at.ts";

/** Rows that depend on the arm's elasticity and can be read off one shape, or one roll of it. */
const spreadRows = ["clearance", "touch", "joint", "strain", "cable-load", "twist", "sag", "slack", "pose"];

/** One value of one depth a step; as many as if every margin were worst at a depth of its own. */
export function spreadSteps(model: PlanModel): number {
  return listUnsure(model.job).length * spreadRows.length;
}

/** Adds to `state.effects` what one unsure value does to the margins of one depth. */
export function spreadMargins(model: PlanModel, inner: InsertionModel, state: PlanState, step: number, work: InsertionWork): void {
  const { verdict, insertion } = state;
  assert(verdict !== undefined && insertion !== undefined, "margins are spread once they are judged");
  const unsure = listUnsure(model.job);
  const shapes = shapesOf(verdict);
  if (step >= unsure.length * shapes.length) return;
  const k = step % unsure.length;
  const rows = shapes[Math.floor(step / unsure.length)] as readonly MarginRow[];
  const { way, depth } = (rows[0] as MarginRow).where;
  const record = (way === "out" ? insertion.wayOut : insertion.wayIn).find((r) => r.depth === depth);
  if (record === undefined) return;
  const up = foundAfter(model, inner, record, rows, unsure[k] as Unsure, 1, state, work);
  const down = foundAfter(model, inner, record, rows, unsure[k] as Unsure, -1, state, work);
  rows.forEach((row, r) => {
    const effects = state.effects[row.id] ?? unsure.map(() => 0);
    const between = up.by - down.by;
    effects[k] = between > 0 ? ((up.found[r] as number) - (down.found[r] as number)) / between : 0;
    state.effects[row.id] = effects;
  });
}

/** By row id, one standard deviation; undefined when nothing says how well the arm is known. */
export function gatherSpreads(model: PlanModel, state: PlanState): Record<string, number> | undefined {
  const unsure = listUnsure(model.job);
  if (unsure.length === 0) return undefined;
  return Object.fromEntries(
    Object.entries(state.effects).map(([id, effects]) => {
      let sum = 0;
      unsure.forEach((one, a) => {
        unsure.forEach((two, b) => {
          sum += (effects[a] as number) * (effects[b] as number) * correlationOf(model.job.arm, one, two);
        });
      });
      return [id, Math.sqrt(Math.max(0, sum))];
    }),
  );
}

/** Rows gathered by way and depth. */
function shapesOf(verdict: Verdict): (readonly MarginRow[])[] {
  const shapes = new Map<string, MarginRow[]>();
  for (const row of verdict.rows) {
    if (!spreadRows.includes(row.id) || row.where.depth === undefined || !Number.isFinite(row.use)) continue;
    const key = `${row.where.way ?? "in"} ${row.where.depth}`;
    shapes.set(key, [...(shapes.get(key) ?? []), row]);
  }
  return [...shapes.values()];
}

/** What each row finds for the shifted arm under the plan's draws; NaN where no balance was found. */
function foundAfter(
  model: PlanModel,
  inner: InsertionModel,
  record: DepthRecord,
  rows: readonly MarginRow[],
  unsure: Unsure,
  way: 1 | -1,
  state: PlanState,
  work: InsertionWork,
): { readonly found: readonly number[]; readonly by: number } {
  const { arm: description, by } = shiftArm(model.job.arm, unsure, way);
  const arm = createArm(description);
  const lost = { found: rows.map(() => Number.NaN), by };
  const planned = createRodState(inner.arm);
  if (!solved(solveAt(inner, record.depth, record.roll, record.bend, planned, work))) return lost;
  const load = record.contact?.state === "held" ? loadWithWalls(inner, work) : inner.load;
  if (load !== inner.load && !solved(solveAt({ ...inner, load }, record.depth, record.roll, record.bend, planned, work))) return lost;
  const free = new Float64Array(arm.cables);
  readFreeLengths(inner.arm, planned, work.rod, free);
  const stance = stanceAt(inner, record.depth, record.roll, work);
  const from = zeroLengths(inner.arm, stance, work);
  const to = zeroLengths(arm, stance, work);
  if (from === undefined || to === undefined) return lost;
  for (let c = 0; c < arm.cables; c++) free[c] = (free[c] as number) + (to[c] as number) - (from[c] as number);
  const shape = copyRodState(planned);
  if (!solved(solveLocked(arm, load, stance, free, shape, work.rod))) return lost;
  const changed: InsertionModel = { ...inner, arm, load };
  return { found: rows.map((row) => foundOf(changed, record, row, shape, free, state, work)), by };
}

/** [cable] free lengths of the straight, unloaded arm with every cable at its pretension: where drives count their draws from. */
function zeroLengths(arm: ArmModel, stance: Stance, work: InsertionWork): Float64Array | undefined {
  const state = createRodState(arm);
  const bare: Load = { gravity: [0, 0, 0], forces: [], toolShare: 0 };
  if (!solved(solveHeld(arm, bare, stance, new Float64Array(2 * arm.sections), state, work.rod))) return undefined;
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work.rod, free);
  return free;
}

/** What a row says is found, of the shape in `work`: in the row's unit. */
function foundOf(
  model: InsertionModel,
  record: DepthRecord,
  row: MarginRow,
  shape: RodState,
  free: Float64Array,
  state: PlanState,
  work: InsertionWork,
): number {
  const { arm } = model;
  // each reading leaves the solver's memory as it found it only when the shape is solved there again
  const again = copyRodState(shape);
  const stance = stanceAt(model, record.depth, record.roll, work);
  if (!solved(solveLocked(arm, model.load, stance, free, again, work.rod))) return Number.NaN;
  if (row.id === "slack") {
    const slack = state.slack;
    const cable = row.where.cable;
    if (slack === undefined || cable === undefined) return Number.NaN;
    const rolled = stanceAt(model, record.depth, record.roll + slack.roll, work);
    if (!solved(solveLocked(arm, model.load, rolled, free, again, work.rod))) return Number.NaN;
    return (arm.pretension[cable] as number) - (again.tension[cable] as number);
  }
  if (row.id === "pose") {
    const tool = new Float64Array(3);
    pointOf(work.rod.frame, arm.spans, 0, 0, arm.description.tool.length, tool);
    return poseOf(arm, model.target, work.rod.frame, tool, record.loose, record.rub).demand;
  }
  const use = useOf(model, record, row, again, work);
  if (use === undefined) return Number.NaN;
  return row.id === "clearance" || row.id === "touch" ? row.demand / use : use * row.limit;
}
