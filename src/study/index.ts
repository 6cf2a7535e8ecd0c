export { listTurns, type TurnJob } from "./list-turns.ts";
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
