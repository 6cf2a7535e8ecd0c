/** Everything an insertion writes besides its state. Made once from model and space, one a thread. */
import { createDeadBand, createInspection, createRodWork, type DeadBand, type Inspection, type RodWork } from "../rod/index.ts";
import { createSpaceAnswer, createSpaceWork, type SpaceAnswer, type SpaceModel, type SpaceWork, sampleSpace } from "../space/index.ts";
import { clearanceReach, createHullWork, type HullWork } from "./hull.ts";
import { bendTable } from "./inherent.ts";
import { createLeanWalls, type LeanWalls, type WallReach } from "./lean.ts";
import type { InsertionModel } from "./model.ts";
import { createViews, type Views } from "./views.ts";

export interface InsertionWork {
  readonly rod: RodWork;
  readonly band: DeadBand;
  readonly hull: HullWork;
  readonly space: SpaceWork;
  readonly views: Views;
  readonly lean: LeanWalls;
  readonly inspection: Inspection;
  /** [span, 2] bends of the part that is not free */
  readonly bent: Float64Array;
  readonly stance: { base: Float64Array; exit: number; roll: number };
  /** point and tangent of the route */
  readonly curve: Float64Array;
  /** as made by `bendTable` */
  readonly bendTable: Float64Array;
  /** one sample a vertebra */
  readonly points: Float64Array;
  readonly answer: SpaceAnswer;
  /** [sample] how far the route is from any surface, m, as far as is looked at */
  readonly routeRoom: Float64Array;
  /** [2 section + 1] square: normal equations, their right-hand side, factor and step */
  readonly normal: Float64Array;
  readonly gradient: Float64Array;
  readonly factor: Float64Array;
  readonly move: Float64Array;
  /** [3, 2 section + 1] motion of a point (m) or direction a unit of every unknown, world */
  readonly motion: Float64Array;
  readonly row: Float64Array;
  readonly trial: Float64Array;
}

/** @param reach how far walls are known, where shapes may leave the route by more than a planned one does */
export function createInsertionWork(model: InsertionModel, space: SpaceModel, reach?: WallReach): InsertionWork {
  const { arm } = model;
  const m = 2 * arm.sections + 1;
  return {
    rod: createRodWork(arm),
    band: createDeadBand(arm),
    hull: createHullWork(arm),
    space: createSpaceWork(space),
    views: createViews(model, space),
    lean: createLeanWalls(space, reach),
    inspection: createInspection(arm),
    bent: new Float64Array(2 * arm.spans),
    stance: { base: new Float64Array(12), exit: 0, roll: 0 },
    curve: new Float64Array(6),
    bendTable: bendTable(model.curve),
    points: new Float64Array(3 * (arm.spans + 1)),
    answer: createSpaceAnswer(arm.spans + 1),
    routeRoom: roomAlong(model, space),
    normal: new Float64Array(m * m),
    gradient: new Float64Array(m),
    factor: new Float64Array(m * m),
    move: new Float64Array(m),
    motion: new Float64Array(3 * m),
    row: new Float64Array(m),
    trial: new Float64Array(2 * arm.sections),
  };
}

/** Stand-offs left out. */
function roomAlong({ curve }: InsertionModel, space: SpaceModel): Float64Array {
  const answer = createSpaceAnswer(curve.count);
  sampleSpace(space, curve.point, curve.count, clearanceReach, answer, createSpaceWork(space));
  return answer.distance.map((distance, k) => {
    if ((answer.body[k] as number) < 0) return distance;
    let square = 0;
    for (let r = 0; r < 3; r++) square += ((curve.point[3 * k + r] as number) - (answer.closest[3 * k + r] as number)) ** 2;
    return Math.sqrt(square);
  });
}
