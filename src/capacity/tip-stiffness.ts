/** How the tool point gives with the drives locked: its compliance, the ellipsoid of its ways under forces, and what gives how much of it. */
import type { ArmModel } from "../arm/index.ts";
import { principalAxes } from "../math/index.ts";
import { cableGive, cableResponse, type RodWork, solveLocked, tipCompliance } from "../rod/index.ts";
import type { LockState } from "./lock-drives.ts";
import { type CapacityWork, carryOver, type Hold, loadOf, type Vector } from "./model.ts";

/**
 * Way of the tool point along a direction a unit force along it, m/N, and its parts, whose sum it is: work of the force that each takes
 * up. `backbone` holds rods, hoses and what the loads do as the shape changes; it may be below 0 where they push the arm over.
 */
export interface Give {
  /** unit, world, and the same in the tip's axes */
  readonly direction: Vector;
  readonly inTip: Vector;
  readonly give: number;
  readonly backbone: number;
  readonly strandInArm: number;
  readonly strandInConduit: number;
  readonly conduit: number;
  readonly drive: number;
  /** the arm's base, by its compliance at the guide's exit; 0 where it is rigid */
  readonly base: number;
}

/** Plain data. Holds for loads so small that no cable falls loose and none is drawn taut. */
export interface TipStiffness {
  /** [6, 6] motion of the tool point (rotation rad; translation m) a unit wrench on it (moment N m; force N), tip axes */
  readonly compliance: readonly number[];
  /** principal axes of the tool point's ways under unit forces, the softest first: half-axes of the compliance ellipsoid */
  readonly axes: readonly [Give, Give, Give];
  /** along the tool's axis; across it where it gives most and least */
  readonly along: Give;
  readonly acrossMost: Give;
  readonly acrossLeast: Give;
}

/** @param lock must be `locked`; undefined when it is not @see docs/sources.md#tip-stiffness */
export function tipStiffness(arm: ArmModel, hold: Hold, lock: LockState, work: CapacityWork): TipStiffness | undefined {
  if (lock.stage !== "locked") return undefined;
  const { trial, rod } = work;
  carryOver(lock.rod, trial);
  const { status } = solveLocked(arm, loadOf(hold), hold.stance, lock.free, trial, rod, { ramp: false });
  if (status !== "stable" && status !== "slack") return undefined;
  const atTip = new Float64Array(36);
  tipCompliance(arm, trial, "locked", rod, atTip);
  const response = new Float64Array(6 * arm.cables * (arm.spans + 1));
  cableResponse(arm, trial, "length", rod, response);
  const reach = arm.description.tool.length;
  const pulls = pullsByForce(arm, response, reach);
  const compliance = moveToTool(atTip, reach);
  const give = (direction: readonly number[]): Give => findGive(arm, compliance, pulls, direction, hold, rod);
  const block = [3, 4, 5].flatMap((r) => [3, 4, 5].map((c) => ((compliance[6 * r + c] as number) + (compliance[6 * c + r] as number)) / 2));
  const values = new Float64Array(3);
  const axes = new Float64Array(9);
  principalAxes(block, values, axes);
  const [a, b, c] = [0, 3, 6].map((k) => give([...axes.subarray(k, k + 3)])) as [Give, Give, Give];
  // across the axis: the same of the upper left 2 x 2, with the third direction far below both
  const [xx, xy, yy] = [block[0], block[1], block[4]] as [number, number, number];
  principalAxes([xx, xy, 0, xy, yy, 0, 0, 0, -Math.abs(xx) - Math.abs(yy)], values, axes);
  return {
    compliance: [...compliance],
    axes: [a, b, c],
    along: give([0, 0, 1]),
    acrossMost: give([...axes.subarray(0, 3)]),
    acrossLeast: give([...axes.subarray(3, 6)]),
  };
}

/**
 * [cable, 3] change of each tension a unit force on the tool point, tip axes: by Maxwell and Betti the way that the tool point
 * makes a unit length let out.
 */
function pullsByForce(arm: ArmModel, response: Float64Array, reach: number): Float64Array {
  const pulls = new Float64Array(3 * arm.cables);
  for (let c = 0; c < arm.cables; c++) {
    const o = 6 * (arm.spans + 1) * c + 6 * arm.spans;
    const [x, y] = [response[o] as number, response[o + 1] as number];
    pulls[3 * c] = (response[o + 3] as number) + y * reach;
    pulls[3 * c + 1] = (response[o + 4] as number) - x * reach;
    pulls[3 * c + 2] = response[o + 5] as number;
  }
  return pulls;
}

/** The compliance of the last vertebra at a point further along its z. */
function moveToTool(atTip: Float64Array, reach: number): Float64Array {
  // motion there: the translation gains rotation x reach; a force there has a moment about the vertebra
  const half = atTip.slice();
  for (let c = 0; c < 6; c++) {
    half[18 + c] = (half[18 + c] as number) + reach * (atTip[6 + c] as number);
    half[24 + c] = (half[24 + c] as number) - reach * (atTip[c] as number);
  }
  const out = half.slice();
  for (let r = 0; r < 6; r++) {
    out[6 * r + 3] = (out[6 * r + 3] as number) + reach * (half[6 * r + 1] as number);
    out[6 * r + 4] = (out[6 * r + 4] as number) - reach * (half[6 * r] as number);
  }
  return out;
}

function findGive(arm: ArmModel, compliance: Float64Array, pulls: Float64Array, d: readonly number[], hold: Hold, work: RodWork): Give {
  const { frame } = work;
  let give = 0;
  for (let r = 0; r < 3; r++)
    for (let c = 0; c < 3; c++) give += (d[r] as number) * (compliance[6 * (3 + r) + 3 + c] as number) * (d[c] as number);
  const parts = { strandInArm: 0, strandInConduit: 0, conduit: 0, drive: 0 };
  for (let c = 0; c < arm.cables; c++) {
    let pull = 0;
    for (let k = 0; k < 3; k++) pull += (pulls[3 * c + k] as number) * (d[k] as number);
    const own = cableGive(arm, c);
    for (const part of ["strandInArm", "strandInConduit", "conduit", "drive"] as const) parts[part] += pull * pull * own[part];
  }
  const o = 12 * arm.spans;
  const direction = [0, 1, 2].map((r) => {
    let sum = 0;
    for (let k = 0; k < 3; k++) sum += (frame[o + 3 * r + k] as number) * (d[k] as number);
    return sum;
  }) as unknown as Vector;
  const base = work.hasBase ? baseGive(arm, hold, direction, work) : 0;
  const backbone = give - parts.strandInArm - parts.strandInConduit - parts.conduit - parts.drive - base;
  return { direction, inTip: [d[0] as number, d[1] as number, d[2] as number], give, backbone, ...parts, base };
}

/** What the base takes up of a unit force on the tool point: the force itself and its moment about the guide's exit, whatever lies between. */
function baseGive(arm: ArmModel, hold: Hold, force: Vector, work: RodWork): number {
  const { frame, baseRoot } = work;
  const tip = 12 * arm.spans;
  const reach = arm.description.tool.length;
  const lever = [0, 1, 2].map((r) => {
    const point = (frame[tip + 9 + r] as number) + reach * (frame[tip + 3 * r + 2] as number);
    return point - (frame[9 + r] as number) - hold.stance.exit * (frame[3 * r + 2] as number);
  }) as [number, number, number];
  const moment = [
    lever[1] * force[2] - lever[2] * force[1],
    lever[2] * force[0] - lever[0] * force[2],
    lever[0] * force[1] - lever[1] * force[0],
  ] as const;
  // into the exit's own axes, as the base's compliance is
  const inExit = (v: readonly number[], k: number): number =>
    [0, 1, 2].reduce((sum, r) => sum + (frame[3 * r + k] as number) * (v[r] as number), 0);
  const wrench = [...[0, 1, 2].map((k) => inExit(moment, k)), ...[0, 1, 2].map((k) => inExit(force, k))];
  let give = 0;
  for (let k = 0; k < 6; k++) {
    let along = 0;
    for (let r = 0; r < 6; r++) along += (baseRoot[6 * r + k] as number) * (wrench[r] as number);
    give += along * along;
  }
  return give;
}
