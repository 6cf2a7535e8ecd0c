export { rubs } from "./bound-rub.ts";
export { clearanceReach } from "./hull.ts";
export { atDepth, frameBehind, type Launch, layTube, leastTubeRadius, type TubeLine, tubeLength } from "./launch.ts";
export { loadWithWalls } from "./lean.ts";
export type { DepthContact, DepthRecord, InsertionModel, InsertionState, Loose, RollRule, Rub, SweepBound } from "./model.ts";
export { askingOf, clearanceOf, leastAsked, sagOf } from "./record.ts";
export { armLength, solveAt, solved, stanceAt } from "./solve-at.ts";
export { createInsertionState, insertionProgress, listDepths, sameBranch, stepInsertion } from "./step-insertion.ts";
export { createInsertionWork, type InsertionWork } from "./work.ts";
