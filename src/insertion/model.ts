/** Depth by depth: the loaded arm laid on the route, what every part of it carries there, and how near it comes to the walls. */
import type { ArmModel } from "../arm/index.ts";
import type { RouteCurve } from "../path/index.ts";
import type { Load, RodState, SeatTolerance, SolveReport, SolveStatus, Wound } from "../rod/index.ts";
import type { Target } from "../space/index.ts";
import type { Launch } from "./launch.ts";

/** What an insertion depends on. Readonly, plain data. */
export interface InsertionModel {
  readonly arm: ArmModel;
  readonly curve: RouteCurve;
  readonly target: Target;
  /** [12] frame of the guide's exit: z into the machine, world */
  readonly port: Float64Array;
  readonly load: Load;
  /** how far the port may be from where it is said to be; exactly there when absent */
  readonly seat?: SeatTolerance;
  /** [body] clearance the job asks for beyond each body's keep, m; the space's keeps already hold it */
  readonly need: Float64Array;
  /** roll that the base is to keep to, rad; any when absent */
  readonly steady?: number;
  /** a straight guide and nothing else when absent */
  readonly launch?: Launch;
  /** the arm as it was made, where `arm` is the one of a depth (see `atDepth`) */
  readonly plain?: ArmModel;
  /** the pack rolls with the arm when absent */
  readonly roll?: RollRule;
  /** coefficient of the arm on walls it may lean on, 1; none when absent */
  readonly wallFriction?: number;
  /** [depth] arm length past the exit at which the arm is solved, rising, m */
  readonly depths: Float64Array;
}

/** What happens outside when the base rolls. */
export interface RollRule {
  /** `pack`: pack and drum roll with the arm; `cables`: they stand still, and the cables wind */
  readonly carries: "pack" | "cables";
  /** length over which the cables wind, m, > 0; given when they do */
  readonly windingLength?: number;
  /** how far the pack's umbilical, or the cables, may be wound either way from straight, turns, > 0; not judged when absent */
  readonly mostTurns?: number;
}

/** What play of joints and guide and the port's tolerance may add to a shape, all taken one way: bounds, taken off every clearance. */
export interface Loose {
  /** [vertebra] greatest motion of any place of its hull, m */
  readonly hull: Float64Array;
  /** [3] greatest motion of the tool point, m, and turn of its direction, rad: by the joints, by the guide's play, by the port's tolerance */
  readonly tip: Float64Array;
  readonly aim: Float64Array;
  /** greatest twist of the tip about its own axis, by the joints, rad */
  readonly twist: number;
}

/** Everything known of the arm at one depth of feed. Plain data. */
export interface DepthRecord {
  /** arm length past the guide's exit, measured to the tool point along the straight arm, m */
  readonly depth: number;
  readonly status: SolveStatus;
  /** largest unbalanced moment of any joint, N m, computed apart from the solver */
  readonly residual: number;
  /** Newton steps of the last solve, and solves made to lay the arm on the route */
  readonly iterations: number;
  readonly solves: number;
  /** whether laying the arm on the route came to rest: false when it ran out of tries, and a better shape may exist */
  readonly settled: boolean;
  /** base roll, rad */
  readonly roll: number;
  /** index of the first vertebra past (or at) the guide's exit; those before it are straight in the guide */
  readonly firstFree: number;
  /** [vertebra, 12] frames of all vertebrae from the base: rotation row-major (9), then position (3), m, world */
  readonly frames: Float64Array;
  /** [3] tool point, m, world */
  readonly tool: Float64Array;
  /** [section, 2] bend of each section, rad: turn about the arm's x and y as its cables measure it */
  readonly bend: Float64Array;
  /** [cable] N */
  readonly tension: Float64Array;
  /** [cable] pulled in since the arm was straight and slack, stretch of the strand included, what it winds by let out, m (> 0: drawn in) */
  readonly drawn: Float64Array;
  /** [vertebra] guaranteed least clearance of each vertebra's hull (the last: with the tool), keep taken off, m; +Infinity in the guide */
  readonly clearance: Float64Array;
  /** [vertebra] body nearest to it, -1 for none within reach */
  readonly nearest: Int32Array;
  /** least over the vertebrae of clearance less what the job asks for there, m: below 0 the job's clearance is not met */
  readonly spare: number;
  /** vertebra that has it */
  readonly tightest: number;
  /** clearance at the tightest vertebra, m */
  readonly leastClearance: number;
  /** [vertebra] guaranteed clearance on the way from the depth before (nearer the port) to here, m: sideways motion taken off */
  readonly swept: Float64Array;
  /** [vertebra] body that `swept` is measured to, -1 for none within reach */
  readonly sweptNearest: Int32Array;
  /** least of swept clearance less what the job asks for there, m */
  readonly sweptSpare: number;
  /** the same over the shapes that were solved alone, nothing taken off: below 0 the job's clearance is surely not met, m */
  readonly seenSpare: number;
  /**
   * guaranteed least clearance to the bodies that ask for some, here and on the way from the depth before, m; the reach that is
   * looked at when nothing is nearer; vertebra and body it is at, -1 when none
   */
  readonly asked: number;
  /** the same over the shapes that were solved alone, nothing taken off, m */
  readonly askedSeen: number;
  readonly askedVertebra: number;
  readonly askedBody: number;
  /** greatest sideways motion taken off between this depth and the one before, m */
  readonly sideways: number;
  /** [span] joint angle, rad */
  readonly jointAngle: Float64Array;
  /** [span] greatest rod strain, 1, and stress, Pa */
  readonly strain: Float64Array;
  readonly stress: Float64Array;
  /** [vertebra] twist of the arm about its axis, gathered from the exit, rad */
  readonly twist: Float64Array;
  /** tip motion between gravity and tool on and off with the drives locked, m; NaN when that solve found no balance */
  readonly sag: number;
  /** what the roll does to cables that wind; absent where the pack rolls with the arm */
  readonly wound?: Wound;
  /** absent when nothing is loose */
  readonly loose?: Loose;
  /** distance of the vertebrae from the route: rms and greatest, m */
  readonly deviation: readonly [number, number];
  /** the least that sections of even curvature could have there, whatever carries them: rms and greatest, m */
  readonly inherent: readonly [number, number];
  /** absent when nothing rubs */
  readonly rub?: Rub;
  /** what the arm leans on, here or on the way from the depth before; absent where nothing that may be touched is */
  readonly contact?: DepthContact;
}

/** What friction leaves open at one depth. Plain data. */
export interface Rub {
  /** [vertebra] greatest motion of its hull (the last: with the tool) while the coefficients lie in their ranges, m: taken off every clearance */
  readonly hull: Float64Array;
  /** [span] greatest change of the joint's angle by the same, rad; of the tool point, m; of its direction, rad */
  readonly joint: Float64Array;
  readonly tip: number;
  readonly aim: number;
  /** the same of the tool when nobody knows which way each cable slid last: the whole dead band */
  readonly fullTip: number;
  readonly fullAim: number;
  /** [cable] tension at the drive as it went last, N; greatest and least anywhere along the cable, whichever way it went */
  readonly drive: Float64Array;
  readonly most: Float64Array;
  readonly least: Float64Array;
}

/** Plain data. */
export interface DepthContact {
  /**
   * `held`: every shape that was solved is balanced with the push of what it touches. `not-found`: for one of them no such balance was
   * found; `jammed`: the same, since what it touches holds it against its commands until cables would break. Where that is this depth's
   * own, its shape is the one without any push, and is not the true one
   */
  readonly state: "held" | "jammed" | "not-found";
  /** [body] greatest sum of the sizes of all pushes on one body at a shape that was solved, N */
  readonly pressed: Float64Array;
  /** [touch] vertebra (the last: or the tool) and body, at this depth */
  readonly vertebra: Int32Array;
  readonly body: Int32Array;
  /** [touch, 3] push of the body on the arm, N, and its mean place, m, world */
  readonly force: Float64Array;
  readonly place: Float64Array;
}

/** How the margins between two depths were bounded. */
export interface SweepBound {
  /** greatest sideways motion allowed for between neighbouring samples, m */
  readonly allowance: number;
  /** depths re-solved between the samples to confirm it */
  readonly confirmed: number;
}

/** A roll of the base that was chosen for what it spares cables, joints and rods. Plain data. */
export interface RollChoice {
  /** turned on by, rad; greatest share of what they may bear on the whole way in as it lies, and so, 1 */
  readonly roll: number;
  readonly from: number;
  readonly to: number;
}

/** What stands when an insertion is interrupted. Plain data: it can be saved, posted, cloned. */
export interface InsertionState {
  /** planned commands gone through again: which way the arm goes; they stand in `wayIn`, the last of them first */
  again?: "in" | "out";
  stage: "in" | "inspect" | "turn" | "out" | "done";
  /** index into the depths */
  index: number;
  rod: RodState;
  /** [section, 2] rad */
  bend: Float64Array;
  roll: number;
  solves: number;
  settled: boolean;
  report: SolveReport;
  /** depth as corrected so that the tool point meets the route's end, m */
  depth: number;
  /** strains, tensions and efforts at the full depth, once it is reached */
  deepest: RodState | undefined;
  wayIn: DepthRecord[];
  wayOut: DepthRecord[];
  confirmed: number;
  allowance: number;
  /** greatest share of what cables, joints and rods may bear with the arm rolled as it is, then rolled on step by step, 1 */
  rollTries: number[];
  /** how the arm was turned in its guide before it went in a second time; NaN for `to` until it is in */
  turned: RollChoice | undefined;
  /** the first way in, until the second is known to be better */
  first: Pick<InsertionState, "wayIn" | "deepest" | "bend" | "roll" | "rod" | "depth" | "confirmed" | "allowance"> | undefined;
  /** why it stopped short, empty when it did not */
  failure: string;
  /** difference of shape (m) between the way out and the way in where it is greatest beside what friction explains (m), and of tension (N) */
  branchGap: { shape: number; tension: number; depth: number; explained: number };
}
