/** What the rod model says would be read off in a row of a table. */
import { type ArmModel, cablesRub } from "../arm/index.ts";
import { pointOf } from "../math/index.ts";
import {
  createInspection,
  createRodState,
  createRodWork,
  driveTension,
  type Inspection,
  inspectShape,
  type Load,
  type RodState,
  type RodWork,
  readFreeLengths,
  type SolveStatus,
  type Stance,
  setRodState,
  slideCables,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../rod/index.ts";
import { arrived, drawOn, settleRub } from "./follow-rub.ts";
import type { MeasuredRow, Reading, Rig } from "./model.ts";
import { hang, stanceOf } from "./pose-row.ts";
import { hasPlay, settlePlay } from "./settle-play.ts";

/** The shapes of a row as they were solved last: the next ones start from them. Plain data. */
export interface RowState {
  /** straight at the pretension, unloaded (`draw`), or bent so under its own weight (`bend`), or under it at the tensions held (`hold`) */
  readonly before: RodState;
  /** with the row's load on */
  readonly loaded: RodState;
  /** there are shapes to start from */
  warm: boolean;
}

export interface PredictWork {
  readonly rod: RodWork;
  readonly inspection: Inspection;
  readonly free: Float64Array;
  readonly bend: Float64Array;
  readonly base: Float64Array;
  /** [3] tool point without and with the row's load, m */
  readonly bare: Float64Array;
  readonly point: Float64Array;
}

export function createRowState(arm: ArmModel): RowState {
  return { before: createRodState(arm), loaded: createRodState(arm), warm: false };
}

/** Serves every arm of the same layout. */
export function createPredictWork(arm: ArmModel): PredictWork {
  return {
    rod: createRodWork(arm),
    inspection: createInspection(arm),
    free: new Float64Array(arm.cables),
    bend: new Float64Array(2 * arm.sections),
    base: new Float64Array(12),
    bare: new Float64Array(3),
    point: new Float64Array(3),
  };
}

/** rad: bends are raised by steps that Newton follows */
const bendStep = 0.2;

/**
 * @param state start and result; after a solve that did not arrive it is cold again
 * @param previous the row before in the same table, just predicted with the same arm: where cables rub, drives go on from there
 * @param out [reading] written from `at` on; NaN for all when no balance was found
 * @returns the worst status met
 */
export function predictRow(
  arm: ArmModel,
  rig: Rig,
  row: MeasuredRow,
  state: RowState,
  previous: { readonly row: MeasuredRow; readonly state: RowState } | undefined,
  work: PredictWork,
  out: Float64Array,
  at: number,
): SolveStatus {
  const stance = stanceOf(rig, row, work.base);
  const weight: Load = { gravity: rig.gravity, forces: [] };
  const load: Load = { gravity: rig.gravity, forces: hang(arm, rig, row, work.base) };
  const anew = !state.warm || cablesRub(arm);
  if (anew) for (const s of [state.before, state.loaded]) setRodState(s, createRodState(arm));
  if (cablesRub(arm) && row.way !== "draw" && !arrived(startRub(arm, row, stance, state.before, work))) {
    out.fill(Number.NaN, at, at + row.readings.length);
    return "not-converged";
  }
  let status = solveBefore(arm, row, stance, weight, state, work);
  if (arrived(status)) {
    if (anew) setRodState(state.loaded, state.before);
    status =
      cablesRub(arm) && row.way === "draw"
        ? drawOn(arm, row, stance, load, state.loaded, previous, work)
        : solveLoaded(arm, row, stance, load, state, work);
  }
  state.warm = arrived(status);
  if (!state.warm) {
    out.fill(Number.NaN, at, at + row.readings.length);
    return status;
  }
  inspectShape(arm, state.loaded, work.rod, work.inspection);
  findPoint(arm, work, work.point);
  row.readings.forEach((reading, k) => {
    out[at + k] = readOff(arm, rig, reading, state, work);
  });
  return status;
}

/** Straight and unloaded, as the cables were drawn taut: from here on what slides through the holes counts. */
function startRub(arm: ArmModel, row: MeasuredRow, stance: Stance, state: RodState, work: PredictWork): SolveStatus {
  const bare: Load = { gravity: [0, 0, 0], forces: [], toolShare: 0 };
  if (row.way === "hold") state.tension.fill(row.hold);
  work.bend.fill(0);
  const { status } =
    row.way === "hold" ? solveTensions(arm, bare, stance, state, work.rod) : solveHeld(arm, bare, stance, work.bend, state, work.rod);
  slideCables(arm, state, work.rod);
  state.grip.fill(0);
  return status;
}

/** The shape before the load, its tool point into `work.bare`, and what the drives keep into `work.free`. */
function solveBefore(arm: ArmModel, row: MeasuredRow, stance: Stance, weight: Load, state: RowState, work: PredictWork): SolveStatus {
  const { before } = state;
  const { rod } = work;
  if (row.way === "hold") {
    before.tension.fill(row.hold);
    const status = settlePlay(arm, before, (at) =>
      settleRub(arm, before, rod, () => solveTensions(at, weight, stance, before, rod).status),
    );
    if (arrived(status)) findPoint(arm, work, work.bare);
    return status;
  }
  const bare: Load = row.way === "draw" ? { gravity: [0, 0, 0], forces: [], toolShare: 0 } : weight;
  const most = row.way === "draw" ? 0 : row.bend.reduce((largest, v) => Math.max(largest, Math.abs(v)), 0);
  const steps = state.warm ? 1 : Math.max(1, Math.ceil(most / bendStep));
  let status: SolveStatus = "not-converged";
  for (let k = 1; k <= steps; k++) {
    for (let j = 0; j < work.bend.length; j++) work.bend[j] = row.way === "draw" ? 0 : ((row.bend[j] as number) * k) / steps;
    status = solveHeld(arm, bare, stance, work.bend, before, rod).status;
    if (status === "not-converged") return status;
    if (row.way === "bend" && k < steps) slideCables(arm, before, rod);
  }
  if (row.way === "bend" && (cablesRub(arm) || hasPlay(arm)))
    status = settlePlay(arm, before, (at) => settleRub(arm, before, rod, () => solveHeld(at, bare, stance, work.bend, before, rod).status));
  readFreeLengths(arm, before, rod, work.free);
  findPoint(arm, work, work.bare);
  if (row.way === "draw" && !cablesRub(arm))
    for (let c = 0; c < arm.cables; c++) work.free[c] = (work.free[c] as number) - (row.draw[c] as number);
  return status;
}

function solveLoaded(arm: ArmModel, row: MeasuredRow, stance: Stance, load: Load, state: RowState, work: PredictWork): SolveStatus {
  const { loaded } = state;
  const { rod, free } = work;
  if (row.way !== "hold")
    return settlePlay(arm, loaded, (at) => settleRub(arm, loaded, rod, () => solveLocked(at, load, stance, free, loaded, rod).status));
  loaded.tension.fill(row.hold);
  return settlePlay(arm, loaded, (at) => settleRub(arm, loaded, rod, () => solveTensions(at, load, stance, loaded, rod).status));
}

function findPoint(arm: ArmModel, work: PredictWork, out: Float64Array): void {
  pointOf(work.rod.frame, arm.spans, 0, 0, arm.description.tool.length, out);
}

function readOff(arm: ArmModel, rig: Rig, reading: Reading, state: RowState, work: PredictWork): number {
  const { point, bare } = work;
  switch (reading.name) {
    case "x":
      return point[0] as number;
    case "y":
      return point[1] as number;
    case "z":
      return point[2] as number;
    case "height":
      return above(rig, point);
    case "drop":
      return above(rig, bare) - above(rig, point);
    case "twist":
      return work.inspection.twist[arm.spans] as number;
    case "tension":
      return driveTension(arm, state.loaded, reading.index);
  }
}

function above(rig: Rig, point: Float64Array): number {
  const size = Math.sqrt(rig.gravity.reduce((sum, g) => sum + g * g, 0)) || 1;
  return -rig.gravity.reduce((sum, g, r) => sum + g * (point[r] as number), 0) / size;
}
