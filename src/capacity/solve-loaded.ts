/** A locked arm with so much of a payload on it. */
import type { ArmModel } from "../arm/index.ts";
import { principalAxes } from "../math/index.ts";
import { type Load, type RodState, solveLocked, tipCompliance } from "../rod/index.ts";
import type { LockState } from "./lock-drives.ts";
import { type CapacityWork, carryOver, type Hold, type Limits, loadOf, type Vector } from "./model.ts";

export interface PayloadRequest {
  /** [3] unit, world: the load keeps this direction; tip axes where it follows */
  readonly direction: Vector;
  /** the load turns with the tip; it keeps its direction when absent. Of a load that turns, only falling over is found, not swinging up (flutter). */
  readonly follows?: boolean;
  /** [3] where it acts, from the tool point, m, tip frame */
  readonly offset: Vector;
  /** [3] couple that grows with the load, m: N m a newton of it, in the axes of its direction; none when absent */
  readonly couple?: Vector;
  readonly limits: Limits;
  /** [1] largest load that did, and least that did not hold are this near in the end, of the latter, 1, 1e-9 to 0.5 */
  readonly tolerance: number;
  /** [1] N: no more is tried */
  readonly most: number;
}

/** Drives locked, so much of the payload on, N; into `work.trial`. */
export function solveLoaded(
  arm: ArmModel,
  hold: Hold,
  request: PayloadRequest,
  lock: LockState,
  from: RodState,
  load: number,
  mostSteps: number,
  work: CapacityWork,
): "stable" | "slack" | "buckled" | "not-converged" {
  carryOver(from, work.trial);
  const { status } = solveLocked(arm, loadedBy(arm, hold, request, load), hold.stance, lock.free, work.trial, work.rod, {
    ramp: false,
    mostSteps,
  });
  return status === "jammed" ? "not-converged" : status;
}

/** What of a payload makes its wrench. */
export type Loading = Pick<PayloadRequest, "direction" | "offset" | "follows" | "couple">;

/** What is on with so much of the payload, N. */
export function loadedBy(arm: ArmModel, hold: Hold, { direction, offset, follows, couple }: Loading, load: number): Load {
  const [x, y, z] = direction.map((d) => load * d) as [number, number, number];
  const [p, q, r] = (couple ?? [0, 0, 0]).map((m) => load * m) as [number, number, number];
  const [a, b, c] = offset;
  const reach = c + arm.description.tool.length;
  if (follows !== true) {
    const forces = [...hold.forces, { vertebra: arm.spans, force: [x, y, z] as const, at: [a, b, reach] as const }];
    return couple === undefined ? { ...loadOf(hold), forces } : { ...loadOf(hold), forces, moment: [p, q, r] };
  }
  // its moment about the last vertebra
  const moment = [b * z - reach * y + p, reach * x - a * z + q, a * y - b * x + r] as const;
  return { ...loadOf(hold), following: [...moment, x, y, z] };
}

/** Steps below a load at which the tip's stiffness is looked at, and how far on it may come to nothing: shares of the load. */
const below = 5e-3;
const onwards = 0.05;

/**
 * Whether the softest way of the tip has lost, or is about to lose, all its stiffness: from a little below the load to it the stiffness
 * falls so that, gone on straight, it is nothing within a few per cent more. So it is where an arm buckles or tips over.
 *
 * @param from shape that holds at `load`, N
 */
export function losesStiffness(
  arm: ArmModel,
  hold: Hold,
  request: PayloadRequest,
  lock: LockState,
  from: RodState,
  load: number,
  work: CapacityWork,
): boolean {
  const [less, at] = [(1 - below) * load, load].map((n) => leastStiffness(arm, hold, request, lock, from, n, work)) as [number, number];
  // at + (at - less) / (below load) * onwards load <= 0
  return load > 0 && at < less && at * below <= (less - at) * onwards;
}

function leastStiffness(
  arm: ArmModel,
  hold: Hold,
  request: PayloadRequest,
  lock: LockState,
  from: RodState,
  load: number,
  work: CapacityWork,
): number {
  const status = solveLoaded(arm, hold, request, lock, from, load, 60, work);
  if (status !== "stable" && status !== "slack") return Number.NaN;
  const compliance = new Float64Array(36);
  tipCompliance(arm, work.trial, "locked", work.rod, compliance);
  const block = [3, 4, 5].flatMap((r) => [3, 4, 5].map((c) => ((compliance[6 * r + c] as number) + (compliance[6 * c + r] as number)) / 2));
  const values = new Float64Array(3);
  principalAxes(block, values, new Float64Array(9));
  return 1 / (values[0] as number);
}
