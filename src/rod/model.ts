/**
 * What the loaded shape depends on, and what a solve carries along.
 *
 * Frames are [12]: rotation row-major (9), then position (3); `world = R * local + p`. A small motion of a frame is
 * (rotation; translation) in the frame's own axes, [6]. Strains of a span are (ux, uy, uz, e), [4].
 */
import type { ArmModel } from "../arm/index.ts";
import type { DistanceField } from "../math/index.ts";

/**
 * How a solve ended. `stable`: balanced, and every small motion costs energy. `slack`: the same with at least one cable
 * without tension. `buckled`: balanced, but some motion costs none. `jammed`: no balance was found; walls
 * hold it against its commands, so that among softer ones a cable would break several times over, or they are too rough for it to slide,
 * though on smoother ones it does. `not-converged`: no balance was found.
 * Only `stable` and `slack` shapes may be shown as results.
 */
export type SolveStatus = "stable" | "slack" | "buckled" | "jammed" | "not-converged";

/** A force that keeps its direction in the world, on a vertebra. */
export interface PointForce {
  /** index of the vertebra, 1 to spans */
  readonly vertebra: number;
  /** [3] N, world */
  readonly force: readonly [number, number, number];
  /** [3] where it acts, m, vertebra frame */
  readonly at: readonly [number, number, number];
}

/**
 * A fluid about the arm: it lifts by what is displaced, and its current drags. Interiors are flooded. Added mass and
 * moving water's lift are left out: the arm stands still.
 */
export interface Fluid {
  /** kg/m^3, >= 0 */
  readonly density: number;
  /** the free surface; all is immersed when absent */
  readonly surface?: {
    /** [3] any place on it, m, world */
    readonly at: readonly [number, number, number];
    /** [3] unit, out of the fluid; against gravity when there is any */
    readonly up: readonly [number, number, number];
  };
  /** a box that it is in alone; everywhere when absent. Its walls are the machine's: a part is as deep in it as a ball is, and no face pushes */
  readonly within?: {
    /** [3] its middle, m, world; [9] rotation row-major; [3] full edges, m */
    readonly at: readonly [number, number, number];
    readonly rotation: readonly number[];
    readonly size: readonly [number, number, number];
  };
  /** what makes the drag of a current; none when absent */
  readonly current?: {
    /** [3] m/s, world */
    readonly velocity: readonly [number, number, number];
    /** of a body across the flow, on its diameter, 1, >= 0 */
    readonly dragCoefficient: number;
  };
}

/**
 * Walls that the arm may lean on. Vertebrae and tool are discs whose rims have twelve corners, each pushed out by a spring. A new
 * state takes the side of every wall that its straight shape is on: start it clear of them. What pushes is in `work.contact`.
 */
export interface Walls {
  readonly field: DistanceField;
  /** of each corner, N/m, > 0: a corner sinks in by its force over this */
  readonly stiffness: number;
  /** Coulomb's friction of an arm that slides along itself everywhere it is pressed; none when absent */
  readonly friction?: {
    /** 1, >= 0 */
    readonly coefficient: number;
    /** `in`: it is fed towards its tip, and the walls hold it back; `out`: it is drawn back */
    readonly way: "in" | "out";
  };
}

export interface Load {
  /** [3] acceleration of gravity, m/s^2, world; acts on the arm's masses and on the tool */
  readonly gravity: readonly [number, number, number];
  readonly forces: readonly PointForce[];
  /** [6] moment and force on the tip vertebra that turn with it, N m and N, tip frame */
  readonly following?: readonly [number, number, number, number, number, number];
  /** [3] moment on the tip vertebra that keeps its direction in the world, N m */
  readonly moment?: readonly [number, number, number];
  /** share of the tool's mass that is on, 1 when absent */
  readonly toolShare?: number;
  /** lifts by gravity, and drags */
  readonly fluid?: Fluid;
  /** what the arm may lean on; nothing when absent */
  readonly walls?: Walls;
}

/** Where the arm stands: its base vertebra, and how much of it is held straight by the guide. */
export interface Stance {
  /** [12] frame of vertebra 0, world */
  readonly base: Float64Array;
  /** length from vertebra 0 along the straight arm to the guide's exit, m; 0 leaves all spans free */
  readonly exit: number;
  /** roll of the base about its z from the port's axes, in which its compliance is given, rad; 0 when absent */
  readonly roll?: number;
}

/** What history decides: passed into every solve and updated by it. Plain data. */
export interface RodState {
  /** [span, 4] strains */
  readonly strain: Float64Array;
  /** [cable] tension where the cable enters the free part of the arm, N */
  readonly tension: Float64Array;
  /** [section, 2] bending effort of each section's own cables, N m (held closure) */
  readonly effort: Float64Array;
  /** [6] how far the base gives: the root of its compliance times these is the motion of the guide's exit; J^(1/2) */
  readonly base: Float64Array;
  /**
   * [rim, 5] the side of the nearest wall that each rim's middle is on: normal (into the free side), its product with a
   * place on the wall, m, and which wall; all 0 when it is not known yet. Two rims a vertebra from the first after the base on, then the tool's.
   */
  readonly side: Float64Array;
  /**
   * [span + 1, cable] how much of its friction each hole at a span's foot has mobilised, and last the conduit: 1 where the cable is drawn in
   * through it, towards the drive, -1 where it is let out, between where it has not slid far enough yet. Solves take it as it is; `slideCables` moves it on.
   */
  readonly grip: Float64Array;
  /** [span, cable] length of unstretched cable beyond each of these holes when the grips were moved on last, m */
  readonly run: Float64Array;
}

export interface SolveReport {
  readonly status: SolveStatus;
  readonly iterations: number;
  /** size of the last Newton step: greatest change of a joint angle, rad */
  readonly step: number;
  /** independent directions in which the shape would leave its balance; 0 when stable */
  readonly unstable: number;
  /** it left an unstable balance on the way and settled in a stable one */
  readonly escaped: boolean;
  /** when jammed by the walls' friction: coefficient up to which it slides, 1; when absent, they hold it against the bends asked for */
  readonly slidesTo?: number;
}

/** Newton's limits, all optional. */
export interface SolveOptions {
  /** stop when no joint moves more than this, rad */
  readonly tolerance?: number;
  readonly mostSteps?: number;
  /** leave an unstable balance for a stable one (given tensions only); true when absent */
  readonly escape?: boolean;
  /** when no balance is found at once, let the load grow from nothing; when absent, for a state that no solve has been through */
  readonly ramp?: boolean;
  /** when none is found among rough walls, look whether they jam it (given lengths only): several solves more; true when absent */
  readonly jam?: boolean;
}

export function createRodState(arm: ArmModel): RodState {
  const state = {
    strain: arm.rest.slice(),
    tension: arm.pretension.slice(),
    effort: new Float64Array(2 * arm.sections),
    base: new Float64Array(6),
    side: new Float64Array(10 * (arm.spans + 1)),
    grip: new Float64Array((arm.spans + 1) * arm.cables),
    run: straightRun(arm),
  };
  return state;
}

/** A deep copy: the original and the copy share nothing. */
export function copyRodState(state: RodState): RodState {
  return {
    strain: state.strain.slice(),
    tension: state.tension.slice(),
    effort: state.effort.slice(),
    base: state.base.slice(),
    side: state.side.slice(),
    grip: state.grip.slice(),
    run: state.run.slice(),
  };
}

/** Overwrites one state by another of the same arm. */
export function setRodState(to: RodState, from: RodState): void {
  to.strain.set(from.strain);
  to.tension.set(from.tension);
  to.effort.set(from.effort);
  to.base.set(from.base);
  to.side.set(from.side);
  to.grip.set(from.grip);
  to.run.set(from.run);
}

/** Cable beyond each hole of the straight arm at no tension. */
function straightRun(arm: ArmModel): Float64Array {
  const run = new Float64Array(arm.spans * arm.cables);
  for (let c = 0; c < arm.cables; c++) {
    const end = arm.firstSpan[(arm.sectionOfCable[c] as number) + 1] as number;
    let beyond = 0;
    for (let i = end - 1; i >= 0; i--) run[i * arm.cables + c] = beyond += arm.flexible[i] as number;
  }
  return run;
}
