export { boundRub, rubOf, rubs } from "./bound-rub.ts";
export { clearanceReach } from "./hull.ts";
export { loadWithWalls, pressOn } from "./lean.ts";
export type { DepthContact, DepthRecord, InsertionModel, InsertionState, Loose, RollRule, Rub, SweepBound } from "./model.ts";
export { askingOf, clearanceOf, leastAsked, sagOf } from "./record.ts";
export { armLength, solveAt, solved, stanceAt } from "./solve-at.ts";
export { createInsertionState, insertionProgress, listDepths, sameBranch, slideHere, stepInsertion } from "./step-insertion.ts";
export { looseOf } from "./take-off-play.ts";
export { createInsertionWork, type InsertionWork } from "./work.ts";
