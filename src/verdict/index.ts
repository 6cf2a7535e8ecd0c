export { drumRows } from "./drum-rows.ts";
export type { Facts, SightFact, SlackFact, WarmFact } from "./facts.ts";
export type { TubeFact } from "./guide-rows.ts";
export { judge, sayFitted } from "./judge.ts";
export type { Gain, MarginPlace, MarginRow, MarginUnit, Verdict } from "./model.ts";
export { poseOf } from "./pose-row.ts";
export { headNotChecked, otherConditions, type Reading, readMargin } from "./read-margins.ts";
export { untoldExpansions } from "./warm.ts";
