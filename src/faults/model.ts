/**
 * What may fail while an arm is in, and whether it can be drawn out then: the words.
 *
 * A fault is one cable broken, one drive stalled, or all power lost with drives that hold or let go. The healthy drives then either hold their
 * cables where they are (`holding`), or help by the best of a few recipes (`helping`).
 */
import type { DepthRecord, InsertionModel, Kept } from "../insertion/index.ts";
import type { RodState } from "../rod/index.ts";

export type FaultKind = "broken" | "stalled" | "locked" | "released";

/**
 * What the healthy drives do while the arm is drawn out. `hold`: each keeps its cable's length as it was; `plan`: the plan's lengths run
 * backwards, the fault unheeded; `ease`: the same, the other cables of the fault's own section let go; `limp`: all cables that can be are let go.
 */
export type Recipe = "hold" | "plan" | "ease" | "limp";

/** Readonly, plain data. */
export interface FaultsModel {
  readonly insertion: InsertionModel;
  /** from the port inwards, as planned; two at least */
  readonly wayIn: readonly DepthRecord[];
  /** [body] force it may be pressed with, N: 0 where it must not be touched, Infinity where it is free to touch */
  readonly mostForce: Float64Array;
  /** coefficient of the arm in its guide and on walls, 1; NaN when nobody says: friction is then left out, and told so */
  readonly friction: number;
  /** length over which the guide grips the arm, m, > 0 */
  readonly guideLength: number;
  /** 1 + overshoot of a sudden change */
  readonly sudden: number;
  readonly faults: readonly Fault[];
  /** records at which faults are begun first, rising; where neighbours are answered otherwise, depths between them follow */
  readonly starts: readonly number[];
  /** records to the next shape on the way out */
  readonly stride: number;
}

export interface Fault {
  readonly kind: FaultKind;
  /** -1 but for `broken` and `stalled` */
  readonly cable: number;
}

/**
 * `out`: drawn out, keeping off what must not be touched, within every touch rule and the pull-out strength. `stuck`: it comes to a limit that is
 * named. `unknown`: a balance was not found, or what lies between two shapes was not shown clear: neither of both.
 */
export type Outcome = "out" | "stuck" | "unknown";

/** What ends a way out, or leaves it open. */
export type StopKind =
  | "touch" // comes to a body that must not be touched
  | "press" // presses a body harder than it may be
  | "pull" // pull beyond the pull-out strength
  | "cable" // another cable breaks
  | "rod" // a rod is strained beyond what it is allowed once
  | "balance" // no balance found
  | "between"; // between two shapes it could not be shown clear

export interface Stop {
  readonly kind: StopKind;
  /** depth at which it happens, m */
  readonly depth: number;
  /** vertebra, cable and body that it is about, -1 for none */
  readonly vertebra: number;
  readonly cable: number;
  readonly body: number;
  /** what is there and what may be: m (touch), N, 1 (rod); NaN where neither has a number */
  readonly is: number;
  readonly limit: number;
}

/** A way out from one depth. Plain data. */
export interface WayFound {
  /** depth of the fault, m */
  readonly depth: number;
  readonly outcome: Outcome;
  readonly by: Recipe;
  /** absent where it came out */
  readonly stop?: Stop;
  /** greatest pull on the arm's base on the way, N, and the depth at which it is; NaN where no shape was found */
  readonly pull: number;
  readonly pullAt: number;
  /** greatest share of the pull-out strength, 1; of which link, and where */
  readonly pullUse: number;
  readonly link?: Link;
  /** [body] greatest force it is pressed with on the way, N */
  readonly pressed: readonly number[];
  /** of the fault itself, before anything is drawn; absent where no shape was found there */
  readonly event?: FaultEvent;
}

/** What the fault does where it happens. */
export interface FaultEvent {
  /** how far the tool point moves to its new rest, m, and how far down, m */
  readonly moved: number;
  readonly drop: number;
  /** bound on how far it goes on the first swing, m */
  readonly swing: number;
  /** least distance left to what must not be touched, on that swing, m: below 0 it may be struck */
  readonly swingSpare: number;
  /** energy that goes free, J: of the broken cable, or of all that are let go */
  readonly lost: number;
  /** energy in all cables before, J */
  readonly stored: number;
  /** the shape leapt on the way there */
  readonly leapt: boolean;
}

/** The weakest place that a pull goes through. */
export interface Link {
  /** `given`: the weak link of the arm file; else what breaks there first */
  readonly kind: "given" | "rods" | "cables";
  /** section in which it is; -1 at the base's connector */
  readonly section: number;
  readonly strength: number;
  /** pull through it, N */
  readonly demand: number;
}

/** One fault with all depths looked at, the shallowest first. */
export interface FaultFinding extends Fault {
  readonly holding: readonly WayFound[];
  /** empty where no drive can help */
  readonly helping: readonly WayFound[];
}

/** Plain data. */
export interface FaultResult {
  /** depths of the shapes that ways out go through, m: their distance is the resolution */
  readonly step: number;
  readonly findings: readonly FaultFinding[];
  /** nobody says how the arm rubs in its guide and on walls */
  readonly withoutFriction: boolean;
  /** pull-out strength: as given, or NaN where it is computed from rods and cables, link by link */
  readonly strengthGiven: number;
  /** what the numbers leave out */
  readonly notes: readonly string[];
}

/** The arm as planned at one record, without friction of its cables. */
export interface Planned {
  readonly depth: number;
  readonly roll: number;
  readonly rod: RodState;
  /** [cable] drawn in since straight and slack, stretch left out, m */
  readonly drawn: Float64Array;
  readonly kept: Kept;
  /** [3] tool point, m */
  readonly tool: Float64Array;
  /** it could not be solved without friction: nothing starts from here */
  readonly lost: boolean;
}

/** One shape on a way out. */
export interface Shape {
  readonly depth: number;
  readonly pull: number;
  readonly link: Link | undefined;
  /** [body] N */
  readonly pressed: readonly number[];
  /** given where a fault may begin */
  readonly event?: FaultEvent;
}

/** A walk from a fault to the port, as far as it has come. Plain data. */
export interface WalkState {
  readonly recipe: Recipe;
  /** it looks at every depth from the deepest on, and goes on beyond what would stop it: what it finds serves all depths at once */
  readonly throughout: boolean;
  /** record at which the fault happened, or at which it was begun anew */
  start: number;
  /** `event`: cables are being let out */
  stage: "event" | "out" | "done";
  rod: RodState;
  depth: number;
  /** how far the cables that come loose are let out, m, and the step of it */
  out: number;
  step: number;
  /** step of the depth that is tried, m */
  stride: number;
  leapt: boolean;
  /** of the last shape that stands; undefined before the first */
  kept: Kept | undefined;
  /** [3] its tool point, m */
  tool: Float64Array;
  readonly shapes: Shape[];
  readonly stops: Stop[];
}

/** Plain data. */
export interface FaultsState {
  /** records planned so far, from the port inwards */
  planned: Planned[];
  rod: RodState | undefined;
  /** which of the model's faults are looked at, and which of them now */
  readonly which: readonly number[];
  at: number;
  /** what is being found of the fault at hand */
  task: "throughout" | "holding" | "helping" | "done";
  recipe: Recipe;
  walk: WalkState | undefined;
  /** starts still to be walked, and how often neighbours that differ were parted */
  queue: number[] | undefined;
  parted: number;
  /** found for one start by the recipes so far */
  tried: WayFound[];
  holding: WayFound[];
  helping: WayFound[];
  /** ways found once for all faults: all drives hold; all cables let go */
  locked: WayFound[] | undefined;
  limp: WayFound[] | undefined;
  findings: { readonly index: number; readonly finding: FaultFinding }[];
  done: boolean;
  progress: number;
  says: string;
}
