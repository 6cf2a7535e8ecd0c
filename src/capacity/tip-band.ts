/** How far friction lets the tool point stand from where it was put, drives locked. */
import type { ArmModel } from "../arm/index.ts";
import { findDeadBand, solveLocked } from "../rod/index.ts";
import type { LockState } from "./lock-drives.ts";
import { type CapacityWork, carryOver, type Hold, loadOf } from "./model.ts";

/** Plain data. Bounds, to first order; 0 without friction. */
export interface TipBand {
  /** of the tool point, m, and of the tool's axis, rad: nobody knows which way any cable slid last */
  readonly shift: number;
  readonly turn: number;
}

/** @param lock must be `locked`; undefined when it is not, or the band is not known */
export function tipBand(arm: ArmModel, hold: Hold, lock: LockState, work: CapacityWork): TipBand | undefined {
  if (lock.stage !== "locked") return undefined;
  const { trial, rod, band } = work;
  carryOver(lock.rod, trial);
  const { status } = solveLocked(arm, loadOf(hold), hold.stance, lock.free, trial, rod, { ramp: false });
  if ((status !== "stable" && status !== "slack") || !findDeadBand(arm, trial, rod, band)) return undefined;
  const turn = band.full.turn[arm.spans] as number;
  return { shift: (band.full.shift[arm.spans] as number) + arm.description.tool.length * turn, turn };
}
