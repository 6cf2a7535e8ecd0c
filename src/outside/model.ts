/** The room outside the port: what stands there, how far the carriage goes, and what pushes the arm. */

/** What a job says of it. SI, plain data. */
export interface Outside {
  /** [1] way of the carriage, m, > 0; no carriage is judged when absent */
  readonly stroke?: number;
  /** whether the carriage may go back for another stroke while something else holds the arm */
  readonly regrip: boolean;
  /** [1] from where the carriage grips the arm, all the way forward, to where the guide begins, m, >= 0 */
  readonly gap: number;
  /** [1] greatest length between supports on the way to the guide (a tube that telescopes), m, > 0; none when absent */
  readonly supportEvery?: number;
  /** how the arm is held at either end of the gap: kept from turning, or not */
  readonly carriageHolds: "clamped" | "hinged";
  readonly guideHolds: "clamped" | "hinged";
  /** [1] reserve against buckling, >= 1 */
  readonly bucklingFactor: number;
  /** [1] greatest friction of the arm in guide and guide tube, 1, >= 0 */
  readonly guideFriction: number;
  /** [1] least distance of the things outside from every body, m, >= 0 */
  readonly clearance: number;
  readonly things: readonly Thing[];
}

/** A box that is taken up outside: pack, clamp, drum, or room for hands. Square to the guide's axis, one edge as upright as can be. */
export interface Thing {
  readonly name: string;
  /** [3] across, up, along the axis outwards, m, > 0 */
  readonly size: readonly [number, number, number];
  /** [1] from the guide's beginning outwards to its near face, with the carriage all the way forward, m */
  readonly behind: number;
  /** [2] its middle aside of the axis, across and up, m */
  readonly aside: readonly [number, number];
  /** goes with the carriage */
  readonly moves: boolean;
}

/** Where things outside are counted from: the guide's beginning. */
export interface Entry {
  /** [3] m, world */
  readonly at: readonly [number, number, number];
  /** [3] unit vector outwards, world */
  readonly out: readonly [number, number, number];
  /** [3] unit vectors across and up, world */
  readonly across: readonly [number, number, number];
  readonly up: readonly [number, number, number];
}

/** What pushes back while the arm goes in, N: all that `total` holds. */
export interface Push {
  readonly depth: number;
  /** of the part past the exit, along the axis: weight, and friction on what it leans on */
  readonly weight: number;
  readonly walls: number;
  /** friction in the guide, by what it carries */
  readonly guide: number;
  /** what the guide tube's bends add by friction */
  readonly tube: number;
  readonly total: number;
}

/** The free length between carriage and guide as a column. */
export interface Column {
  /** m */
  readonly length: number;
  /** effective length over length, 1 */
  readonly factor: number;
  /** bending stiffness of the softest part, joints and vertebrae taken together, N m^2 */
  readonly stiffness: number;
  /** Euler's load, N */
  readonly euler: number;
  /** the same by the loaded arm itself with its cables at pretension, N; NaN where that could not be made */
  readonly solved: number;
  /** all tensions that pass there, N */
  readonly tension: number;
}

export interface RoomFact {
  /** least distance, m: 0 where something is run into; Infinity with nothing outside */
  readonly distance: number;
  readonly thing: string;
  /** what it is to; empty for nothing */
  readonly to: string;
}

/** Plain data. */
export interface OutsideFact {
  readonly outside: Outside;
  /** deepest feed, m; NaN when the arm did not get there */
  readonly feed: number;
  /** strokes of the carriage, 0 without one */
  readonly strokes: number;
  readonly room: RoomFact;
  /** at the depth where the column is used most; absent where the arm did not go in or nothing is unsupported */
  readonly buckling?: { readonly push: Push; readonly column: Column };
}
