/** Brings an arm to the bends asked for and locks its drives there: one solve a step, over a resumable state. */
import type { ArmModel } from "../arm/index.ts";
import { createRodState, type RodState, readFreeLengths, type SolveStatus, solveHeld, solveLocked } from "../rod/index.ts";
import { findToolPoint } from "./measure-uses.ts";
import { type CapacityWork, carryOver, type Hold, loadOf } from "./model.ts";

/** Plain data. */
export interface LockState {
  /** `bending`: on the way to the bends; `loading`: locked without load, which now comes on; `failed`: see `status` */
  stage: "bending" | "loading" | "locked" | "failed";
  /** of the last solve */
  status: SolveStatus;
  /** share of bends or load that is reached, and the next step of it */
  share: number;
  step: number;
  /** the shape reached; once locked, with weight, tool and forces on */
  readonly rod: RodState;
  /** [cable] free length over the free spans, m */
  readonly free: Float64Array;
  /** [3] tool point when the drives were locked, m, world */
  readonly tip: Float64Array;
}

/** rad: bends are raised by steps that Newton follows */
const bendStep = 0.2;
const loadStep = 0.25;
const leastStep = 1 / 128;

export function createLockState(arm: ArmModel, hold: Hold): LockState {
  return {
    stage: "bending",
    status: "not-converged",
    share: 0,
    step: Math.min(1, bendStep / hold.bend.reduce((most, v) => Math.max(most, Math.abs(v)), 1e-9)),
    rod: createRodState(arm),
    free: new Float64Array(arm.cables),
    tip: new Float64Array(3),
  };
}

/** One solve; nothing happens once the stage is `locked` or `failed`. @throws InputError `solve.size`, `solve.vertebra` */
export function stepLock(arm: ArmModel, hold: Hold, lock: LockState, work: CapacityWork): void {
  if (lock.stage === "locked" || lock.stage === "failed") return;
  const share = Math.min(1, lock.share + lock.step);
  const { trial } = work;
  carryOver(lock.rod, trial);
  lock.status = lock.stage === "bending" ? bendTo(arm, hold, share, trial, work) : loadTo(arm, hold, share, lock, work);
  // on the way to the bends an unstable balance is as good a start for the next as any
  const passing = lock.status === "buckled" && lock.stage === "bending" && share < 1;
  if (lock.status === "stable" || lock.status === "slack" || passing) {
    carryOver(trial, lock.rod);
    lock.share = share;
    lock.step = Math.min(1, 1.5 * lock.step);
    if (share === 1) advance(arm, hold, lock, work);
    return;
  }
  lock.step = (share - lock.share) / 2;
  if (lock.status === "buckled" || lock.step < leastStep) lock.stage = "failed";
}

function advance(arm: ArmModel, hold: Hold, lock: LockState, work: CapacityWork): void {
  if (lock.stage === "loading") {
    lock.stage = "locked";
    return;
  }
  readFreeLengths(arm, lock.rod, work.rod, lock.free);
  findToolPoint(arm, work.rod, lock.tip);
  if (hold.lockedAt === "carrying") {
    lock.stage = "locked";
    return;
  }
  lock.stage = "loading";
  lock.share = 0;
  lock.step = loadStep;
}

function bendTo(arm: ArmModel, hold: Hold, share: number, trial: RodState, work: CapacityWork): SolveStatus {
  for (let k = 0; k < work.bend.length; k++) work.bend[k] = share * (hold.bend[k] as number);
  return solveHeld(arm, loadOf(hold, hold.lockedAt === "carrying" ? 1 : 0), hold.stance, work.bend, trial, work.rod).status;
}

function loadTo(arm: ArmModel, hold: Hold, share: number, lock: LockState, work: CapacityWork): SolveStatus {
  return solveLocked(arm, loadOf(hold, share), hold.stance, lock.free, work.trial, work.rod, { ramp: false }).status;
}
