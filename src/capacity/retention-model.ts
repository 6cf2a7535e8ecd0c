/** What happens to an arm when something of it fails: the words, and what such work carries along. */
import type { ArmModel } from "../arm/index.ts";
import type { RodState, SolveStatus } from "../rod/index.ts";
import type { LockState } from "./lock-drives.ts";
import type { Hold, LimitKind, Uses } from "./model.ts";

/**
 * Readonly, plain. Cases go: every cable broken, every drive stalled where that is asked for, then the power lost with the drives
 * locked, then with the drives let go.
 */
export interface RetentionModel {
  readonly arm: ArmModel;
  readonly hold: Hold;
  /** 1 + overshoot of a sudden change: 2 without damping */
  readonly sudden: number;
  /** [section, 2] bends, rad, that the other drives go to while one stalls; none is stalled when absent */
  readonly sentTo: Float64Array | undefined;
  /** stalled drives alone are looked at */
  readonly stallsAlone: boolean;
}

/** What becomes of a stalled drive's arm while the other drives go where they were sent. */
export interface Stall {
  /** share of their way that they have gone when the first limit is passed, and its name; 1 and none when none is */
  readonly share: number;
  readonly limit: LimitKind | undefined;
  /** cable or span of that limit, -1 for none */
  readonly at: number;
  /** how far the tool point is in the end from where all drives would have brought it, m */
  readonly astray: number;
}

export interface RetentionCase {
  /**
   * `broken`: one cable; `stalled`: one drive stays where it is while the others go elsewhere; `locked`: all power lost, drives that
   * hold; `released`: all power lost, drives that run free, no cable pulls
   */
  readonly kind: "broken" | "stalled" | "locked" | "released";
  /** -1 but for `broken` and `stalled` */
  readonly cable: number;
  /** of the shape that comes to rest; the numbers below mean something only when it is `stable` or `slack` */
  readonly status: SolveStatus;
  /** the shape leapt from one balance to another on the way */
  readonly leapt: boolean;
  /** [3] tool point, m, world, and how far it has moved, m */
  readonly point: readonly number[];
  readonly moved: number;
  /** bound on how far it moves on the first swing: `sudden` times `moved`, m; a stalled drive is no sudden thing: `moved` */
  readonly swing: number;
  /** how far it moves along gravity, m; 0 without gravity */
  readonly drop: number;
  /** the arm's lowest place: how far it lies along gravity from the guide's exit, m; 0 without gravity */
  readonly lowest: number;
  /** at rest */
  readonly uses: Uses;
  /** [cable] at rest, N */
  readonly tension: readonly number[];
  /** bound on the greatest use of any cable on the first swing */
  readonly swingCable: number;
  /** energy in the cables at rest, in rods and hoses, and what the broken cable lets go, J */
  readonly stored: number;
  readonly storedInRods: number;
  readonly lost: number;
  /** [vertebra, 3] the shape at rest, m, world */
  readonly shape: readonly number[];
  /** of a `stalled` drive */
  readonly stall?: Stall;
}

/** Plain data. */
export interface RetentionState {
  lock: LockState | undefined;
  /** [3] tool point and J of all cables before anything breaks */
  readonly point: Float64Array;
  stored: number;
  storedInRods: number;
  /** the drives where they are sent, when one is to stall */
  goal: LockState | undefined;
  /** [3] tool point there, m, world */
  readonly goalPoint: Float64Array;
  /** [vertebra, 3] the carrying shape, and the one that the drives are sent to, m, world; empty until they are found */
  startShape: readonly number[];
  goalShape: readonly number[];
  /** the case at hand: the shape reached, its tool point, how far it has gone (m let out, or share of the tensions), and its next step */
  rod: RodState | undefined;
  readonly lastPoint: Float64Array;
  reached: number;
  step: number;
  leapt: boolean;
  /** first limit that a stalled drive's arm has passed, and the share of the way gone by then */
  limit: LimitKind | undefined;
  limitAt: number;
  limitShare: number;
  cases: RetentionCase[];
  done: boolean;
  progress: number;
  /** of the carrying shape; no case is looked at when it is not stable */
  status: SolveStatus;
}

/**
 * @param damping share of critical of the arm's first swing, 0 to 1; none when absent, which bounds all others
 * @param sentTo [section, 2] bends that the other drives go to while one stalls, rad; no drive is stalled when absent
 * @param stallsAlone leaves the cables that break and the power that is lost out; false when absent
 */
export function createRetention(arm: ArmModel, hold: Hold, damping = 0, sentTo?: Float64Array, stallsAlone = false): RetentionModel {
  // overshoot of a damped oscillator after a step
  const sudden = damping >= 1 ? 1 : 1 + Math.exp((-Math.PI * damping) / Math.sqrt(1 - damping * damping));
  return { arm, hold, sudden, sentTo, stallsAlone };
}

export function createRetentionState(): RetentionState {
  return {
    lock: undefined,
    point: new Float64Array(3),
    stored: 0,
    storedInRods: 0,
    goal: undefined,
    goalPoint: new Float64Array(3),
    startShape: [],
    goalShape: [],
    rod: undefined,
    lastPoint: new Float64Array(3),
    reached: 0,
    step: 0,
    leapt: false,
    limit: undefined,
    limitAt: -1,
    limitShare: 1,
    cases: [],
    done: false,
    progress: 0,
    status: "not-converged",
  };
}
