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
import type { SpaceModel } from "../space/index.ts";
import { lookRows, type MarginRow, poseOf } from "../verdict/index.ts";
import type { PlanState } from "./model.ts";
import type { Shape } from "./planned-shape.ts";
import { seeTarget } from "./see-target.ts";

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
  "sight",
  "view-angle",
  "in-view",
  "focus",
  "detail",
  "tool-angle",
  "drive-torque",
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
  space: SpaceModel,
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
    ? reading[row.id]({ model, record, row, shape, rod: again, rub: rubOf(model, again, work), space, state, work })
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
  readonly space: SpaceModel;
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
  twist: (seen) => Math.abs(inspect(seen).twist[seen.model.arm.spans] as number) + (looseAt(seen)?.twist ?? 0),
  sag: (seen) => {
    const { model, rod, work } = seen;
    const tip = looseAt(seen)?.tip;
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
    return poseOf(arm, model.target, work.rod.frame, tool, looseAt(seen), rub).demand;
  },
  "dead-band": ({ rub }) => rub?.fullTip ?? 0,
  sight: look,
  "view-angle": look,
  "in-view": look,
  focus: look,
  detail: look,
  "tool-angle": look,
  // spool and gear make it in proportion to what the cable pulls
  "drive-torque": ({ record, row, rod, rub }) => {
    const cable = row.where.cable as number;
    const planned = record.rub?.most[cable] ?? (record.tension[cable] as number);
    return (row.demand * (rub?.most[cable] ?? (rod.tension[cable] as number))) / planned;
  },
};

/** What of a look, or of the tool's angle, is missing to its limit or beyond it, on top of the limit that the row has: both may move. */
function look(seen: Seen): number {
  const { model, record, row, rub, space, work } = seen;
  const { arm, target } = model;
  const tool = new Float64Array(3);
  pointOf(work.rod.frame, arm.spans, 0, 0, arm.description.tool.length, tool);
  const loose = looseAt(seen);
  const { rub: _, loose: __, ...bare } = record;
  const there: DepthRecord = {
    ...bare,
    frames: work.rod.frame.slice(),
    tool,
    ...(rub === undefined ? {} : { rub }),
    ...(loose === undefined ? {} : { loose }),
  };
  const rows = lookRows({ arm, target, bodies: space.bodies, sight: seeTarget(arm, space, target, there), wayIn: [there] });
  const found = rows.find((one) => one.id === row.id);
  return found === undefined ? Number.NaN : row.limit + found.demand - found.limit;
}

function inspect({ model, rod, work }: Seen) {
  const seen = createInspection(model.arm);
  inspectShape(model.arm, rod, work.rod, seen);
  return seen;
}

function spanOf({ row }: Seen): number {
  return (row.where.vertebra as number) - 1;
}

function looseAt({ model, work }: Seen) {
  return looseOf(model, work.rod.frame, work.rod.firstFree, work.hull);
}
