/** What the page asks about an arm as it stands, and what comes back point by point. Plain data, SI. */
import type { ArmDescription } from "../../src/arm/index.ts";
import type { Fault } from "../../src/base/index.ts";
import type { BackboneKind, BackboneRow, Payload, Rest, RetentionCase, Swing } from "../../src/capacity/index.ts";
import type { Fluid } from "../../src/rod/index.ts";

/** How the arm lies: straight and level, along the axis of the job's port, down, or up; or bent as the plan lays it, depth by depth. */
export type Lie = "level" | "port" | "hanging" | "standing" | "planned";

/** A shape of the plan. */
export interface Pose {
  /** [12] frames of the first and the last vertebra */
  readonly base: Float64Array;
  readonly tip: Float64Array;
  /** [section, 2] rad */
  readonly bend: Float64Array;
  /** m out of the guide */
  readonly depth: number;
}

/** Seen from behind along the arm's end; of one along gravity `down` is its own y and `right` its own x. */
export type LoadWay = "down" | "up" | "left" | "right" | "outwards" | "inwards";

export interface ArmAsk {
  readonly arm: ArmDescription;
  /** [3] m/s^2, world */
  readonly gravity: readonly [number, number, number];
  /** [3] m and unit, world, where the guide ends and into the machine */
  readonly portCentre: readonly [number, number, number];
  readonly portAxis: readonly [number, number, number];
  /** what the arm is in; air when absent. An arm that lies straight is all of it in it. */
  readonly fluid?: Fluid;
  readonly lies: Lie;
  /** of the lie `planned`, from the port inwards */
  readonly poses?: readonly Pose[];
  /** when the drives are locked: before weight and tool come on, or carrying them */
  readonly lockedAt: "unloaded" | "carrying";
  /** where the load pulls, in the maps that do not go through all directions */
  readonly load: LoadWay;
  /** how far the tool point may move before a payload ends, as written; empty for any way */
  readonly sag: string;
  /** what pulls on the tool point beside the weight where sag and twist are asked for, as written; empty for nothing */
  readonly pull: string;
  /** where a section is sent while a drive stalls; the last one 20 degrees down when absent */
  readonly sent?: SentSection;
}

/** A section is bent further than it lies, all drives in step. */
export interface SentSection {
  /** from 0 */
  readonly section: number;
  /** as written */
  readonly by: string;
  /** in the plane across the arm's end */
  readonly way: Exclude<LoadWay, "outwards" | "inwards">;
}

/**
 * `direction`, `length`, `pretension`: payload over them; `rest`: where the arm comes to rest by its own weight, against length out; `swing`:
 * natural frequencies against length out; `broken`: each cable broken and the power lost; `stalled`: each drive stalled while a section is sent elsewhere; `backbones`: sag and twist with other
 * backbones against length out.
 */
export type MapId = "direction" | "length" | "pretension" | "rest" | "swing" | "broken" | "stalled" | "backbones";

/** Where in the arm a limit is met; numbers from 1. */
export interface LimitPlace {
  readonly section: number;
  readonly cable?: number;
  readonly joint?: number;
}

export interface PayloadPoint extends Payload {
  /** angle in the plane across the arm from `down` towards `left`, rad (NaN along the arm); length out, m; pretension, N */
  readonly at: number;
  /** said of a point along the arm */
  readonly way?: LoadWay;
  readonly place?: LimitPlace;
}

export interface RestPoint extends Rest {
  /** length out, m */
  readonly at: number;
}

export interface SwingPoint extends Swing {
  /** length out, m */
  readonly at: number;
}

export interface BrokenCase extends RetentionCase {
  /** 0, 1, 2 ... in order of the cables, then the power lost */
  readonly at: number;
  /** number from 1, when a cable broke */
  readonly section?: number;
  /** rad, of the hole in the cross-section */
  readonly angle?: number;
}

/** One drive stays where it is while a section is sent elsewhere. */
export interface StalledCase extends BrokenCase {
  /** [vertebra, 3] m, world: before, and where all drives together would have brought it */
  readonly startShape: readonly number[];
  readonly goalShape: readonly number[];
  /** where the first limit on the way is met */
  readonly place?: LimitPlace;
}

export interface BackbonePoint {
  /** length out, m */
  readonly at: number;
  /** one a backbone that fits, the arm's own first */
  readonly rows: readonly BackboneRow[];
}

export type { BackboneKind, BackboneRow };

/** What the maps are drawn over, known before any point is. */
export interface MapFrame {
  /** m: all that is out, to the tool point */
  readonly length: number;
  /** [2] names of the ways down and left in the plane across the arm */
  readonly names: readonly [down: string, left: string, up: string, right: string];
  /** the arm's own x in that plane, rad from down towards left */
  readonly turn: number;
  /** N; NaN when it differs from section to section */
  readonly pretension: number;
  /** a rod on the axis would take the place of the working channel */
  readonly losesChannel: boolean;
}

export interface MapPoints {
  readonly direction: readonly PayloadPoint[];
  readonly length: readonly PayloadPoint[];
  readonly pretension: readonly PayloadPoint[];
  readonly rest: readonly RestPoint[];
  readonly swing: readonly SwingPoint[];
  readonly broken: readonly BrokenCase[];
  readonly stalled: readonly StalledCase[];
  readonly backbones: readonly BackbonePoint[];
}

export interface MapNews<Id extends MapId = MapId> {
  readonly map: Id;
  readonly frame: MapFrame;
  /** all points known so far, in order of `at` */
  readonly points: MapPoints[Id];
  /** 0 to 1 */
  readonly progress: number;
  readonly done: boolean;
  /** why there are no points, in words */
  readonly problem?: string;
}

export type MapsAnswer =
  | { readonly kind: "done" }
  | { readonly kind: "cancelled" }
  | { readonly kind: "faults"; readonly faults: readonly Fault[] };
