/** What the drives outside have to do for a plan: lengths, turns, counts, speeds, torques, by depth and by time. Plain data. */
import type { ArmModel } from "../arm/index.ts";

/** What the table is made from beside the depths of a plan. */
export interface DriveRequest {
  readonly arm: ArmModel;
  /** speed at which the arm is to be fed, m/s, > 0; nothing is timed when absent */
  readonly feedRate?: number;
  /** [3] m/s^2, world */
  readonly gravity: readonly [number, number, number];
  /** [3] into the machine, unit, world */
  readonly axis: readonly [number, number, number];
  /** [3] the guide's exit, m, world */
  readonly exit: readonly [number, number, number];
  /** coefficient of the arm on what it leans on, 1; none when absent */
  readonly wallFriction?: number;
}

/** One depth, on one way. What the arm file does not tell is NaN. */
export interface DriveRow {
  readonly way: "in" | "out";
  /** m of feed */
  readonly depth: number;
  /** since this way began, s */
  readonly time: number;
  /** speed of the feed there, m/s, >= 0 */
  readonly feedRate: number;
  /** of the base, rad */
  readonly roll: number;
  /** counts of feed from depth 0, and of roll from roll 0, rounded */
  readonly feedCounts: number;
  readonly rollCounts: number;
  /** on the arm by the feed, along the port's axis, inwards > 0, N; about it by the roll drive, N m */
  readonly feedForce: number;
  readonly rollTorque: number;
  /** [cable] to be drawn in since the arm was straight and slack, all stretch included, m */
  readonly length: Float64Array;
  /** [cable] of it stretch of strand in arm and conduit, shortening of the conduit and give of the drive, m */
  readonly stretch: Float64Array;
  /** [cable] turns of the spool since then */
  readonly turns: Float64Array;
  /** [cable] counts of the motor since then, rounded */
  readonly counts: Float64Array;
  /** [cable] what rounding makes of the length: set less wanted, m */
  readonly error: Float64Array;
  /** [cable] tension at the drive as it went last, friction at its middle, N */
  readonly tension: Float64Array;
  /** [cable] greatest it may be, whichever way it went, friction at its high end, N */
  readonly most: Float64Array;
  /** [cable] speed of the cable, drawn in > 0, m/s, and of its spool, rad/s */
  readonly speed: Float64Array;
  readonly turnRate: Float64Array;
  /** [cable] torque at the spool and at the motor, which wants more where it draws in and less where it lets out, N m */
  readonly torque: Float64Array;
  readonly motorTorque: Float64Array;
  /** [cable] of the motor, drawing in against the greatest tension, N m */
  readonly motorMost: Float64Array;
  /** [cable] power at the motor's shaft, W: below 0 where the cable drives it */
  readonly power: Float64Array;
}

/** The drive that keeps the feed slower than was asked. */
export interface Brake {
  readonly depth: number;
  /** m/s */
  readonly rate: number;
  readonly drive: "cable" | "feed" | "roll";
  /** -1 for none */
  readonly cable: number;
  readonly by: "speed" | "acceleration";
}

export interface WaySum {
  readonly way: "in" | "out";
  /** s; NaN where nothing is timed */
  readonly time: number;
  /** at the rate asked for throughout, s */
  readonly timeAsked: number;
  /** [cable] greatest speed of the spool, rad/s, and acceleration, rad/s^2, anywhere on the way */
  readonly turnRate: Float64Array;
  readonly turnAcceleration: Float64Array;
  /** [cable] what its speed would be at the rate asked for, rad/s */
  readonly turnRateAsked: Float64Array;
  /** the slowest place; absent where the rate asked for is kept but for starting and stopping */
  readonly brake?: Brake;
  /** work of all cables at the spools, J, and of all motors at their shafts, J */
  readonly work: number;
  readonly motorWork: number;
}

/** How long a cable lasts: an estimate of repeated bending alone. */
export interface CableLife {
  readonly cable: number;
  /** the tightest curve it is bent round */
  readonly at: "spool" | "guide" | "hole";
  /** diameter of that curve over the cable's */
  readonly ratio: number;
  /** greatest tension, N */
  readonly tension: number;
  /** bends of one place of the cable in one entry, in and out */
  readonly bends: number;
  /** entries until it breaks: about, and between these nine times in ten; NaN where the curve is sharper than anything is known of */
  readonly entries: number;
  readonly least: number;
  readonly most: number;
}

export interface DriveTable {
  /** m/s; NaN where nothing is timed */
  readonly feedRate: number;
  /** from the port inwards, then from the target outwards */
  readonly rows: readonly DriveRow[];
  readonly ways: readonly WaySum[];
  /** [cable] that run round a curve whose diameter is told */
  readonly lives: readonly CableLife[];
}
