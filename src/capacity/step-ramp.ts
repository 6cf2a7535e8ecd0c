/**
 * What a growing force on the tool does, drives locked: way, turn, tensions and joint angles at even loads up to the first limit.
 *
 * The limit is found first, as a payload is. Each row is then a solve of its own, from the nearest shape that held on the way.
 */
import type { ArmModel } from "../arm/index.ts";
import { type Load, solveLocked } from "../rod/index.ts";
import type { LockState } from "./lock-drives.ts";
import { distance, measureUses } from "./measure-uses.ts";
import { type CapacityWork, carryOver, type Hold, loadOf, type Uses, type Vector } from "./model.ts";
import { loadedBy, type PayloadRequest } from "./solve-loaded.ts";
import { createPayloadState, type Held, type Payload, type PayloadState, readPayload, stepPayload } from "./step-payload.ts";

/** A couple is in the same axes as the direction. */
export interface RampRequest extends Omit<PayloadRequest, "direction" | "follows"> {
  /** [3] unit direction of the force on the tool, the tip's axes as they are when the drives are locked: pressing ahead is felt as 0, 0, -1 */
  readonly direction: Vector;
  /** the force turns with the tool, or keeps the direction that it has when the drives are locked */
  readonly follows: boolean;
  /** rows after the first, which has no force, >= 1 */
  readonly rows: number;
}

/** Plain data. Ways and turns are since the drives were locked. */
export interface RampRow {
  /** N */
  readonly load: number;
  /** of the tool point, m, and the part of it along the force as it was at first */
  readonly moved: number;
  readonly along: number;
  /** of the tool's axis, rad */
  readonly turned: number;
  /** gathered from the guide's exit to the tip, rad (not since locking) */
  readonly twist: number;
  /** [cable] N */
  readonly tension: readonly number[];
  /** [span] rad */
  readonly jointAngle: readonly number[];
  readonly uses: Uses;
  /** cables that hang loose */
  readonly slack: readonly number[];
  /** [3] tool point, m, world */
  readonly point: readonly number[];
}

/** Plain data. */
export interface RampState {
  stage: "finding" | "telling" | "done";
  readonly payload: PayloadState;
  /** [9] axes of the tip when the drives were locked, world, row-major; [3] unit direction of the force then, world */
  readonly axes: Float64Array;
  readonly heading: Float64Array;
  rows: RampRow[];
  /** row at hand */
  row: number;
}

export interface Ramp {
  /** what ends it; the last row is at its `load` */
  readonly end: Payload;
  readonly rows: readonly RampRow[];
}

export function createRampState(arm: ArmModel): RampState {
  return {
    stage: "finding",
    payload: createPayloadState(arm, true),
    axes: new Float64Array(9),
    heading: new Float64Array(3),
    rows: [],
    row: 0,
  };
}

/** One solve (two in the first step); nothing happens once `done`. @param lock its drives must be locked, or have failed to be */
export function stepRamp(arm: ArmModel, hold: Hold, request: RampRequest, lock: LockState, state: RampState, work: CapacityWork): void {
  if (state.stage === "done") return;
  if (state.stage === "finding") {
    if (state.payload.stage === "starting" && lock.stage === "locked") takeAxes(arm, hold, request, lock, state, work);
    stepPayload(arm, hold, asPayload(request, state), lock, state.payload, work);
    if (state.payload.stage === "done") state.stage = state.payload.trail?.length === 0 ? "done" : "telling";
    return;
  }
  tellRow(arm, hold, request, lock, state, work);
  state.row++;
  if (state.row > request.rows || state.payload.good <= 0) state.stage = "done";
}

export function readRamp(state: RampState): Ramp {
  return { end: readPayload(state.payload), rows: state.rows };
}

function takeAxes(arm: ArmModel, hold: Hold, request: RampRequest, lock: LockState, state: RampState, work: CapacityWork): void {
  carryOver(lock.rod, work.trial);
  solveLocked(arm, loadOf(hold), hold.stance, lock.free, work.trial, work.rod, { ramp: false });
  const o = 12 * arm.spans;
  for (let k = 0; k < 9; k++) state.axes[k] = work.rod.frame[o + k] as number;
  state.heading.set(turnOut(state.axes, request.direction));
}

/** Tip axes, as they were when the drives were locked -> world. */
function turnOut(axes: Float64Array, v: Vector): Vector {
  return [0, 1, 2].map((r) => [0, 1, 2].reduce((sum, k) => sum + (axes[3 * r + k] as number) * (v[k] as number), 0)) as unknown as Vector;
}

function asPayload(request: RampRequest, state: RampState): PayloadRequest {
  const { follows, offset, limits, tolerance, most, couple } = request;
  const turned = (v: Vector): Vector => (follows ? v : turnOut(state.axes, v));
  const turning = couple === undefined ? {} : { couple: turned(couple) };
  return { direction: turned(request.direction), follows, offset, ...turning, limits, tolerance, most };
}

function tellRow(arm: ArmModel, hold: Hold, request: RampRequest, lock: LockState, state: RampState, work: CapacityWork): void {
  const load = state.payload.good * (state.row / request.rows);
  const on = loadedBy(arm, hold, asPayload(request, state), load);
  if (!solveNear(arm, on, hold, lock, load, state.payload.trail ?? [], work)) return;
  const { rod, trial, point, inspection } = work;
  measureUses(arm, request.limits, trial, lock.tip, work);
  const o = 12 * arm.spans;
  let along = 0;
  let cosine = 0;
  let sine = 0;
  for (let r = 0; r < 3; r++) {
    along += (state.heading[r] as number) * ((point[r] as number) - (lock.tip[r] as number));
    const [before, after] = [state.axes[3 * r + 2] as number, rod.frame[o + 3 * r + 2] as number];
    cosine += before * after;
    const [a, b] = [(r + 1) % 3, (r + 2) % 3];
    sine +=
      ((state.axes[3 * a + 2] as number) * (rod.frame[o + 3 * b + 2] as number) -
        (state.axes[3 * b + 2] as number) * (rod.frame[o + 3 * a + 2] as number)) **
      2;
  }
  const tension = [...trial.tension];
  state.rows.push({
    load,
    moved: distance(point, lock.tip),
    along,
    turned: Math.atan2(Math.sqrt(sine), cosine),
    twist: inspection.twist[arm.spans] as number,
    tension,
    jointAngle: [...inspection.jointAngle],
    uses: { ...work.uses },
    slack: tension.flatMap((t, c) => (t <= 0 ? [c] : [])),
    point: [...point],
  });
}

/** From the nearest shape that held with less, else from the nearest with more. */
function solveNear(
  arm: ArmModel,
  on: Load,
  hold: Hold,
  lock: LockState,
  load: number,
  trail: readonly Held[],
  work: CapacityWork,
): boolean {
  const less = trail
    .filter((h) => h.load <= load)
    .reduce<Held | undefined>((best, h) => (best === undefined || h.load > best.load ? h : best), undefined);
  const more = trail
    .filter((h) => h.load > load)
    .reduce<Held | undefined>((best, h) => (best === undefined || h.load < best.load ? h : best), undefined);
  for (const from of [less, more]) {
    if (from === undefined) continue;
    carryOver(from.rod, work.trial);
    const { status } = solveLocked(arm, on, hold.stance, lock.free, work.trial, work.rod, { ramp: false });
    if (status === "stable" || status === "slack") return true;
  }
  return false;
}
