/** What a verdict is judged from: results of the other layers, gathered by the plan. */
import type { ArmModel } from "../arm/index.ts";
import type { DriveTable } from "../drive/index.ts";
import type { DrumResult } from "../drum/index.ts";
import type { DepthRecord, RollChoice, RollRule } from "../insertion/index.ts";
import type { OutsideFact } from "../outside/index.ts";
import type { Route } from "../path/index.ts";
import type { Fluid, Temperature, Warming } from "../rod/index.ts";
import type { Body, Port, Target, Zone } from "../space/index.ts";
import type { TubeFact } from "./guide-rows.ts";
import type { Gain } from "./model.ts";

export interface SlackFact {
  /** least tension over all cables and rolls with lengths locked, N; NaN when one of the solves found no balance */
  readonly least: number;
  readonly cable: number;
  /** base roll it happens at, rad */
  readonly roll: number;
  /** what the arm and its conduits are warmer by there; as set up when absent */
  readonly at?: Warming;
}

/** Worst of the ends of the temperatures, with the drives locked as planned, over all depths of the way in. */
export interface WarmFact {
  /** greatest share of a cable's working load; the tension, N */
  readonly cable: { readonly use: number; readonly tension: number; readonly cable: number; readonly depth: number; readonly at: Warming };
  /** greatest share of a rod's allowed strain; the strain, 1, and stress, Pa */
  readonly strain: {
    readonly use: number;
    readonly strain: number;
    readonly stress: number;
    readonly span: number;
    readonly depth: number;
    readonly at: Warming;
  };
  /** greatest share of the strain at which a rod leaves its straight line, 0 where all stay straight; both strains, 1 */
  readonly line: {
    readonly use: number;
    readonly strain: number;
    readonly limit: number;
    readonly span: number;
    readonly depth: number;
    readonly at: Warming;
  };
  /** greatest motion of the tool point, m */
  readonly shift: { readonly size: number; readonly depth: number; readonly at: Warming };
  /** depths at which no balance was found */
  readonly lost: number;
}

/** What the tool sees of the place from its planned pose at the target. Plain data. */
export interface SightFact {
  /** [3] what is looked at: the surface's nearest point to the target's place, or that place where no surface is near, m, world */
  readonly place: readonly [number, number, number];
  /** from the tool point to it, and along the tool's axis, m; angle between the two, rad */
  readonly distance: number;
  readonly depth: number;
  readonly offAxis: number;
  /** [3] unit vector square to the surface; 0, 0, 0 where none is known */
  readonly normal: readonly [number, number, number];
  /** angle of the line of sight (look) or of the tool (other tasks) to that normal, rad; NaN where none is known */
  readonly tilt: number;
  /** what play, tolerances and the whole dead band may shift the tool point by, m, and turn it by, rad */
  readonly open: number;
  readonly turn: number;
  /** for a look alone */
  readonly look?: {
    /** how far the camera is taken to be off, any way: what the target allows, or what is open where that is more, m */
    readonly shift: number;
    /** how far it may shift any way with the line of sight free, m; 0 where it is cut */
    readonly room: number;
    readonly cutBy?: "body" | "arm";
    readonly vertebra?: number;
    /** body that comes nearest to the line or cuts it, -1 for none, and where, m, world */
    readonly body: number;
    readonly near: readonly [number, number, number];
    /** what a pixel covers square on at the planned distance; along the surface's tilt; the same at the worst shift, m; with a camera */
    readonly pixel?: number;
    readonly footprint?: number;
    readonly worstFootprint?: number;
  };
}

export interface Facts {
  readonly arm: ArmModel;
  readonly bodies: readonly Body[];
  /** [body] clearance asked for, m */
  readonly need: Float64Array;
  readonly port: Port;
  readonly target: Target;
  readonly limits: { readonly clearance: number; readonly sag: number; readonly twist: number; readonly deadBand?: number };
  /** how many values of the files were written with a range */
  readonly ranges: number;
  /** length of the straight guide, m: so much of the arm stays in it */
  readonly guideLength: number;
  /** what happens outside when the base rolls; the pack rolls with the arm when undefined */
  readonly roll?: RollRule | undefined;
  /** what the machine is filled with, as the shapes were computed; undefined when the job does not say */
  readonly fluid: Fluid | "dry" | undefined;
  /** what the reader of the files asks the user to confirm */
  readonly remarks: readonly string[];
  readonly route: Route;
  /** the narrowest and sharpest the route was asked for: reserve beyond the job's clearance (m) and bend radius (m) */
  readonly routeReserve: number;
  readonly wayIn: readonly DepthRecord[];
  readonly wayOut: readonly DepthRecord[];
  /** why the insertion stopped short; empty when it did not */
  readonly failure: string;
  readonly branchGap: { readonly shape: number; readonly tension: number; readonly depth: number; readonly explained: number };
  readonly slack: SlackFact | undefined;
  /** what the job says of temperature; undefined when it says nothing */
  readonly temperature?: Temperature | undefined;
  /** coefficient of the arm on what it leans on, as the shapes were computed, 1; undefined when the job does not say */
  readonly wallFriction?: number | undefined;
  readonly warm?: WarmFact | undefined;
  /** the room outside the port; undefined when the job says nothing of it */
  readonly outside?: OutsideFact | undefined;
  /** hot and dose zones of the job */
  readonly zones?: readonly Zone[] | undefined;
  /** how long the tool stays at the target, s, and how fast the arm is fed, m/s; undefined when the job does not say */
  readonly stay?: number | undefined;
  readonly feedRate?: number | undefined;
  /** the arm wound up on its drum and paid out; undefined when it has none, or before it was looked at */
  readonly drum?: DrumResult | undefined;
  /** what the tool sees at the target; undefined before it is there */
  readonly sight?: SightFact | undefined;
  /** [cable] way of the tool point a metre of it drawn in at the target, the other drives locked, 1; undefined before it is known, or where nothing asks for it */
  readonly tug?: readonly number[] | undefined;
  /** what the drives have to do; undefined before anything was laid */
  readonly drives?: DriveTable | undefined;
  /** the guide tube; undefined where there is none */
  readonly tube?: TubeFact | undefined;
  /** how the arm is turned in its guide before it goes in; undefined where it goes in as it is */
  readonly turned?: RollChoice | undefined;
  /** whether the arm comes off its drum */
  readonly fromDrum?: boolean;
  /** by row id */
  readonly gains: Readonly<Record<string, readonly Gain[]>>;
  /** by row id: one standard deviation of what was found, for what is not known of the arm; undefined when nothing says how well it is known */
  readonly spreads?: Readonly<Record<string, number>> | undefined;
}
