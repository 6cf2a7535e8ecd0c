export { createFaults, createFaultsState, type FaultsRequest } from "./create-faults.ts";
export type {
  Fault,
  FaultEvent,
  FaultFinding,
  FaultKind,
  FaultResult,
  FaultsModel,
  FaultsState,
  Link,
  Outcome,
  Recipe,
  Stop,
  StopKind,
  WayFound,
} from "./model.ts";
export { type DepthState, isAnswered, reachOf, stateAt } from "./reach.ts";
export { readFaults, type SharedWays, stepFaults, takeShared } from "./step-faults.ts";
export { createFaultsWork, type FaultsWork } from "./work.ts";
