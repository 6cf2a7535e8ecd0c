/** Least cable tension with all lengths locked as the arm, at the target with its load, is rolled. */
import { type InsertionModel, type InsertionState, type InsertionWork, solveAt, solved, stanceAt } from "../insertion/index.ts";
import { copyRodState, readFreeLengths, solveLocked } from "../rod/index.ts";
import type { SlackFact } from "../verdict/index.ts";

/** @param before least so far @returns least including this roll; NaN when a solve found no balance */
export function findSlack(model: InsertionModel, insertion: InsertionState, roll: number, before: SlackFact | undefined, work: InsertionWork): SlackFact {
  const record = insertion.wayIn[insertion.wayIn.length - 1];
  if (record === undefined) throw new Error("bug: no depth to roll at");
  const state = copyRodState(insertion.rod);
  const lost: SlackFact = { least: Number.NaN, cable: before?.cable ?? 0, roll };
  if (!solved(solveAt(model, record.depth, record.roll, record.bend, state, work))) return lost;
  const free = new Float64Array(model.arm.cables);
  readFreeLengths(model.arm, state, work.rod, free);
  const report = solveLocked(model.arm, model.load, stanceAt(model, record.depth, record.roll + roll, work), free, state, work.rod);
  if (!solved(report)) return lost;
  let cable = 0;
  for (let c = 1; c < model.arm.cables; c++) if ((state.tension[c] as number) < (state.tension[cable] as number)) cable = c;
  const least = state.tension[cable] as number;
  if (before !== undefined && !(before.least > least)) return before;
  return { least, cable, roll };
}
