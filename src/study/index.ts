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
  createTurns,
  createTurnsState,
  createTurnsWork,
  stepTurns,
  type TurnsModel,
  type TurnsState,
  type TurnsWork,
  withTurns,
} from "./step-turns.ts";
