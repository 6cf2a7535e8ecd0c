/** Steps capacity work to its end, and plain ways to ask for it. */
import type { ArmDescription, ArmModel } from "../../src/arm/index.ts";
import type { Quantity } from "../../src/base/index.ts";
import {
  type BackboneRow,
  type CapacityWork,
  compareBackbones,
  createBackboneModel,
  createBackboneState,
  createBackboneWork,
  createCapacityWork,
  createLockState,
  createMapState,
  createMapWork,
  createPayloadMap,
  createRampState,
  createRetention,
  createRetentionState,
  createRetentionWork,
  createSheet,
  createSheetState,
  createSheetWork,
  createSwingState,
  type Hold,
  type LockState,
  type MapPoint,
  type MapRequest,
  type Ramp,
  type RampRequest,
  type RetentionState,
  readRamp,
  readSheet,
  readSwing,
  type Sheet,
  type SheetRequest,
  type Swing,
  stepLock,
  stepPayloadMap,
  stepRamp,
  stepRetention,
  stepSheet,
  stepSwing,
  type TipStiffness,
  tipStiffness,
} from "../../src/capacity/index.ts";
import { stanceAlongX } from "../rod/arms.ts";

export const down = [0, 0, -1] as const;
export const earth = [0, 0, -9.80665] as const;

/** Horizontal along world x (its own x upwards), straight, the whole arm out, no gravity. */
export function plainRequest(arm: ArmModel, more: Partial<MapRequest> = {}): MapRequest {
  return {
    exit: stanceAlongX().base,
    bend: new Float64Array(2 * arm.sections),
    gravity: [0, 0, 0],
    lockedAt: "carrying",
    directions: [down],
    lengths: [fullLength(arm)],
    limits: {},
    ...more,
  };
}

export function fullLength(arm: ArmModel): number {
  return (arm.along[arm.spans] as number) + arm.description.tool.length;
}

export function mapOf(arm: ArmModel, more: Partial<MapRequest> = {}): readonly MapPoint[] {
  const model = createPayloadMap(arm, plainRequest(arm, more));
  const state = createMapState();
  const work = createMapWork(model);
  while (!state.done) stepPayloadMap(model, state, work);
  return state.points;
}

export function retentionOf(arm: ArmModel, hold: Hold, damping?: number, sentTo?: Float64Array): RetentionState {
  const model = createRetention(arm, hold, damping, sentTo);
  const state = createRetentionState();
  const work = createRetentionWork(model);
  while (!state.done) stepRetention(model, state, work);
  return state;
}

export function lockOf(arm: ArmModel, hold: Hold): { lock: LockState; work: CapacityWork } {
  const work = createCapacityWork(arm);
  const lock = createLockState(arm, hold);
  while (lock.stage === "bending" || lock.stage === "loading") stepLock(arm, hold, lock, work);
  return { lock, work };
}

export function stiffnessOf(arm: ArmModel, hold: Hold): TipStiffness | undefined {
  const { lock, work } = lockOf(arm, hold);
  return tipStiffness(arm, hold, lock, work);
}

export function rampOf(arm: ArmModel, hold: Hold, request: RampRequest): Ramp {
  const { lock, work } = lockOf(arm, hold);
  const state = createRampState(arm);
  while (state.stage !== "done") stepRamp(arm, hold, request, lock, state, work);
  return readRamp(state);
}

export function sheetOf(arm: ArmModel, hold: Hold, request: SheetRequest): Sheet {
  const model = createSheet(arm, hold, request);
  const state = createSheetState(model);
  const work = createSheetWork(model);
  while (state.stage !== "done") stepSheet(model, state, work);
  return readSheet(model, state);
}

export function backbonesOf(description: ArmDescription, holds: readonly Hold[]): readonly BackboneRow[] {
  const model = createBackboneModel(description, holds);
  const state = createBackboneState();
  const work = createBackboneWork(model);
  while (!state.done) compareBackbones(model, state, work);
  return state.rows;
}

export function swingOf(arm: ArmModel, hold: Hold, damping?: number | Quantity): Swing {
  const { lock, work } = lockOf(arm, hold);
  const state = createSwingState(arm);
  while (state.stage !== "done") stepSwing(arm, hold, lock, state, work);
  return readSwing(state, damping);
}
