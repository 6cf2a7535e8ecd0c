/** What an arm can carry, and what it does when something breaks: the words and the memory that all verbs here share. */
import type { ArmModel } from "../arm/index.ts";
import {
  createDeadBand,
  createInspection,
  createRodState,
  createRodWork,
  type DeadBand,
  type Fluid,
  type Inspection,
  type Load,
  type PointForce,
  type RodState,
  type RodWork,
  type Stance,
  setRodState,
} from "../rod/index.ts";

export type Vector = readonly [number, number, number];

/** How the arm stands when its drives are locked. From then on the free length of every cable stays what it is. */
export interface Hold {
  readonly stance: Stance;
  /** [section, 2] bend that the drives hold when they are locked, rad */
  readonly bend: Float64Array;
  /** [3] m/s^2, world; acts on the arm and its tool whenever the drives are locked or a payload is on */
  readonly gravity: Vector;
  /** forces that are on beside the weight, before any payload */
  readonly forces: readonly PointForce[];
  /** what the arm stands in; air when absent. Swings leave out the water that moves with it. */
  readonly fluid?: Fluid;
  /**
   * `carrying`: weight, tool and forces are on when the drives are locked at the bends asked for. `unloaded`: they are locked
   * without, and weight, tool and forces come on afterwards, so that the arm sags away from those bends.
   */
  readonly lockedAt: "unloaded" | "carrying";
}

/** What ends a payload beside the arm's own limits. */
export interface Limits {
  /** [1] how far the tool point may come from where it was when the drives were locked, m, > 0; no limit when absent */
  readonly sag?: number;
  /** [1] share of the cables' working loads that may be used, 1, > 0; 1 when absent */
  readonly cableShare?: number;
}

/**
 * The first thing that fails. `cable`: working load; `stop`: a joint meets its stop; `strain`: a rod's allowed strain; `sag`: the
 * tolerance asked for; `unstable`: some motion of the arm costs no energy, or its shape leaps to another one.
 */
export type LimitKind = "cable" | "stop" | "strain" | "sag" | "unstable";

/**
 * How near a solved shape is to every limit: demand over limit, and where (cable or span, -1 for none). A cable's demand is its greatest
 * tension from the drive to its end, friction as high as it may be and whichever way it slid last. Plain data.
 */
export interface Uses {
  cable: number;
  cableAt: number;
  stop: number;
  stopAt: number;
  strain: number;
  strainAt: number;
  sag: number;
  /** distance of the tool point from where it was when the drives were locked, m */
  moved: number;
}

/** Everything the verbs here write. Made once from the arm, one a thread; nothing in it changes a result. It serves the arm at any pretension. */
export interface CapacityWork {
  readonly rod: RodWork;
  readonly trial: RodState;
  readonly inspection: Inspection;
  readonly band: DeadBand;
  /** [section, 2] */
  readonly bend: Float64Array;
  /** [3] tool point of the last shape looked at, m, world */
  readonly point: Float64Array;
  readonly uses: Uses;
}

export function createCapacityWork(arm: ArmModel): CapacityWork {
  return {
    rod: createRodWork(arm),
    trial: createRodState(arm),
    inspection: createInspection(arm),
    band: createDeadBand(arm),
    bend: new Float64Array(2 * arm.sections),
    point: new Float64Array(3),
    uses: createUses(),
  };
}

export function createUses(): Uses {
  return { cable: 0, cableAt: -1, stop: 0, stopAt: -1, strain: 0, strainAt: -1, sag: 0, moved: 0 };
}

/**
 * Weight, forces and fluid as they act on a held arm.
 *
 * @param share of all of them that is on, 0 to 1; lift goes with the weight, drag with the square of the current
 */
export function loadOf(hold: Hold, share = 1): Load {
  const scale = (v: Vector, by: number): Vector => [by * v[0], by * v[1], by * v[2]];
  const gravity = scale(hold.gravity, share);
  if (share === 0) return { gravity, forces: [] };
  const forces = share === 1 ? hold.forces : hold.forces.map((f) => ({ ...f, force: scale(f.force, share) }));
  const { fluid } = hold;
  if (fluid === undefined) return { gravity, forces };
  const { current } = fluid;
  if (current === undefined || share === 1) return { gravity, forces, fluid };
  return { gravity, forces, fluid: { ...fluid, current: { ...current, velocity: scale(current.velocity, Math.sqrt(share)) } } };
}

/** All of one state into another. */
export function carryOver(from: RodState, to: RodState): void {
  setRodState(to, from);
}

/** Length of the straight arm beyond its guide's exit, to the tool point, m. */
export function lengthOut(arm: ArmModel, stance: Stance): number {
  return (arm.along[arm.spans] as number) + arm.description.tool.length - stance.exit;
}
