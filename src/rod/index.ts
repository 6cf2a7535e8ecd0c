export { checkBalance } from "./balance.ts";
export { cableResponse } from "./cable-response.ts";
export { type CableGive, cableGive, cableStiffness } from "./cable-stiffness.ts";
export { boundTensions, createDeadBand, type DeadBand, findDeadBand } from "./dead-band.ts";
export { driveTension, turnAt } from "./friction.ts";
export { firstHeld } from "./held-modes.ts";
export { heldResponse, heldTipResponse } from "./held-response.ts";
export { createInspection, type Inspection, inspectShape } from "./inspect.ts";
export {
  copyRodState,
  createRodState,
  type Fluid,
  type Load,
  type PointForce,
  type RodState,
  type SolveOptions,
  type SolveReport,
  type SolveStatus,
  type Stance,
  setRodState,
  type Walls,
} from "./model.ts";
export { setStance } from "./place.ts";
export { createPlayBound, isLoose, type PlayBound, playDisplacement, type SeatTolerance } from "./play-displacement.ts";
export { type Contact, createContact, readContact } from "./read-contact.ts";
export { slideCables, slideToGrip } from "./slide-cables.ts";
export { solveHeld } from "./solve-held.ts";
export { readFreeLengths, solveLocked } from "./solve-locked.ts";
export { solveTensions } from "./solve-tensions.ts";
export { listWarmings, solveWarm, type Temperature, type Warming } from "./solve-warm.ts";
export { tipCompliance } from "./tip-compliance.ts";
export { type Wound, windCables } from "./wind-cables.ts";
export { createRodWork, type RodWork } from "./work.ts";
