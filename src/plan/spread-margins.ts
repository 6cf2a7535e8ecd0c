/**
 * How far each margin may be off for what is not surely known of the arm. At the depth of each margin the drives have drawn what the plan says;
 * an arm one standard deviation stiffer or softer, rougher or looser takes another shape under the same draws, and its margin is read off that. What
 * was found up and down gives a slope; slopes are summed with the correlations that the fit left. Friction and play move their ranges along: a
 * margin still takes the worst of the range.
 */
import { createArm } from "../arm/index.ts";
import { assert } from "../base/index.ts";
import { atDepth, type DepthRecord, type InsertionModel, type InsertionWork, rubs } from "../insertion/index.ts";
import type { MarginRow, Verdict } from "../verdict/index.ts";
import { correlationOf, listUnsure, shiftArm, type Unsure } from "./list-unsure.ts";
import type { PlanModel, PlanState } from "./model.ts";
import { plannedShape, type Shape, shapeAfter } from "./planned-shape.ts";
import { isShapeRow, readFound, shapeRows } from "./read-found.ts";

/** One value of one depth a step; as many as if every margin were worst at a depth of its own. */
export function spreadSteps(model: PlanModel): number {
  return listUnsure(model.job).length * (shapeRows.length + 1);
}

/** Shapes of the plan solved again, by way and depth: each is needed once an unsure value and more. */
export type PlannedShapes = Map<string, Shape | undefined>;

/** What the shapes are solved in. */
interface SpreadWork {
  readonly insertion: InsertionWork;
  readonly planned: PlannedShapes;
}

/** Adds to `state.effects` what one unsure value does to the margins of one depth. */
export function spreadMargins(model: PlanModel, inner: InsertionModel, state: PlanState, step: number, work: SpreadWork): void {
  const { verdict, insertion } = state;
  assert(verdict !== undefined && insertion !== undefined, "margins are spread once they are judged");
  const unsure = listUnsure(model.job);
  const shapes = shapesOf(verdict);
  if (step >= unsure.length * shapes.length) return;
  const k = step % unsure.length;
  const rows = shapes[Math.floor(step / unsure.length)] as readonly MarginRow[];
  const up = foundAfter(model, inner, rows, unsure[k] as Unsure, 1, state, work);
  const down = foundAfter(model, inner, rows, unsure[k] as Unsure, -1, state, work);
  rows.forEach((row, r) => {
    putEffect(state, row.id, unsure.length, k, slopeOf(up.found[r] as number, up.by, down.found[r] as number, down.by));
  });
}

/** What one standard deviation does, from what was found `up` and `down` deviations off; 0 where neither could be gone. */
export function slopeOf(up: number, upBy: number, down: number, downBy: number): number {
  return upBy > downBy ? (up - down) / (upBy - downBy) : 0;
}

export function putEffect(state: PlanState, id: string, count: number, k: number, effect: number): void {
  const effects = state.effects[id] ?? Array.from({ length: count }, () => 0);
  effects[k] = effect;
  state.effects[id] = effects;
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

/** Rows gathered by way and depth; the way out, which compares two shapes, by itself. */
function shapesOf(verdict: Verdict): (readonly MarginRow[])[] {
  const shapes = new Map<string, MarginRow[]>();
  for (const row of verdict.rows) {
    if (!(isShapeRow(row.id) || row.id === "way-out") || row.where.depth === undefined || !Number.isFinite(row.use)) continue;
    const key = `${row.id === "way-out" ? "both" : (row.where.way ?? "in")} ${row.where.depth}`;
    shapes.set(key, [...(shapes.get(key) ?? []), row]);
  }
  return [...shapes.values()];
}

/** What each row finds for the shifted arm under the plan's draws; NaN where no balance was found. */
function foundAfter(
  model: PlanModel,
  inner: InsertionModel,
  rows: readonly MarginRow[],
  unsure: Unsure,
  way: 1 | -1,
  state: PlanState,
  work: SpreadWork,
): { readonly found: readonly number[]; readonly by: number } {
  const { arm: description, by } = shiftArm(model.job.arm, unsure, way);
  const changed: InsertionModel = { ...inner, arm: createArm(description) };
  const { where } = rows[0] as MarginRow;
  const on = where.way ?? "in";
  if ((rows[0] as MarginRow).id === "way-out") return { found: [gapAfter(inner, changed, where.depth as number, state, work)], by };
  const after = solvedAfter(inner, changed, on, where.depth as number, state, work);
  const found = rows.map((row) =>
    after === undefined ? Number.NaN : readFound(after.model, after.record, row, after.shape, model.space, state, work.insertion),
  );
  return { found, by };
}

function solvedAfter(inner: InsertionModel, changed: InsertionModel, way: "in" | "out", depth: number, state: PlanState, work: SpreadWork) {
  const { insertion } = state;
  const record = recordAt(state, way, depth);
  if (record === undefined || insertion === undefined) return undefined;
  const key = `${way} ${depth}`;
  if (!work.planned.has(key)) work.planned.set(key, plannedShape(inner, insertion, way, record, work.insertion));
  const planned = work.planned.get(key);
  const here = atDepth(inner, record.depth, record.roll);
  const there = atDepth(changed, record.depth, record.roll);
  const shape = planned === undefined ? undefined : shapeAfter(here, planned, record, there.arm, work.insertion);
  return shape === undefined ? undefined : { shape, record, model: { ...there, load: shape.load } };
}

function recordAt({ insertion }: PlanState, way: "in" | "out", depth: number): DepthRecord | undefined {
  return (way === "out" ? insertion?.wayOut : insertion?.wayIn)?.find((record) => record.depth === depth);
}

/** How far the shape on the way out is from that on the way in: greatest distance of a vertebra, m; without friction they are one. */
function gapAfter(inner: InsertionModel, changed: InsertionModel, depth: number, state: PlanState, work: SpreadWork): number {
  if (!rubs(inner)) return 0;
  const frames = (["in", "out"] as const).map((way) => {
    const after = solvedAfter(inner, changed, way, depth, state, work);
    return after === undefined ? undefined : work.insertion.rod.frame.slice();
  });
  const [one, other] = frames;
  if (one === undefined || other === undefined) return Number.NaN;
  let most = 0;
  for (let o = 9; o < one.length; o += 12) {
    const square = [o, o + 1, o + 2].reduce((sum, k) => sum + ((one[k] as number) - (other[k] as number)) ** 2, 0);
    most = Math.max(most, Math.sqrt(square));
  }
  return most;
}
