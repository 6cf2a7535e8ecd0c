/** Depth by depth: the loaded arm laid on the route, what every part of it carries there, and how near it comes to the walls. */
import type { SolveStatus } from "../rod/index.ts";

/** Everything known of the arm at one depth of feed. Plain data. */
export interface DepthRecord {
  /** arm length past the guide's exit, measured to the tool point along the straight arm, m */
  readonly depth: number;
  readonly status: SolveStatus;
  /** largest unbalanced moment of any joint, N m, re-computed apart from the solver */
  readonly residual: number;
  readonly iterations: number;
  /** base roll, rad */
  readonly roll: number;
  /** index of the first vertebra past (or at) the guide's exit; those before it are straight in the guide */
  readonly firstFree: number;
  /** [vertebra, 12] frames of all vertebrae from the base: rotation row-major (9), then position (3), m, world */
  readonly frames: Float64Array;
  /** [3] tool point, m, world */
  readonly tool: Float64Array;
  /** [section, 2] bend of each section, rad: mean turn about the arm's x and y */
  readonly bend: Float64Array;
  /** [cable] N */
  readonly tension: Float64Array;
  /** [cable] pulled in since the arm was straight and slack, stretch of the strand included, m (> 0: drawn in) */
  readonly drawn: Float64Array;
  /** [vertebra] guaranteed least clearance of each vertebra's hull, keep taken off, m; +Infinity inside the guide */
  readonly clearance: Float64Array;
  /** [vertebra] body nearest to it, -1 for none */
  readonly nearest: Int32Array;
  /** least of `clearance` at this depth, and between this depth and the one before it (motion bound taken off), m */
  readonly leastClearance: number;
  readonly sweptClearance: number;
  /** [span] joint angle, rad */
  readonly jointAngle: Float64Array;
  /** [span] greatest rod strain, 1 */
  readonly strain: Float64Array;
  /** [vertebra] twist of the arm about its axis, gathered from the exit, rad */
  readonly twist: Float64Array;
  /** tip motion between gravity and tool on and off with the drives locked, m */
  readonly sag: number;
  /** distance of the vertebrae from the route: rms and greatest, m */
  readonly deviation: readonly [number, number];
}

/** How the margins between two depths were bounded. */
export interface SweepBound {
  /** sideways motion allowed for between neighbouring depths, m */
  readonly allowance: number;
  /** depths re-solved between the samples to confirm it */
  readonly confirmed: number;
}
