/** A verdict as people read it: what was found against what is allowed, and nothing said twice. */
import type { MarginRow, Verdict } from "./model.ts";

export interface Reading {
  /** what there is, in the row's unit; +Infinity: nothing is near */
  readonly found: number;
  readonly allowed: number;
  readonly side: "at least" | "at most";
}

/** Distances are to be kept, everything else is not to be passed. */
export function readMargin(row: MarginRow): Reading {
  if (row.id !== "clearance" && row.id !== "touch") return { found: row.demand, allowed: row.limit, side: "at most" };
  return {
    found: row.where.body === undefined && row.use === 0 ? Number.POSITIVE_INFINITY : row.limit,
    allowed: row.demand,
    side: "at least",
  };
}

/** The conditions without the one that only repeats what was not checked; for faces that list that by itself. */
export function otherConditions(verdict: Verdict): string[] {
  const { conditions, notChecked } = verdict;
  return conditions.filter((says) => notChecked.length === 0 || !notChecked.every((one) => says.includes(one)));
}

/** How a face heads the list of what was not checked. */
export function headNotChecked(verdict: Verdict): string {
  return verdict.conditions.length > 0 ? "Not checked yet: settle before use" : "Not checked yet";
}
