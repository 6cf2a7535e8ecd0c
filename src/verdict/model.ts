/** The answer: margins, worst first, and what follows from them. Computes no mechanics. */

/** What a margin is counted in; the rim prints it in the user's units. */
export type MarginUnit = "m" | "rad" | "N" | "Pa" | "1" | "kg" | "N m" | "rad/s";

export interface MarginPlace {
  /** which visit, in the order made, where a plan has several */
  readonly visit?: number;
  readonly way?: "in" | "out";
  /** m of feed */
  readonly depth?: number;
  readonly section?: number;
  readonly cable?: number;
  readonly vertebra?: number;
  readonly body?: number;
  /** [3] m, world */
  readonly place?: readonly [number, number, number];
}

/** One change that would move a margin, from a local sensitivity or from a re-plan. */
export interface Gain {
  readonly says: string;
  /** `estimated` from a local sensitivity, `planned` again with the change */
  readonly from: "estimated" | "planned";
}

export interface MarginRow {
  /** stable name, as `clearance`, `cable-load` */
  readonly id: string;
  readonly title: string;
  /** what the job asks of the arm (clearance: what is required) */
  readonly demand: number;
  /** what the arm can give (clearance: what there is) */
  readonly limit: number;
  readonly unit: MarginUnit;
  /** demand / limit; over 1 fails; Infinity when the limit is gone */
  readonly use: number;
  /** uses above this are a warning */
  readonly warnAbove: number;
  readonly state: "ok" | "warning" | "over" | "unknown";
  readonly where: MarginPlace;
  readonly whereSays: string;
  readonly gains: readonly Gain[];
  /**
   * one standard deviation of what was found (the demand; clearance and touch: the limit) for how well the arm's numbers are known, in the row's
   * unit; NaN when a changed arm found no balance; absent when the arm was not fitted and no range says, or the row does not depend on it
   */
  readonly spread?: number;
  /** what the number leaves out or assumes */
  readonly note?: string;
}

export interface Verdict {
  readonly answer: "go" | "go with conditions" | "no go" | "undecided";
  /** one sentence a person can repeat */
  readonly says: string;
  readonly reasons: readonly string[];
  /** ordered by use, worst first */
  readonly rows: readonly MarginRow[];
  readonly conditions: readonly string[];
  readonly notChecked: readonly string[];
  readonly assumptions: readonly string[];
  readonly cautions: readonly string[];
}
