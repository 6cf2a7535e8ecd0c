export { type ChangedJob, type ChangeName, changeJob, kindOf, sizesOf } from "./change-job.ts";
export {
  createDrawState,
  createDrawWork,
  type DrawAnswer,
  type DrawModel,
  type DrawnMargin,
  type DrawState,
  type DrawWork,
  stepDraw,
} from "./draw-truth.ts";
export { gatherDraws, type MarginRange, type Mattering, type UnsureResult } from "./gather-draws.ts";
export { listTurns, type TurnJob } from "./list-turns.ts";
export { drawValues, listUnknowns, normalOf, type Unknown, type Unknowns } from "./list-unknowns.ts";
export {
  createRackState,
  createRackWork,
  isRackDone,
  type RackArm,
  type RackEntry,
  type RackMargin,
  type RackModel,
  type RackPlace,
  type RackShape,
  type RackState,
  type RackWork,
  rackProgress,
  readRack,
  sortRack,
  stepRack,
} from "./rack.ts";
export { type Command, createReplay, isReplayDone, type Replay, stepReplay } from "./replay-commands.ts";
export {
  createSeek,
  createSeekState,
  createSeekWork,
  type SeekModel,
  type SeekState,
  type SeekWork,
  stepSeek,
  withSeek,
} from "./seek-turn.ts";
export {
  createTurns,
  createTurnsState,
  createTurnsWork,
  stepTurns,
  type TurnsModel,
  type TurnsState,
  type TurnsWork,
  withTurns,
} from "./step-turns.ts";
export { type Chance, chanceOf, quantileOf, ranksOf, type Weight, weighOne } from "./weigh.ts";
