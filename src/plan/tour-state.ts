/** What stands while several targets, or one of several, are planned. */
import type { DepthRecord, InsertionState, SweepBound } from "../insertion/index.ts";
import type { Route } from "../path/index.ts";
import type { RodState } from "../rod/index.ts";
import type { SightFact, Verdict } from "../verdict/index.ts";
import type { WayCost } from "./cost-way.ts";
import type { PlanModel, PlanState } from "./model.ts";

/** One target of a tour, as it is visited. Plain data. */
export interface Visit {
  readonly target: string;
  /** which of the job's targets it is, in the order written, and which of its choices was taken */
  readonly written: number;
  readonly choice: number;
  /** every choice there was, the one taken first, then in the order of cost; one where there was none */
  readonly choices: readonly Choice[];
  /** depth at which it went on from the visit before, m; absent where the arm came from the port */
  readonly from?: number;
  readonly route: Route;
  /** from the port, or from where it went on, to the target */
  readonly wayIn: readonly DepthRecord[];
  /** from the target to the port, or to where the next visit goes on */
  readonly wayOut: readonly DepthRecord[];
  readonly sweep: SweepBound;
  readonly verdict: Verdict;
  readonly sight?: SightFact;
  /** feed, m, and turning of bends and base, rad, of its ways in and out, the change from the way before included */
  readonly cost: WayCost;
}

/** A target that would do, and why it was taken or not. */
export interface Choice {
  readonly target: string;
  readonly taken: boolean;
  readonly says: string;
}

/** The arm's way about one visit, as gone through with what was before. */
export interface Leg {
  readonly visit: number;
  readonly from?: number;
  wayIn: readonly DepthRecord[];
  wayOut: readonly DepthRecord[];
  /** as the arm stands at the target; undefined where it came from the port, as its own plan has it */
  rod?: RodState;
  branchGap?: InsertionState["branchGap"];
}

export interface TourState {
  phase: "choose" | "order" | "go" | "done";
  /** [target] each with its own plan, all visits' choices in the order written */
  readonly plans: PlanState[];
  /** the target whose ways the main plan shows while it runs */
  shown?: number;
  /** the visit being chosen for */
  visit: number;
  /** [visit] its choices from the cheapest route on, once their routes are known; how many of them were planned; the one taken */
  readonly ranked: number[][];
  readonly planned: number[];
  readonly taken: number[];
  /** by "one>other": how many of the gaps were tried in vain for going on between them */
  readonly failed: Record<string, number>;
  order: number[];
  cost: number;
  legs: Leg[];
  /** the part of a leg that is being gone through */
  going?: { readonly part: "back" | "over" | "out"; readonly state: InsertionState };
}

/** The plans of all targets: the first is the model's own. */
export function modelsOf(model: PlanModel): readonly PlanModel[] {
  return [model, ...(model.more ?? [])];
}
