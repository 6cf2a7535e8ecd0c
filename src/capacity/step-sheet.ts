/**
 * All that is asked of an arm locked in one place, one after the other: how it gives and swings, what it carries, what a force on its
 * tool does, and what becomes of it when something fails. One solve a step, over a resumable state.
 */
import type { ArmModel } from "../arm/index.ts";
import type { Quantity } from "../base/index.ts";
import { createLockState, type LockState, stepLock } from "./lock-drives.ts";
import { type CapacityWork, createCapacityWork, type Hold, type Limits, type Vector } from "./model.ts";
import { createRetention, createRetentionState, type RetentionModel, type RetentionState } from "./retention-model.ts";
import { createPayloadState, type Payload, type PayloadState, readPayload, stepPayload } from "./step-payload.ts";
import { createRampState, type Ramp, type RampState, readRamp, stepRamp } from "./step-ramp.ts";
import { stepRetention } from "./step-retention.ts";
import { createSwingState, dampingOf, readSwing, type Swing, type SwingState, stepSwing } from "./step-swing.ts";
import { type TipBand, tipBand } from "./tip-band.ts";
import { type TipStiffness, tipStiffness } from "./tip-stiffness.ts";

export interface SheetRequest {
  readonly limits: Limits;
  /** loads that a force on the tool is told at, >= 1 */
  readonly rows: number;
  /** [section, 2] where the other drives go when one stalls, rad; no drive is stalled when absent */
  readonly sentTo?: Float64Array;
}

/** Readonly, plain. */
export interface SheetModel {
  readonly arm: ArmModel;
  readonly hold: Hold;
  readonly request: SheetRequest;
  readonly damping: Quantity;
  readonly retention: RetentionModel;
}

/** Plain data. */
export interface SheetState {
  stage: "locking" | "swinging" | "loading" | "ramping" | "failing" | "done";
  readonly lock: LockState;
  stiffness: TipStiffness | undefined;
  band: TipBand | undefined;
  readonly swing: SwingState;
  readonly payload: PayloadState;
  ramp: RampState | undefined;
  ramps: SheetRamp[];
  readonly retention: RetentionState;
  /** 0 to 1 */
  progress: number;
}

/** A force on the tool: `pressing` ahead against its own axis, `dragging` across where it is softest. */
export interface SheetRamp extends Ramp {
  readonly kind: "pressing" | "dragging";
  readonly follows: boolean;
}

/** What was found. Plain data; nothing but the lock where the drives could not be locked. */
export interface Sheet {
  readonly stands: boolean;
  readonly lock: LockState;
  readonly stiffness: TipStiffness | undefined;
  readonly band: TipBand | undefined;
  readonly swing: Swing;
  /** hung from the tool point, along gravity; undefined without gravity */
  readonly payload: Payload | undefined;
  readonly ramps: readonly SheetRamp[];
  readonly retention: RetentionState;
}

export function createSheet(arm: ArmModel, hold: Hold, request: SheetRequest): SheetModel {
  const retention = createRetention(arm, hold, arm.description.damping?.low ?? 0, request.sentTo);
  return { arm, hold, request, damping: dampingOf(arm), retention };
}

export function createSheetState({ arm, hold }: SheetModel): SheetState {
  return {
    stage: "locking",
    lock: createLockState(arm, hold),
    stiffness: undefined,
    band: undefined,
    swing: createSwingState(arm),
    payload: createPayloadState(arm),
    ramp: undefined,
    ramps: [],
    retention: createRetentionState(),
    progress: 0,
  };
}

export function createSheetWork({ arm }: SheetModel): CapacityWork {
  return createCapacityWork(arm);
}

/** One solve (few at the turn of a stage); nothing happens once `done`. */
export function stepSheet(model: SheetModel, state: SheetState, work: CapacityWork): void {
  const { arm, hold } = model;
  const { lock } = state;
  if (state.stage === "locking") {
    stepLock(arm, hold, lock, work);
    if (lock.stage === "failed") finish(state);
    if (lock.stage !== "locked") return;
    state.stiffness = tipStiffness(arm, hold, lock, work);
    state.band = tipBand(arm, hold, lock, work);
    turnTo(state, "swinging", 0.1);
  } else if (state.stage === "swinging") {
    stepSwing(arm, hold, lock, state.swing, work);
    if (state.swing.stage === "done") turnTo(state, "loading", 0.2);
  } else if (state.stage === "loading") {
    const down = downOf(hold);
    if (down !== undefined) {
      const { limits } = model.request;
      stepPayload(arm, hold, { direction: down, offset: [0, 0, 0], limits, tolerance: 1e-3, most: 1e6 }, lock, state.payload, work);
    }
    if (down === undefined || state.payload.stage === "done") turnTo(state, "ramping", 0.3);
  } else if (state.stage === "ramping") {
    rampOn(model, state, work);
  } else if (state.stage === "failing") {
    stepRetention(model.retention, state.retention, work);
    state.progress = 0.5 + 0.5 * state.retention.progress;
    if (state.retention.done) finish(state);
  }
}

export function readSheet(model: SheetModel, state: SheetState): Sheet {
  const { lock, stiffness, band, ramps, retention } = state;
  const payload = downOf(model.hold) === undefined ? undefined : readPayload(state.payload);
  return {
    stands: lock.stage === "locked",
    lock,
    stiffness,
    band,
    swing: readSwing(state.swing, model.damping),
    payload,
    ramps,
    retention,
  };
}

function turnTo(state: SheetState, stage: SheetState["stage"], progress: number): void {
  state.stage = stage;
  state.progress = progress;
}

function finish(state: SheetState): void {
  turnTo(state, "done", 1);
}

function downOf({ gravity }: Hold): Vector | undefined {
  const g = Math.sqrt(gravity[0] ** 2 + gravity[1] ** 2 + gravity[2] ** 2);
  return g === 0 ? undefined : [gravity[0] / g, gravity[1] / g, gravity[2] / g];
}

const ways = [
  ["pressing", false],
  ["pressing", true],
  ["dragging", false],
  ["dragging", true],
] as const;

function rampOn(model: SheetModel, state: SheetState, work: CapacityWork): void {
  const { arm, hold, request } = model;
  const [kind, follows] = ways[state.ramps.length] as (typeof ways)[number];
  const soft = state.stiffness?.acrossMost.inTip ?? ([1, 0, 0] as const);
  const direction: Vector = kind === "pressing" ? [0, 0, -1] : soft;
  state.ramp ??= createRampState(arm);
  const { limits, rows } = request;
  stepRamp(arm, hold, { direction, follows, offset: [0, 0, 0], limits, tolerance: 1e-3, most: 1e6, rows }, state.lock, state.ramp, work);
  if (state.ramp.stage !== "done") return;
  state.ramps.push({ kind, follows, ...readRamp(state.ramp) });
  state.ramp = undefined;
  state.progress = 0.3 + 0.05 * state.ramps.length;
  if (state.ramps.length === ways.length) turnTo(state, "failing", 0.5);
}
