/** Everything an insertion writes besides its state. Made once from model and space, one a thread. */
import { createInspection, createRodWork, type Inspection, type RodWork } from "../rod/index.ts";
import { createSpaceAnswer, createSpaceWork, type SpaceAnswer, type SpaceModel, type SpaceWork } from "../space/index.ts";
import { createHullWork, type HullWork } from "./hull.ts";
import type { InsertionModel } from "./model.ts";
import { createViews, type Views } from "./views.ts";

export interface InsertionWork {
  readonly rod: RodWork;
  readonly hull: HullWork;
  readonly space: SpaceWork;
  readonly views: Views;
  readonly inspection: Inspection;
  readonly stance: { base: Float64Array; exit: number };
  /** point and tangent of the route */
  readonly curve: Float64Array;
  /** one sample a vertebra */
  readonly points: Float64Array;
  readonly answer: SpaceAnswer;
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

export function createInsertionWork(model: InsertionModel, space: SpaceModel): InsertionWork {
  const { arm } = model;
  const m = 2 * arm.sections + 1;
  return {
    rod: createRodWork(arm),
    hull: createHullWork(arm),
    space: createSpaceWork(space),
    views: createViews(model, space),
    inspection: createInspection(arm),
    stance: { base: new Float64Array(12), exit: 0 },
    curve: new Float64Array(6),
    points: new Float64Array(3 * (arm.spans + 1)),
    answer: createSpaceAnswer(arm.spans + 1),
    normal: new Float64Array(m * m),
    gradient: new Float64Array(m),
    factor: new Float64Array(m * m),
    move: new Float64Array(m),
    motion: new Float64Array(3 * m),
    row: new Float64Array(m),
    trial: new Float64Array(2 * arm.sections),
  };
}
