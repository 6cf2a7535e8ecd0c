/** Where an arm comes to rest once its drives are locked: how far weight, tool and forces have moved and turned its tip. */
import type { ArmModel } from "../arm/index.ts";
import type { SolveStatus } from "../rod/index.ts";
import type { LockState } from "./lock-drives.ts";
import { distance, measureUses } from "./measure-uses.ts";
import { type CapacityWork, createUses, type Hold, type Uses } from "./model.ts";

/** Plain data. The numbers mean something only when the status is `stable` or `slack`. */
export interface Rest {
  readonly status: SolveStatus;
  /** from where the tool point was when the drives were locked, m */
  readonly moved: number;
  /** of that, along gravity, m; 0 without gravity */
  readonly drop: number;
  /** twist gathered from the guide's exit to the tip, rad */
  readonly twist: number;
  /** at rest */
  readonly uses: Uses;
}

/** @param lock as its last `stepLock` left it, `locked` or `failed`, and `work` with it */
export function readRest(arm: ArmModel, hold: Hold, lock: LockState, work: CapacityWork): Rest {
  if (lock.stage !== "locked") {
    const none = Number.NaN;
    const status = lock.status === "buckled" ? "buckled" : "not-converged";
    return { status, moved: none, drop: none, twist: none, uses: createUses() };
  }
  measureUses(arm, {}, lock.rod, lock.tip, work);
  const [x, y, z] = hold.gravity;
  const g = Math.sqrt(x * x + y * y + z * z);
  const shift = (k: number): number => (work.point[k] as number) - (lock.tip[k] as number);
  return {
    status: lock.status,
    moved: distance(work.point, lock.tip),
    drop: g === 0 ? 0 : (shift(0) * x + shift(1) * y + shift(2) * z) / g,
    twist: work.inspection.twist[arm.spans] as number,
    uses: { ...work.uses },
  };
}
