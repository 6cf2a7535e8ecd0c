/** A job: one enquiry, read from its files into SI. */
import type { ArmDescription } from "../arm/index.ts";
import type { RollRule } from "../insertion/index.ts";
import type { Outside } from "../outside/index.ts";
import type { Fluid, Temperature } from "../rod/index.ts";
import type { Body, Port, Target, Zone } from "../space/index.ts";

/** A value as written: its nominal, and the range it may lie in (equal when none was given). SI. */
export interface Value {
  readonly nominal: number;
  readonly low: number;
  readonly high: number;
}

export interface Conditions {
  /** [3] acceleration of gravity, m/s^2, world */
  readonly gravity: readonly [number, number, number];
  /** what the machine is filled with; absent when the job does not say */
  readonly fluid?: Fluid | "dry";
  /** absent when the job does not say */
  readonly temperature?: Temperature;
  /** coefficient of the arm on what it may lean on, 1; absent when the job does not say */
  readonly wallFriction?: Value;
  /** speed at which the arm is to be fed, m/s, > 0; nothing is timed when absent */
  readonly feedRate?: number;
  /** how long the tool stays at the target, s, >= 0; not told when absent */
  readonly stay?: number;
}

export interface Limits {
  /** least clearance to every surface, beyond each body's keep, m */
  readonly clearance: number;
  /** greatest tip motion between load off and on, m */
  readonly sag: number;
  /** greatest twist of the tip about the arm axis, rad */
  readonly twist: number;
  /** how far friction may hold the tool from where its lengths put it, m; not judged when absent */
  readonly deadBand?: number;
}

/** How the arm comes to where it is free. */
export interface JobLaunch {
  /** whether it comes off the arm's drum */
  readonly drum: boolean;
  readonly tube?: GuideTube;
}

/** A tube that guides the arm from the port, or from before it, to a place inside; it stands still and keeps its shape. */
export interface GuideTube {
  /** centre line from where the arm enters to the exit, m, world; radius of the centre line round each corner, m */
  readonly points: readonly { readonly at: readonly [number, number, number]; readonly bend: number }[];
  /** inside and outside diameter, m */
  readonly bore: number;
  readonly outside: number;
  /** how far its exit may be from where it is said to be, m, and how far its axis may tilt there, rad */
  readonly placeTolerance: number;
  readonly tiltTolerance: number;
}

/** What may be changed to turn an answer: of the arm, and, where allowed, the port and how free the target is. */
export const changeKinds = ["length", "sections", "pretension", "cable", "backbone", "diameter", "port", "target"] as const;
export type ChangeKind = (typeof changeKinds)[number];

export interface Job {
  readonly name: string;
  readonly arm: ArmDescription;
  readonly bodies: readonly Body[];
  readonly port: Port;
  /** what is done there: the first of them when there are several */
  readonly target: Target;
  /** [visit][choice] what is done, in the order written, each with what would do in its place; absent where it is `target` alone */
  readonly visits?: readonly (readonly Target[])[];
  readonly conditions: Conditions;
  readonly limits: Limits;
  /** length of the straight guide before the port's exit, m */
  readonly guideLength: number;
  /** hot and dose zones; keep-out zones are bodies. None when absent */
  readonly zones?: readonly Zone[];
  /** the room outside the port; not looked at when absent */
  readonly outside?: Outside;
  /** a straight guide alone when absent */
  readonly launch?: JobLaunch;
  /** what a search for a change may change; all of the arm's own when absent */
  readonly mayChange?: readonly ChangeKind[];
  /** ports that might be used instead, where that may be changed; none when absent */
  readonly otherPorts?: readonly Port[];
  /** what happens outside when the base rolls; the pack rolls with the arm when absent */
  readonly roll?: RollRule;
  /** every number that was written with a range (or has one when left out), by its path in the files */
  readonly ranges: Readonly<Record<string, Value>>;
  /** name and content hash of every file that was read */
  readonly inputs: readonly { readonly file: string; readonly hash: string }[];
  /** unit guesses and other things the user should confirm; never applied in silence */
  readonly remarks: readonly string[];
}
