/**
 * An arm coiled on a drum: its base in the middle, its tip paid out into a straight tube. What is on the drum lies on the core, bent there by
 * the arm's own sections; what is off it is straight. Weight is left out but for the question whether the last turn lies.
 */
import type { ArmModel, Drum } from "../arm/index.ts";
import type { Quantity } from "../base/index.ts";
import type { RodState, SolveStatus } from "../rod/index.ts";
import type { Hold } from "./hold-coil.ts";

/** Something stiff that stays in the working channel while the arm is coiled. */
export interface Insert {
  /** m, > 0 */
  readonly diameter: number;
  /** m, > 0 */
  readonly length: number;
}

export interface DrumRequest {
  readonly drum: Drum;
  readonly insert?: Insert;
  /** spans put on the drum from one row to the next, >= 2, even; half a section when absent */
  readonly step?: number;
}

/** Where a lay puts the arm. */
export interface Coil {
  /** direction of the bend about the arm's axis at the base, from x towards y, rad */
  readonly roll: number;
  /** [vertebra] distance of its centre from the drum's axis, m; angle about it, rad; place along it, m */
  readonly distance: Float64Array;
  readonly angle: Float64Array;
  readonly height: Float64Array;
  /** [span] turn of the arm's axis, rad, and its direction about the arm's own axis, rad */
  readonly turn: Float64Array;
  readonly direction: Float64Array;
  /** [span, 2] bend of the joint about the arm's x and y: where hinges bend about one axis only, each does its neighbour's share, rad */
  readonly bend: Float64Array;
  /** [span] its size, rad */
  readonly joint: Float64Array;
  /** [span] curvature of the line the vertebrae's centres lie on, 1/m */
  readonly curvature: Float64Array;
  /** [12] frame of vertebra 0; the drum's axis is the world's z */
  readonly base: Float64Array;
}

/** Made once; readonly plain data. */
export interface DrumModel {
  readonly arm: ArmModel;
  readonly request: DrumRequest;
  readonly roll: number;
  /** [row] spans on the drum, rising */
  readonly counts: readonly number[];
  /** friction of the arm on the core */
  readonly friction: Quantity;
}

/** A worst value with what it may be and the span it is at. */
export interface Worst {
  readonly value: number;
  readonly limit: number;
  readonly use: number;
  readonly span: number;
}

/** Tensions of one passage over a row: while it is wound up, or paid out. */
export interface Pull {
  readonly status: SolveStatus;
  /** [cable] where it enters the arm and at its drive, N */
  readonly entry: Float64Array;
  readonly drive: Float64Array;
  /** strongest: share of the working load at the drive with the coefficients as high as they may be, N and 1 */
  readonly cable: number;
  readonly use: number;
  readonly most: number;
  /** slackest place of any cable, N */
  readonly least: number;
}

/** The arm with some of its spans on the drum. */
export interface DrumRow {
  /** spans on the drum */
  readonly spans: number;
  /** m: what is off the drum, to the tool point */
  readonly paidOut: number;
  /** turns about the drum, 1; turning of the arm's axis, rad */
  readonly turns: number;
  readonly wrap: number;
  readonly joint: Worst;
  readonly strain: Worst;
  /** against the strain at which a rod leaves its straight line; limit +Infinity when none does */
  readonly line: Worst;
  /** [section, 2] bend asked of each section, rad */
  readonly bend: Float64Array;
  readonly winding: Pull;
  readonly paying: Pull | undefined;
  /** cable that turns most, its turning gathered over the holes, rad, and its capstan factor with the nominal and high coefficient */
  readonly capstan: { readonly cable: number; readonly turned: number; readonly factor: number; readonly most: number };
  /** greatest bow of a section out from the core and into it, its two ends on it, m, before the core pushes */
  readonly gap: number;
  readonly press: number;
  /** share of a pull at the mouth that comes to the anchor in the middle, 1: high coefficient first */
  readonly anchor: readonly [number, number];
  /** pull that slides the coil round a core that stands still, by its weight alone, N: low coefficient first */
  readonly slide: readonly [number, number];
  /** push at the mouth lifts the coil by this a newton, N/m: where nothing holds it down it comes off the core */
  readonly lift: number;
}

export type DrumFaultKind = "joint" | "strain" | "cable" | "slack" | "channel" | "lay" | "flange" | "lies" | "balance";

/** One reason why the arm does not go on this drum. */
export interface DrumFault {
  readonly kind: DrumFaultKind;
  readonly says: string;
}

/** The last half turn, hanging from the rest with the drives locked. */
export interface Hang {
  /** greatest distance a vertebra comes off the core by the arm's own weight, m; NaN when no balance was found */
  readonly off: number;
  /** what is allowed: half the vertebra; with a cover whatever it comes to, +Infinity, m */
  readonly allowed: number;
  readonly vertebra: number;
  /** [3] direction of gravity, the drum's axis is z */
  readonly down: readonly [number, number, number];
  /** spans that hang */
  readonly from: number;
}

export interface DrumResult {
  readonly bentBy: Drum["bentBy"];
  readonly roll: number;
  /** from nothing on the drum to all of it */
  readonly rows: readonly DrumRow[];
  readonly hang: Hang | undefined;
  /** along the drum between the outermost rims, m; diameter over all */
  readonly width: number;
  readonly diameter: number;
  /** longest stiff thing of the insert's diameter that stays in the channel, m; undefined without insert */
  readonly longest: number | undefined;
  readonly faults: readonly DrumFault[];
}

/** What stands between two steps. Plain data. */
export interface DrumState {
  stage: "winding" | "hanging" | "paying" | "done";
  /** row at hand */
  index: number;
  rod: RodState;
  rows: DrumRow[];
  hang: Hang | undefined;
  /** direction of gravity being tried */
  tried: number;
  /** as wound up, once it is */
  wound: RodState | undefined;
  /** the row being held; bends of the row paid out before it */
  hold: Hold | undefined;
  paidBend: Float64Array | undefined;
}
