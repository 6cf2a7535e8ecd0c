/**
 * One backbone against two: sag and twist of the same arm under the same load, drives locked before the load comes on, by the full model.
 * One solve a step, over a resumable state.
 */
import { type ArmDescription, type ArmModel, createArm } from "../arm/index.ts";
import type { SolveStatus } from "../rod/index.ts";
import { createLockState, type LockState, stepLock } from "./lock-drives.ts";
import { measureUses } from "./measure-uses.ts";
import { type CapacityWork, createCapacityWork, createUses, type Hold, type Uses } from "./model.ts";
import { type Backbone, type BackboneKind, listBackbones } from "./swap-backbone.ts";

/** Readonly, plain. Rows go by hold, then backbone. */
export interface BackboneModel {
  readonly backbones: readonly Backbone[];
  /** one a backbone */
  readonly arms: readonly ArmModel[];
  readonly holds: readonly Hold[];
}

/** Plain data. The numbers mean something only when the status is `stable` or `slack`. */
export interface BackboneRow {
  readonly kind: BackboneKind;
  /** index into the holds */
  readonly hold: number;
  readonly status: SolveStatus;
  /** share of weight, tool and forces that it carries: 1, or less where it falls before all is on */
  readonly share: number;
  /** way of the tool point as weight, tool and forces come on, m */
  readonly sag: number;
  /** twist gathered from the guide's exit to the tip, with and without them, rad */
  readonly twist: number;
  readonly twistBefore: number;
  /** with them on */
  readonly uses: Uses;
}

/** Plain data. */
export interface BackboneState {
  lock: LockState | undefined;
  twistBefore: number;
  rows: BackboneRow[];
  done: boolean;
  /** 0 to 1 */
  progress: number;
}

/**
 * @param holds stances, bends and loads to compare at; whatever they say, drives are locked before the load comes on
 * @throws InputError `arm.*`
 */
export function createBackboneModel(description: ArmDescription, holds: readonly Hold[]): BackboneModel {
  createArm(description);
  const backbones = listBackbones(description);
  return { backbones, arms: backbones.map((b) => createArm(b.description)), holds: holds.map((h) => ({ ...h, lockedAt: "unloaded" })) };
}

export function createBackboneState(): BackboneState {
  return { lock: undefined, twistBefore: Number.NaN, rows: [], done: false, progress: 0 };
}

/** It serves all backbones: they have the same spans and cables. */
export function createBackboneWork(model: BackboneModel): CapacityWork {
  return createCapacityWork(model.arms[0] as ArmModel);
}

/** One solve; nothing happens once `state.done`. */
export function compareBackbones(model: BackboneModel, state: BackboneState, work: CapacityWork): void {
  const all = model.arms.length * model.holds.length;
  state.done ||= state.rows.length === all;
  if (state.done) return;
  const which = state.rows.length % model.arms.length;
  const arm = model.arms[which] as ArmModel;
  const at = Math.floor(state.rows.length / model.arms.length);
  const hold = model.holds[at] as Hold;
  state.lock ??= createLockState(arm, hold);
  const { lock } = state;
  const bending = lock.stage === "bending";
  stepLock(arm, hold, lock, work);
  if (bending && lock.stage === "loading") {
    measureUses(arm, {}, lock.rod, lock.tip, work);
    state.twistBefore = work.inspection.twist[arm.spans] as number;
  }
  if (lock.stage !== "locked" && lock.stage !== "failed") return;
  const stands = lock.stage === "locked";
  if (stands) measureUses(arm, {}, lock.rod, lock.tip, work);
  state.rows.push({
    kind: (model.backbones[which] as Backbone).kind,
    hold: at,
    status: stands ? lock.status : lock.status === "buckled" ? "buckled" : "not-converged",
    share: stands ? 1 : Number.isNaN(state.twistBefore) ? 0 : lock.share,
    sag: stands ? work.uses.moved : Number.NaN,
    twist: stands ? (work.inspection.twist[arm.spans] as number) : Number.NaN,
    twistBefore: state.twistBefore,
    uses: stands ? { ...work.uses } : createUses(),
  });
  state.lock = undefined;
  state.twistBefore = Number.NaN;
  state.progress = state.rows.length / all;
  state.done = state.rows.length === all;
}
