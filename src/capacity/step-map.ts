/** Payloads over directions, lengths out and pretensions: one solve a step, over a resumable state. */
import type { ArmDescription, ArmModel } from "../arm/index.ts";
import { rollFrame } from "../math/index.ts";
import type { Fluid, PointForce } from "../rod/index.ts";
import { checkMapRequest } from "./check-request.ts";
import { createLockState, type LockState, stepLock } from "./lock-drives.ts";
import { type CapacityWork, createCapacityWork, type Hold, type Limits, type Vector } from "./model.ts";
import type { PayloadRequest } from "./solve-loaded.ts";
import { createPayloadState, type Payload, type PayloadState, readPayload, stepPayload } from "./step-payload.ts";

export interface MapRequest {
  /** [12] frame at the guide's exit, z out of it, world */
  readonly exit: Float64Array;
  /** [section, 2] rad; those of a section in the guide are not read */
  readonly bend: Float64Array;
  /** [3] m/s^2, world */
  readonly gravity: Vector;
  /** on beside the weight, before any payload; none when absent */
  readonly forces?: readonly PointForce[];
  /** what the arm stands in; air when absent */
  readonly fluid?: Fluid;
  readonly lockedAt: "unloaded" | "carrying";
  /** each [3] unit, world */
  readonly directions: readonly Vector[];
  /** [3] where the load acts, from the tool point, m, tip frame; at it when absent */
  readonly offset?: Vector;
  /** each: such a place, as a mass hung off the axis; instead of `offset` */
  readonly offsets?: readonly Vector[];
  /** each: guide's exit to tool point along the straight arm, m */
  readonly lengths: readonly number[];
  /** each: least tension of every cable when the drives are locked, N; the arm's own when absent */
  readonly pretensions?: readonly number[];
  readonly limits: Limits;
  /** 1e-3 when absent */
  readonly tolerance?: number;
  /** N; 1e6 when absent */
  readonly most?: number;
}

/** Readonly, plain. Points go by length, then pretension, then offset, then direction. */
export interface MapModel {
  readonly request: MapRequest;
  /** one a pretension */
  readonly arms: readonly ArmModel[];
  readonly points: number;
}

export interface MapPoint extends Payload {
  /** m */
  readonly length: number;
  /** N; NaN: the arm's own, which may differ from section to section */
  readonly pretension: number;
  readonly direction: Vector;
  /** [3] m, from the tool point, tip frame */
  readonly offset: Vector;
}

/** Plain data. */
export interface MapState {
  lock: LockState | undefined;
  payload: PayloadState | undefined;
  points: MapPoint[];
  done: boolean;
  /** 0 to 1 */
  progress: number;
}

/** @throws InputError `capacity.value` */
export function createPayloadMap(arm: ArmModel, request: MapRequest): MapModel {
  checkMapRequest(arm, request);
  const arms = request.pretensions === undefined ? [arm] : request.pretensions.map((n) => withPretension(arm, n));
  return { request, arms, points: request.lengths.length * arms.length * offsetsOf(request).length * request.directions.length };
}

export function createMapState(): MapState {
  return { lock: undefined, payload: undefined, points: [], done: false, progress: 0 };
}

export function createMapWork(model: MapModel): CapacityWork {
  return createCapacityWork(model.arms[0] as ArmModel);
}

/** One solve; nothing happens once `state.done`. */
export function stepPayloadMap(model: MapModel, state: MapState, work: CapacityWork): void {
  if (state.done) return;
  const { request } = model;
  const index = state.points.length;
  const offsets = offsetsOf(request);
  const each = request.directions.length * offsets.length;
  const direction = request.directions[index % request.directions.length] as Vector;
  const offset = offsets[Math.floor(index / request.directions.length) % offsets.length] as Vector;
  const place = Math.floor(index / each);
  const arm = model.arms[place % model.arms.length] as ArmModel;
  const length = request.lengths[Math.floor(place / model.arms.length)] as number;
  const hold = holdAt(arm, request, length);
  state.lock ??= createLockState(arm, hold);
  if (state.lock.stage !== "locked" && state.lock.stage !== "failed") {
    stepLock(arm, hold, state.lock, work);
    return;
  }
  state.payload ??= createPayloadState(arm);
  stepPayload(arm, hold, payloadRequest(request, direction, offset), state.lock, state.payload, work);
  if (state.payload.stage !== "done") return;
  const pretension = request.pretensions?.[place % model.arms.length] ?? Number.NaN;
  state.points.push({ ...readPayload(state.payload), length, pretension, direction, offset });
  state.payload = undefined;
  if (state.points.length % each === 0) state.lock = undefined;
  state.progress = state.points.length / model.points;
  state.done = state.points.length === model.points;
}

/** How the arm stands with this length of it out of the guide. */
export function holdAt(
  arm: ArmModel,
  request: Pick<MapRequest, "exit" | "bend" | "gravity" | "forces" | "fluid" | "lockedAt">,
  length: number,
): Hold {
  const inside = Math.max(0, (arm.along[arm.spans] as number) + arm.description.tool.length - length);
  const base = new Float64Array(12);
  rollFrame(request.exit, 0, -inside, base);
  return {
    stance: { base, exit: inside },
    bend: request.bend,
    gravity: request.gravity,
    forces: request.forces ?? [],
    ...(request.fluid === undefined ? {} : { fluid: request.fluid }),
    lockedAt: request.lockedAt,
  };
}

function offsetsOf(request: MapRequest): readonly Vector[] {
  return request.offsets ?? [request.offset ?? [0, 0, 0]];
}

function payloadRequest(request: MapRequest, direction: Vector, offset: Vector): PayloadRequest {
  return {
    direction,
    offset,
    limits: request.limits,
    tolerance: request.tolerance ?? 1e-3,
    most: request.most ?? 1e6,
  };
}

/** The same arm with all its cables held at another pretension, N. */
export function withPretension(arm: ArmModel, pretension: number): ArmModel {
  const description: ArmDescription = {
    ...arm.description,
    sections: arm.description.sections.map((section) => ({ ...section, pretension })),
  };
  return { ...arm, description, pretension: new Float64Array(arm.cables).fill(pretension) };
}
