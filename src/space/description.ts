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

export type Shape = MeshShape | BoreShape | BoxShape | CylinderShape | RingShape | PlateShape | TubeBundleShape;

export interface Body {
  readonly name: string;
  readonly shape: Shape;
  readonly placement: Placement;
  readonly touch: TouchRule;
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
}
