/**
 * What a person knows of an arm, in SI units: sections from base to tip, each a run of equal spans.
 * Plain data; `createArm` turns it into the model that the solver takes.
 */
import type { Quantity } from "../base/index.ts";

/** An elastic material of a backbone rod. */
export interface RodMaterial {
  readonly name: string;
  /** [1] Young's modulus, Pa, > 0 */
  readonly youngModulus: number;
  /** [1] Poisson's ratio, 1, 0 to 0.5 */
  readonly poissonRatio: number;
  /** [1] density, kg/m^3, > 0 */
  readonly density: number;
  /** [1] strain allowed once, at rest or slow, 1, > 0 */
  readonly allowedStrain: number;
  /** [1] strain amplitude allowed for many cycles, 1, > 0 */
  readonly fatigueStrain: number;
  /** [1] coefficient of thermal expansion, 1/K; 0 when absent */
  readonly expansion?: number;
  /** [1] strain at which it leaves its straight line, at the temperature the arm is set up at, 1, > 0; straight throughout when absent */
  readonly linearStrain?: number;
  /** [1] slope of the line beyond that strain, Pa, > 0 and below Young's modulus; when absent the straight line is kept and only warned of */
  readonly plateauModulus?: number;
  /** [1] how much the stress at the end of the straight line rises with temperature, Pa/K; 0 when absent */
  readonly plateauRise?: number;
}

/** One backbone rod, where it crosses the vertebra. */
export interface Rod {
  /** [1] position in the cross-section, m, vertebra frame */
  readonly x: number;
  readonly y: number;
  /** [1] m, > 0 */
  readonly diameter: number;
  readonly material: RodMaterial;
  /** `clamped` in every vertebra, or `sliding` through it (bends and twists, carries no push or pull) */
  readonly attachment: "clamped" | "sliding";
}

/** Something flexible that runs through the whole section: a hose, a lead, a skin. */
export interface Hose {
  readonly name: string;
  /** [1] bending stiffness, N m^2, >= 0 */
  readonly bendingStiffness: number;
  /** [1] torsional stiffness, N m^2, >= 0 */
  readonly torsionStiffness: number;
  /** [1] mass a length, kg/m, >= 0 */
  readonly massPerLength: number;
  /** [1] density of its material, kg/m^3, > 0: what it displaces under water is its mass over that; 1300 when absent */
  readonly density?: number;
  /** [1] least radius it may be bent to, m, > 0; any when absent */
  readonly leastRadius?: number;
  /** [1] share of its bending moment that it keeps back when the bend is reversed (rubbing inside), 0 to 1; 0 when absent */
  readonly loss?: number;
}

/** A cable (strand) as bought. */
export interface CableStock {
  readonly name: string;
  /** [1] m, > 0 */
  readonly diameter: number;
  /** [1] effective modulus on the full circle of the diameter, Pa, > 0 */
  readonly effectiveModulus: number;
  /** [1] breaking load, N, > 0 */
  readonly breakingLoad: number;
  /** [1] kg/m, >= 0 */
  readonly massPerLength: number;
  /** [1] coefficient of thermal expansion, 1/K; 0 when absent */
  readonly expansion?: number;
  /** [1] strain it may creep by over a job at its working load (in proportion below it), 1, >= 0; 0 when absent */
  readonly creep?: number;
}

export interface Section {
  readonly name: string;
  /** number of spans (= vertebrae) of this section, >= 1 */
  readonly spans: number;
  /** [1] vertebra centre to vertebra centre, straight, m, >= flexible */
  readonly pitch: number;
  /** [1] flexible length between the faces of two vertebrae, m, > 0 */
  readonly flexible: number;
  /** [1] length over which the rods really bend (clamps give), m, >= flexible; the flexible length when the clamps are ideal */
  readonly effectiveLength: number;
  /** [1] outer diameter of the vertebrae, m */
  readonly outerDiameter: number;
  /** [1] working channel, m, >= 0 */
  readonly channelDiameter: number;
  /** [1] coefficient of thermal expansion of the vertebrae, 1/K; that of the first rod when absent */
  readonly vertebraExpansion?: number;
  /** [1] mass of one vertebra without rods, cables and hoses, kg, >= 0 */
  readonly vertebraMass: number;
  readonly rods: readonly Rod[];
  /** the rods turn by 90 degrees about the arm axis from vertebra to vertebra (odd spans of the arm) */
  readonly alternating: boolean;
  readonly hoses: readonly Hose[];
  /** [cable] angle of each of the section's own cables about the arm axis, from x towards y, rad */
  readonly cableAngles: readonly number[];
  /** [1] radius of the circle of cable holes, m */
  readonly cableRadius: number;
  /** [1] diameter of a cable hole, m */
  readonly holeDiameter: number;
  /**
   * [1] radius to which the edges of the holes are rounded, m, at least half the cable's diameter: a cable pulled round them keeps less of its
   * strength; not counted when absent
   */
  readonly holeEdge?: number;
  readonly cable: CableStock;
  /** [1] least tension the slackest cable is held at, N, >= 0 */
  readonly pretension: number;
  /** [1] greatest angle between two vertebrae (they touch), rad, > 0 */
  readonly jointLimit: number;
  /** [1] what it takes to turn a joint further than that, N m/rad, >= 0; from its rods when absent, and none at 0 */
  readonly stopStiffness?: number;
  /** what joins the vertebrae beside the rods; the rods alone (flexures) when absent */
  readonly joint?: Joint;
  /** how loose its joints are; none when absent */
  readonly play?: Play;
  /** [3] strain at rest (pre-set curvature and twist), rad/m about x, y, z; none when absent */
  readonly rest?: readonly [number, number, number];
}

/**
 * Vertebrae that bear on each other. A `pin` lets a joint bend about one axis alone (x, and y where the rods are turned), `rocking` faces
 * roll about any axis across the arm; neither twists or gives along the arm, and what rods and hoses there are only bend.
 */
export interface Joint {
  readonly kind: "pin" | "rocking";
  /** [1] of the pin, or of the faces that roll on each other, m, > 0 */
  readonly radius: number;
  /** [1] moment that it keeps back over (force through it x radius), 1, >= 0 */
  readonly friction: Quantity;
}

/** How far a joint turns freely, from one end of its play to the other. Margins take the most, all one way. */
export interface Play {
  /** [1] about any axis across the arm, rad, >= 0 */
  readonly bend: Quantity;
  /** [1] about the arm's axis, rad, >= 0 */
  readonly twist: Quantity;
  /** [1] room of a cable in its hole, m, >= 0: it may lie to either side of the circle it is meant to lie on; hole less cable when absent */
  readonly hole?: Quantity;
}

/** What holds the arm: the guide it runs through, and the clamp or stand that carries it. */
export interface ArmBase {
  /**
   * [6] or [36] motion of the guide's exit a unit wrench there, (rotation about x, y, z; translation), rad and m over N m and N: six numbers of a
   * diagonal, or the whole symmetric matrix row by row. Axes of the port: z into the machine. Rigid when absent
   */
  readonly compliance?: readonly number[];
  /** [1] room of the arm in the guide, guide less arm, m, >= 0; none when absent */
  readonly guidePlay?: Quantity;
  /** [1] length over which the guide grips it, m, > 0; given when there is play */
  readonly guideGrip?: number;
}

/** What the tip carries. */
export interface Tool {
  readonly name: string;
  /** [1] kg, >= 0 */
  readonly mass: number;
  /** [1] mean density, kg/m^3, > 0: what it displaces under water is its mass over that; its closed cylinder when absent */
  readonly density?: number;
  /** [3] centre of mass from the last vertebra's frame, m, tip frame */
  readonly centre: readonly [number, number, number];
  /** [1] outer diameter, m, >= 0 */
  readonly diameter: number;
  /** [1] how far it stands out beyond the last vertebra's centre, along z, m, >= 0; the tool point (pose, aim) is there */
  readonly length: number;
  readonly camera?: Camera;
  /** those of the arm when absent */
  readonly ratings?: Ratings;
}

/** At the tool point, looking along the tool: a pinhole, straight lines stay straight. */
export interface Camera {
  /** [1] full angle of view, rad, 0 to pi */
  readonly fieldOfView: number;
  /** pixels across that angle */
  readonly pixels: number;
  /** pixels the other way, square ones; as many when absent */
  readonly pixelsDown?: number;
  /** [2] nearest and farthest distance along its axis at which the picture is sharp, m, > 0; not judged when absent */
  readonly focus?: readonly [number, number];
}

/**
 * What can be fitted to measurements. `stiffness`: modulus of all backbone rods; `stretch`: give of all cables with conduit and drive;
 * `effective-length`: the length over which the rods bend; `hole-friction`, `conduit-friction`: coefficients of the cables; `play`: of every
 * joint, across the arm.
 */
export type FittedName = "stiffness" | "stretch" | "effective-length" | "hole-friction" | "conduit-friction" | "play";

/** That the numbers of an arm were fitted to measurements, and how sure they are. */
export interface Fitted {
  /** day, as 2026-03-01 */
  readonly date: string;
  /** the tables it was fitted to, with their content hashes */
  readonly tables: readonly { readonly file: string; readonly hash: string }[];
  /**
   * One standard deviation: as a share of the value (stiffness, stretch), m (effective length), 1 (friction) or rad (play). What
   * is absent was not told by the tables.
   */
  readonly spreads: Readonly<Partial<Record<FittedName, number>>>;
  /** of two fitted values, -1 to 1; none when absent */
  readonly correlations: readonly { readonly between: readonly [FittedName, FittedName]; readonly is: number }[];
  /** what the tables do not tell, and what else the reader should know */
  readonly notes: readonly string[];
}

/** What rubs where cables slide. Coefficients are known within a range only; solves take the nominal, bounds the high end. */
export interface CableFriction {
  /** [1] of a cable in the holes of the vertebrae, 1, >= 0 */
  readonly holes: Quantity;
  /** [1] of a cable in its conduit, 1, >= 0 */
  readonly conduit: Quantity;
  /** [1] turning of the conduit gathered from drive to guide, every bend counted as positive, rad, >= 0 */
  readonly conduitTurn: number;
}

/** The drum that an arm is kept on: its base in the middle, its tip paid out. */
export interface Drum {
  /** [1] radius of the core that the vertebrae lie on, m, > 0 */
  readonly radius: number;
  /** `helix`: turns side by side along the drum; `spiral`: each on the one before */
  readonly lay: "helix" | "spiral";
  /** [1] distance of neighbouring turns of a helix along the drum, m, > 0; not read for a spiral */
  readonly pitch: number;
  /** [1] between the flanges, m, > 0; as wide as it takes when absent */
  readonly width?: number;
  /** [1] diameter of the flanges, m, > 0; as large as it takes when absent */
  readonly flange?: number;
  /** what bends the arm round the core: its own `sections`, or the `drum` (its core and cover), the cables kept at their pretension */
  readonly bentBy: "sections" | "drum";
  /** [1] free space between the coil and a cover that keeps it on the core, m, >= 0; no cover when absent */
  readonly cover?: number;
  /** [1] where the base's vertebra lies about the drum's axis, rad */
  readonly start: number;
  /** [1] direction of the bend about the arm's axis at its base, from its x towards its y, rad; the easiest for the joints when absent */
  readonly roll?: number;
  /** [1] friction of the arm on the core, 1, >= 0 */
  readonly friction: Quantity;
  /** [1] pull on the arm at the drum's mouth while it is wound up, N, >= 0 */
  readonly pull: number;
}

/** How hard the arm may be pulled to draw it out. */
export interface PullOut {
  /** [1] N, > 0 */
  readonly strength: number;
  /** name of the section in which something was chosen to give first; the connector at its base when absent */
  readonly weakLink?: string;
}

/** What the arm's materials bear. What is absent is not told. */
export interface Ratings {
  /** greatest temperature, K, > 0 */
  readonly temperature?: number;
  /** greatest absorbed dose over its life, Gy, > 0 */
  readonly dose?: number;
}

/** What the cables are wound on. */
export interface Spool {
  /** [1] from its axis to the middle of a cable in the first layer, m, > 0 */
  readonly radius: number;
  /** [1] turns side by side in a layer, >= 1; all in one layer when absent */
  readonly turnsPerLayer?: number;
  /** [1] how much farther out each layer lies, m, > 0; the cable's diameter when absent */
  readonly layerRise?: number;
  /** [1] turns on it while the arm is straight and slack, >= 0; all of the first layer, and no end of it told, when absent */
  readonly wound?: number;
}

/** Between spool and motor. */
export interface Gear {
  /** [1] turns of the motor a turn of the spool, > 0 */
  readonly ratio: number;
  /** [1] share of the motor's work that reaches the spool, above 0 to 1 */
  readonly efficiency: number;
  /** [1] turn of the spool that is lost when its load turns over, rad, >= 0; none when absent */
  readonly backlash?: number;
}

/** One motor of a cable. What is absent is not judged. */
export interface Motor {
  /** [1] counts of the encoder a turn of the motor, > 0 */
  readonly counts?: number;
  /** [1] torque it may give for as long as one likes, N m, > 0 */
  readonly torque?: number;
  /** [1] and for a moment, N m, at least the other */
  readonly peakTorque?: number;
  /** [1] greatest speed, rad/s, > 0 */
  readonly speed?: number;
}

/** What pushes the arm through its guide. What is absent is not judged. */
export interface FeedDrive {
  /** [1] counts a metre of feed, 1/m, > 0 */
  readonly counts?: number;
  /** [1] m/s, > 0 */
  readonly speed?: number;
  /** [1] m/s^2, > 0 */
  readonly acceleration?: number;
  /** [1] greatest push or pull, N, > 0 */
  readonly force?: number;
}

/** What rolls the arm's base. What is absent is not judged. */
export interface RollDrive {
  /** [1] counts a turn of the base, > 0 */
  readonly counts?: number;
  /** [1] rad/s, > 0 */
  readonly speed?: number;
  /** [1] N m at the base, > 0 */
  readonly torque?: number;
}

/** The drives outside: one a cable, all alike, and those that feed and roll the arm. What is absent is not judged. */
export interface Drives {
  readonly spool?: Spool;
  /** motor and spool on one shaft, nothing lost, when absent */
  readonly gear?: Gear;
  readonly motor?: Motor;
  /** [1] turns of the spool from where the arm is straight and slack: that it can draw in, and pay out, > 0 */
  readonly turnsIn?: number;
  readonly turnsOut?: number;
  /** [1] greatest acceleration of a cable, m/s^2, > 0 */
  readonly acceleration?: number;
  /** [1] diameter of the smallest pulley or guide on a cable's way, m, > 0 */
  readonly guideDiameter?: number;
  readonly feed?: FeedDrive;
  readonly roll?: RollDrive;
}

export interface ArmDescription {
  readonly name: string;
  readonly sections: readonly Section[];
  readonly tool: Tool;
  /** [1] length of each cable from the drive to the guide end of the arm (conduit), m, >= 0 */
  readonly conduitLength: number;
  /** [1] axial stiffness (modulus x area) of one conduit, which its cable's pull shortens, N, > 0; it does not shorten when absent */
  readonly conduitStiffness?: number;
  /** [1] how stiffly a locked drive holds its cable (gear, spool and frame), N/m at the cable, > 0; rigid when absent */
  readonly driveStiffness?: number;
  /** damping of the arm's first swing, share of critical, 0 to below 1; `usualDamping` when absent */
  readonly damping?: Quantity;
  /** [1] coefficient of thermal expansion of the conduits, 1/K; 0 when absent */
  readonly conduitExpansion?: number;
  /** what holds it; rigid, without play when absent */
  readonly base?: ArmBase;
  /** design factor on the cable's breaking load, >= 1 */
  readonly cableDesignFactor: number;
  /** strength left at the termination, 0 to 1 (0.8 to 0.9 is usual) */
  readonly terminationFactor: number;
  /** absent: the arm was never fitted */
  readonly fitted?: Fitted;
  /** none when absent */
  readonly friction?: CableFriction;
  /** none when absent */
  readonly drum?: Drum;
  /** computed from rods and cables when absent */
  readonly pullOut?: PullOut;
  /** of the sections and what is in them; nothing is told when absent */
  readonly ratings?: Ratings;
  /** absent: nothing is said of them but what `driveStiffness` says */
  readonly drives?: Drives;
}

/**
 * Damping of arms that were not measured, share of critical: cables and rods that rub in their holes damp a few times what a bolted
 * frame does (0.02 to 0.05), taut and dry ones hardly more (common practice, no source).
 */
export const usualDamping: Quantity = { nominal: 0.05, low: 0.02, high: 0.1 };
