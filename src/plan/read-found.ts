/** What a row says is found, read off one solved shape: friction's band and play of that arm are looked at anew. */
import {
  askingOf,
  boundRub,
  clearanceOf,
  type DepthRecord,
  type InsertionModel,
  type InsertionWork,
  leastAsked,
  looseOf,
  pressOn,
  type Rub,
  rubOf,
  sagOf,
  solved,
  stanceAt,
} from "../insertion/index.ts";
import { pointOf } from "../math/index.ts";
import { copyRodState, createInspection, inspectShape, type RodState, solveLocked } from "../rod/index.ts";
import { type MarginRow, poseOf } from "../verdict/index.ts";
import type { PlanState } from "./model.ts";
import type { Shape } from "./planned-shape.ts";

/** Rows that are read off one shape, or one roll of it. */
export const shapeRows = [
  "clearance",
  "touch",
  "touch-force",
  "joint",
  "strain",
  "cable-load",
  "twist",
  "sag",
  "slack",
  "pose",
  "dead-band",
] as const;

type ShapeRow = (typeof shapeRows)[number];

export function isShapeRow(id: string): id is ShapeRow {
  return (shapeRows as readonly string[]).includes(id);
}

/** @param model whose arm and load the shape is of @returns in the row's unit; NaN when no balance was found */
export function readFound(
  model: InsertionModel,
  record: DepthRecord,
  row: MarginRow,
  shape: Shape,
  state: PlanState,
  work: InsertionWork,
): number {
  const { arm } = model;
  // each reading leaves the solver's memory as it found it only when the shape is solved there again
  const again = copyRodState(shape.rod);
  if (!solved(solveLocked(arm, model.load, stanceAt(model, record.depth, record.roll, work), shape.free, again, work.rod)))
    return Number.NaN;
  boundRub(model, again, work);
  const found = isShapeRow(row.id)
    ? reading[row.id]({ model, record, row, shape, rod: again, rub: rubOf(model, again, work), state, work })
    : Number.NaN;
  work.hull.rub.fill(0);
  return found;
}

interface Seen {
  readonly model: InsertionModel;
  readonly record: DepthRecord;
  readonly row: MarginRow;
  readonly shape: Shape;
  readonly rod: RodState;
  readonly rub: Rub | undefined;
  readonly state: PlanState;
  readonly work: InsertionWork;
}

const reading: Readonly<Record<ShapeRow, (seen: Seen) => number>> = {
  // what the plan takes off between the depths is taken off here too
  clearance: ({ model, record, row, work }) => leastAsked(model, askingOf(model, work)).asked - Math.max(0, record.askedSeen - row.limit),
  touch: ({ model, record, row, work }) => {
    const vertebra = row.where.vertebra ?? record.tightest;
    const body = record.nearest[vertebra] as number;
    const spare = (record.clearance[vertebra] as number) - (body < 0 ? 0 : (model.need[body] as number));
    return row.limit + (clearanceOf(model, work).spare[vertebra] as number) - spare;
  },
  "touch-force": ({ model, row, work }) => (row.where.body === undefined ? Number.NaN : pressOn(model, row.where.body, work)),
  joint: (seen) => (inspect(seen).jointAngle[spanOf(seen)] as number) + (seen.rub?.joint[spanOf(seen)] ?? 0),
  strain: (seen) => inspect(seen).strain[spanOf(seen)] as number,
  "cable-load": ({ row, rod, rub }) => {
    const cable = row.where.cable as number;
    return rub?.most[cable] ?? (rod.tension[cable] as number);
  },
  twist: (seen) => Math.abs(inspect(seen).twist[seen.model.arm.spans] as number) + (loose(seen)?.twist ?? 0),
  sag: (seen) => {
    const { model, rod, work } = seen;
    const tip = loose(seen)?.tip;
    return sagOf(model, rod, work, model.load.walls) + (tip === undefined ? 0 : (tip[0] as number) + (tip[1] as number));
  },
  slack: ({ model, record, row, shape, rod, state, work }) => {
    const { slack } = state;
    const { cable } = row.where;
    if (slack === undefined || cable === undefined) return Number.NaN;
    const rolled = stanceAt(model, record.depth, record.roll + slack.roll, work);
    if (!solved(solveLocked(model.arm, model.load, rolled, shape.free, rod, work.rod))) return Number.NaN;
    return (model.arm.pretension[cable] as number) - (rod.tension[cable] as number);
  },
  pose: (seen) => {
    const { model, rub, work } = seen;
    const { arm } = model;
    const tool = new Float64Array(3);
    pointOf(work.rod.frame, arm.spans, 0, 0, arm.description.tool.length, tool);
    return poseOf(arm, model.target, work.rod.frame, tool, loose(seen), rub).demand;
  },
  "dead-band": ({ rub }) => rub?.fullTip ?? 0,
};

function inspect({ model, rod, work }: Seen) {
  const seen = createInspection(model.arm);
  inspectShape(model.arm, rod, work.rod, seen);
  return seen;
}

function spanOf({ row }: Seen): number {
  return (row.where.vertebra as number) - 1;
}

function loose({ model, work }: Seen) {
  return looseOf(model, work.rod.frame, work.rod.firstFree, work.hull);
}
