/** The whole result of one job. Plain data: it can be saved, posted and drawn. */
import type { DepthRecord, SweepBound } from "../insertion/index.ts";
import type { Route } from "../path/index.ts";
import type { Verdict } from "../verdict/index.ts";

export interface PlanResult {
  readonly version: 1;
  /** the project's own version */
  readonly withy: string;
  readonly job: string;
  readonly arm: string;
  /** name and content hash (fnv-1a, 64 bit, hex) of every input file */
  readonly inputs: readonly { readonly file: string; readonly hash: string }[];
  readonly route: Route;
  /** from the port inwards */
  readonly wayIn: readonly DepthRecord[];
  /** from the target outwards */
  readonly wayOut: readonly DepthRecord[];
  readonly sweep: SweepBound;
  readonly verdict: Verdict;
}

export interface PlanProgress {
  readonly stage: "space" | "route" | "way in" | "way out" | "checks" | "done";
  /** 0 to 1 over the whole plan */
  readonly done: number;
  readonly says: string;
}
