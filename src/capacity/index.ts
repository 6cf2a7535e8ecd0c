export {
  type BackboneModel,
  type BackboneRow,
  type BackboneState,
  compareBackbones,
  createBackboneModel,
  createBackboneState,
  createBackboneWork,
} from "./compare-backbones.ts";
export { createLockState, type LockState, stepLock } from "./lock-drives.ts";
export {
  type CapacityWork,
  createCapacityWork,
  createUses,
  type Hold,
  type LimitKind,
  type Limits,
  lengthOut,
  type Uses,
  type Vector,
} from "./model.ts";
export { type Rest, readRest } from "./read-rest.ts";
export {
  createRetention,
  createRetentionState,
  type RetentionCase,
  type RetentionModel,
  type RetentionState,
  type Stall,
} from "./retention-model.ts";
export { type Loading, loadedBy, type PayloadRequest } from "./solve-loaded.ts";
export {
  createMapState,
  createMapWork,
  createPayloadMap,
  holdAt,
  type MapModel,
  type MapPoint,
  type MapRequest,
  type MapState,
  stepPayloadMap,
  withPretension,
} from "./step-map.ts";
export {
  createPayloadState,
  type Held,
  type Payload,
  type PayloadEnd,
  type PayloadState,
  readPayload,
  stepPayload,
} from "./step-payload.ts";
export { createRampState, type Ramp, type RampRequest, type RampRow, type RampState, readRamp, stepRamp } from "./step-ramp.ts";
export { createRetentionWork, stepRetention } from "./step-retention.ts";
export {
  createSheet,
  createSheetState,
  createSheetWork,
  readSheet,
  type Sheet,
  type SheetModel,
  type SheetRamp,
  type SheetRequest,
  type SheetState,
  stepSheet,
} from "./step-sheet.ts";
export { createSwingState, dampingOf, readSwing, type Swing, type SwingState, stepSwing } from "./step-swing.ts";
export { backboneEnergy, storedEnergy } from "./stored-energy.ts";
export { type Backbone, type BackboneKind, listBackbones } from "./swap-backbone.ts";
export { type TipBand, tipBand } from "./tip-band.ts";
export { type Give, type TipStiffness, tipStiffness } from "./tip-stiffness.ts";
export { bendFactor, bendLife, type CableUse, type Strand, wireStrain, workingLoad } from "./working-load.ts";
