/**
 * What a person knows of the machine: bodies with surfaces, the port the arm enters by, the target.
 * SI units, world frame. Plain data; `createSpace` turns it into something that answers distances.
 */

/** A rigid placement: world = R * local + at. */
export interface Placement {
  /** [3] m */
  readonly at: readonly [number, number, number];
  /** [9] rotation, row-major, 1 */
  readonly rotation: readonly number[];
}

/**
 * `free`: may be touched; its surface still blocks the way. `light`: may be touched up to a force.
 * `never`: must not be touched, and nothing comes nearer than its stand-off.
 */
export type TouchRule =
  | { readonly kind: "free" }
  | { readonly kind: "light"; readonly force: number }
  | { readonly kind: "never"; readonly standOff: number };

/** Triangles as read from a file, in the file's own unit; `unit` makes metres of them. */
export interface MeshShape {
  readonly kind: "mesh";
  /** [triangle, 9] three corners, file unit */
  readonly corners: Float64Array;
  /** metres per file unit, > 0 */
  readonly unit: number;
  /** how far the true surface may be from the triangles, m, >= 0; 0 when absent. It counts as part of what must stay free */
  readonly tolerance?: number;
}

/** A bore (its wall is the surface, both ends open) along a polyline whose corners are rounded. */
export interface BoreShape {
  readonly kind: "bore";
  readonly points: readonly {
    /** [3] m, body frame */
    readonly at: readonly [number, number, number];
    /** [1] bore radius here, m, > 0; changes linearly along the straight between two points, constant round a corner */
    readonly radius: number;
    /** [1] radius of the centre line round this corner, m, >= 0; ends take 0 */
    readonly bend: number;
  }[];
}

export interface BoxShape {
  readonly kind: "box";
  /** [3] full edge lengths, m; centre at the body frame's origin */
  readonly size: readonly [number, number, number];
}

/** Closed cylinder about z, from z = 0 to z = length. */
export interface CylinderShape {
  readonly kind: "cylinder";
  readonly radius: number;
  readonly length: number;
}

/** Torus about z: a round bar of radius `bar` whose centre line is a circle of radius `radius`. */
export interface RingShape {
  readonly kind: "ring";
  readonly radius: number;
  readonly bar: number;
}

/** Plate of `size` x, y about the origin, from z = 0 to z = thickness, with a round hole through it about z at the origin. */
export interface PlateShape {
  readonly kind: "plate";
  readonly size: readonly [number, number];
  readonly thickness: number;
  readonly holeRadius: number;
}

/** Parallel closed tubes along z from z = 0 to z = length, at the given places. */
export interface TubeBundleShape {
  readonly kind: "tubes";
  readonly radius: number;
  readonly length: number;
  /** [tube] x and y, m */
  readonly places: readonly (readonly [number, number])[];
}

export interface SphereShape {
  readonly kind: "sphere";
  /** m, > 0; about the origin */
  readonly radius: number;
}

/** The wall of a bent pipe, open at both ends: from the origin along z, turning towards x. */
export interface BendShape {
  readonly kind: "bend";
  /** of the centre line, m, >= the bore's radius */
  readonly bendRadius: number;
  readonly boreRadius: number;
  /** by which it turns, rad, above 0 and below 2 pi */
  readonly angle: number;
}

/** The wall of a concentric reducer, open at both ends, from z = 0 to z = length. */
export interface ReducerShape {
  readonly kind: "reducer";
  /** [2] radius at z = 0 and at z = length, m, > 0 */
  readonly radii: readonly [number, number];
  readonly length: number;
}

/**
 * The wall of a tee: the run along z with its middle at the origin, the branch from the origin in the x, z plane, one surface: each is
 * open where it lies within the other. All three ends are open.
 */
export interface TeeShape {
  readonly kind: "tee";
  readonly runRadius: number;
  /** end to end, m */
  readonly runLength: number;
  /** m, at most the run's */
  readonly branchRadius: number;
  /** from the run's centre line to the branch's end, m */
  readonly branchLength: number;
  /** from the run's z to the branch, rad: pi/2 is straight across */
  readonly angle: number;
}

/** A shaft within its casing, from z = 0 to z = length: the casing's wall is open at both ends, the shaft is solid. */
export interface AnnulusShape {
  readonly kind: "annulus";
  readonly innerRadius: number;
  readonly outerRadius: number;
  readonly length: number;
}

/**
 * A row of guide vanes: solid, all alike, of constant thickness with round edges and square ends, each along an arc.
 *
 * `straight`: side by side along x, the row's middle at the origin, spans along z from z = 0; the flow goes along y.
 * `radial`: on a circle about z, spans along z; the flow goes inwards or outwards. `axial`: on a hub about z, spans outwards from it; the
 * flow goes along z. The middle of every chord stands on the line, circle or hub; stagger turns it from the flow.
 */
export interface VanesShape {
  readonly kind: "vanes";
  readonly row: "straight" | "radial" | "axial";
  readonly count: number;
  /** edge to edge in a straight line, m */
  readonly chord: number;
  readonly thickness: number;
  readonly span: number;
  /** from the direction of the flow to the chord, rad */
  readonly stagger: number;
  /** by which the vane turns the flow, edge to edge, rad, 0 to below pi; bulges to the chord's left as seen against the span */
  readonly camber: number;
  /** neighbour to neighbour: straight along x, else along the circle, m */
  readonly pitch: number;
  /** of the circle or the hub, m; 0 for a straight row */
  readonly radius: number;
}

/** Walls around free space that can be opened into each other. */
export type PipeShape = BoreShape | BendShape | ReducerShape | TeeShape | AnnulusShape;

export type Shape = MeshShape | PipeShape | BoxShape | CylinderShape | RingShape | PlateShape | TubeBundleShape | SphereShape | VanesShape;

export interface Body {
  readonly name: string;
  readonly shape: Shape;
  readonly placement: Placement;
  readonly touch: TouchRule;
  /** nothing is there to be seen: a place that must be kept out of. Held as a surface that must not be touched */
  readonly zone?: "keep-out";
  /** names of other pipes: where their free space and this one's overlap, the walls of both are open */
  readonly joins?: readonly string[];
}

/** A part of the space without a surface, where something acts on what is in it. */
export interface Zone {
  readonly name: string;
  /** `hot`: temperature there, K; `dose`: absorbed dose a time there, Gy/s */
  readonly holds: { readonly kind: "hot"; readonly temperature: number } | { readonly kind: "dose"; readonly rate: number };
  readonly shape: BoxShape | CylinderShape | SphereShape;
  readonly placement: Placement;
}

/** Where the arm goes in. The guide's exit is at `centre`; `axis` points into the machine. */
export interface Port {
  readonly name: string;
  /** [3] m, world */
  readonly centre: readonly [number, number, number];
  /** [3] unit vector into the machine, world */
  readonly axis: readonly [number, number, number];
  /** [1] diameter of the bore, m, > 0 */
  readonly bore: number;
  /** [1] thickness of the wall behind the exit plane, m, >= 0 */
  readonly wall: number;
  /** [1] how far the real place may be from the stated one, m, >= 0 */
  readonly placeTolerance: number;
  /** [1] how far the real axis may tilt from the stated one, rad, >= 0 */
  readonly tiltTolerance: number;
}

/** Where the tool point must come to. */
export interface Target {
  readonly name: string;
  readonly kind: "look" | "touch" | "measure" | "work" | "heat";
  /** [3] the place of interest on the surface, m, world */
  readonly place: readonly [number, number, number];
  /** [3] unit vector from the tool towards the place (the aim), world */
  readonly direction: readonly [number, number, number];
  /** [1] half-angle of the cone the aim may lie in, rad, 0 to pi */
  readonly cone: number;
  /** [2] least and greatest stand-off of the tool point from the place, m, >= 0 */
  readonly standOff: readonly [number, number];
  /** [1] how far the tool point may be from its planned place, m, > 0 */
  readonly tolerance: number;
  /**
   * any place of it will do: those of the surface within a radius of `place`, m, or on a rectangle about it, its first side along the
   * unit vector `along`, across the normal; `place` alone when absent
   */
  readonly patch?:
    | { readonly radius: number }
    | { readonly size: readonly [number, number]; readonly along: readonly [number, number, number] };
  /** [3] unit vector square to the surface there, away from it, world; that of the nearest surface when absent */
  readonly normal?: readonly [number, number, number];
  /** [1] greatest angle of the line of sight (look) or of the tool (other tasks) to the normal, rad; look: `usualTilt` when absent */
  readonly mostTilt?: number;
  /** [1] smallest indication that must be seen there, m, > 0; not judged when absent */
  readonly indication?: number;
  /** pixels that the smallest indication must fill; `usualPixels` when absent */
  readonly indicationPixels?: number;
}

/** Greatest angle of a line of sight to the normal, rad: no less than 30 degrees to the surface (ASME BPVC V, Article 9). */
export const usualTilt = Math.PI / 3;
/** Pixels across the smallest indication (common practice, no source: the two that sampling asks for, and one more). */
export const usualPixels = 3;
