/** What is measured on an arm, and what is found from it. Plain data. */
import type { FittedName } from "../arm/index.ts";
import type { QuantityKind } from "../base/index.ts";

/**
 * What can be fitted. `stiffness`: factor on the modulus of every backbone rod; `stretch`: factor on the give of every cable
 * (one over its modulus; conduit and drive go into it); `effective-length`: added to the length over which the rods bend in
 * every section, m; `hole-friction`, `conduit-friction`: added to the coefficients of the cables.
 */
export type ParameterName = FittedName;

/** Sets how the arm stands in a row. */
export type SetName = "load" | "side" | "length out" | "roll" | "hold" | "bend" | "towards" | "command" | "draw";
/** Is read off in a row. */
export type MeasuredName = "height" | "drop" | "x" | "y" | "z" | "twist" | "tension";

export interface ColumnKind {
  readonly quantity: QuantityKind;
  readonly role: "set" | "measured";
  /** what its number counts, as in `draw 3 (mm)` */
  readonly counts?: "section" | "cable";
  /** the number may be left out: all of them */
  readonly all?: boolean;
}

/** Order in which headings are listed to people. */
export const columnKinds: Readonly<Record<SetName | MeasuredName, ColumnKind>> = {
  load: { quantity: "mass", role: "set" },
  side: { quantity: "length", role: "set" },
  "length out": { quantity: "length", role: "set" },
  roll: { quantity: "angle", role: "set" },
  hold: { quantity: "force", role: "set" },
  bend: { quantity: "angle", role: "set", counts: "section", all: true },
  towards: { quantity: "angle", role: "set", counts: "section", all: true },
  command: { quantity: "angle", role: "set", counts: "section", all: true },
  draw: { quantity: "length", role: "set", counts: "cable" },
  height: { quantity: "length", role: "measured" },
  drop: { quantity: "length", role: "measured" },
  x: { quantity: "length", role: "measured" },
  y: { quantity: "length", role: "measured" },
  z: { quantity: "length", role: "measured" },
  twist: { quantity: "angle", role: "measured" },
  tension: { quantity: "force", role: "measured", counts: "cable" },
};

export interface Column {
  /** as it stands in the file */
  readonly heading: string;
  readonly name: SetName | MeasuredName;
  /** section or cable it is about, from 0; -1: all of them, or none */
  readonly index: number;
  /** the column holds how sure each reading of that name is, not the reading */
  readonly spread: boolean;
  /** from 1, in the file */
  readonly place: number;
}

export interface TableRow {
  /** from 1 in the file, headings and comments counted */
  readonly row: number;
  /** [column] SI; NaN where the cell is empty */
  readonly cells: Float64Array;
}

export interface Table {
  readonly file: string;
  readonly columns: readonly Column[];
  readonly rows: readonly TableRow[];
}

/** How the arm was fixed for the measurements: its guide's exit is the origin of all places. */
export interface Rig {
  /** [3] unit, out of the guide */
  readonly axis: readonly [number, number, number];
  /** [3] m/s^2 */
  readonly gravity: readonly [number, number, number];
}

/** Several tables may be of different kinds: `droop` hangs loads on, `command` asks the drives, `pull` reads tensions. */
export type TableSort = "droop" | "command" | "pull";

/**
 * A row as the solver takes it. One of three ways to hold the arm: `hold` all cables at one tension; `bend`: bent so under its own weight,
 * then the drives are locked and the load is hung on; `draw`: each drive has drawn so much since the arm was straight at its pretension.
 */
export interface MeasuredRow {
  /** which of the tables */
  readonly table: number;
  readonly row: number;
  readonly way: "hold" | "bend" | "draw";
  /** tension of every cable, N */
  readonly hold: number;
  /** [section, 2] rad */
  readonly bend: Float64Array;
  /** [cable] m */
  readonly draw: Float64Array;
  /** straight guide holds the rest, m */
  readonly exit: number;
  /** rad about the arm's axis */
  readonly roll: number;
  /** kg, hung from the tool point, this far to the left of the tool's axis seen from the guide, m */
  readonly load: number;
  readonly side: number;
  readonly readings: readonly Reading[];
}

export interface Reading {
  readonly name: MeasuredName;
  /** cable, from 0; -1 where there is none */
  readonly index: number;
  readonly heading: string;
  readonly place: number;
  /** SI */
  readonly value: number;
  /** standard deviation stated in the table; NaN when it has none */
  readonly spread: number;
}
