export { checkBalance } from "./balance.ts";
export { cableResponse } from "./cable-response.ts";
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
  type Walls,
} from "./model.ts";
export { setStance } from "./place.ts";
export { type Contact, createContact, readContact } from "./read-contact.ts";
export { firstHeld, heldResponse, solveHeld } from "./solve-held.ts";
export { readFreeLengths, solveLocked } from "./solve-locked.ts";
export { solveTensions } from "./solve-tensions.ts";
export { cableStiffness } from "./stability.ts";
export { tipCompliance } from "./tip-compliance.ts";
export { createRodWork, type RodWork } from "./work.ts";
