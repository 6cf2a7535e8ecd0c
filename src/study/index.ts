export { type ChangedJob, type ChangeName, changeJob, kindOf, sizesOf } from "./change-job.ts";
export { listTurns, type TurnJob } from "./list-turns.ts";
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
