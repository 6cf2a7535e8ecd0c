/** Least cable tension with all lengths locked as the arm, at the target with its load, is rolled. */
import { type ArmModel, heatArm } from "../arm/index.ts";
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
import { copyRodState, type RodState, readFreeLengths, solveLocked, solveWarm, type Warming } from "../rod/index.ts";
import type { PlanState } from "./model.ts";

/**
 * One roll of the locked arm, from the shape that the roll before left. `state.slack` keeps the cable that has lost the greatest share of
 * its pretension so far, NaN from the
 * first roll at which no balance was found.
 *
 * @param roll beyond the roll planned at the target, rad; `state.rolled` starts anew at 0
 * @param at what it is warmer by than when it was set up
 */
export function findSlack(
  whole: InsertionModel,
  insertion: InsertionState,
  roll: number,
  at: Warming | undefined,
  state: PlanState,
  work: InsertionWork,
): void {
  const record = insertion.wayIn[insertion.wayIn.length - 1];
  assert(record !== undefined && insertion.deepest !== undefined, "there is a depth to roll at");
  if (state.slack !== undefined && Number.isNaN(state.slack.least)) return;
  const model = atDepth(whole, record.depth, record.roll);
  const { arm } = model;
  const planned = copyRodState(insertion.deepest);
  const free = new Float64Array(arm.cables);
  // an arm that leans at the target leans as it is rolled
  const load = record.contact === undefined ? model.load : loadWithWalls(model, work);
  const held = solveAt({ ...model, load }, record.depth, record.roll, record.bend, planned, work);
  readFreeLengths(arm, planned, work.rod, free);
  const rolled: RodState = copyRodState(roll === 0 ? planned : (state.rolled ?? planned));
  const stance = stanceAt(model, record.depth, record.roll + roll, work);
  const report =
    at === undefined
      ? solveLocked(arm, load, stance, free, rolled, work.rod)
      : solveWarm(arm, heatArm(arm, at.arm), at, load, stance, planned.tension, free, rolled, work.rod);
  const said = at === undefined ? {} : { at };
  if (!solved(held) || !solved(report)) {
    state.slack = { least: Number.NaN, cable: state.slack?.cable ?? 0, roll, ...said };
    return;
  }
  state.rolled = rolled;
  let cable = 0;
  for (let c = 1; c < arm.cables; c++) if (kept(arm, rolled, c) < kept(arm, rolled, cable)) cable = c;
  const worst = state.slack === undefined ? Number.POSITIVE_INFINITY : state.slack.least / (arm.pretension[state.slack.cable] as number);
  if (state.slack === undefined || kept(arm, rolled, cable) < worst)
    state.slack = { least: rolled.tension[cable] as number, cable, roll, ...said };
}

/** Share of its pretension that a cable still has; 0 for one without any. */
function kept(arm: ArmModel, state: RodState, cable: number): number {
  const pretension = arm.pretension[cable] as number;
  return pretension > 0 ? (state.tension[cable] as number) / pretension : 0;
}
