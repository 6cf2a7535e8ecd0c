/** What a search for several routes remembers between two steps (plain data). */
import type { Cut } from "./cut-way.ts";
import type { Route, RouteRequest } from "./model.ts";
import { createRouteState, type RouteState } from "./route-state.ts";
import type { SweepState } from "./sweep-ways.ts";

/** One way through the space, and the route along it. Different offers cannot be moved over into one another by free strings. */
export interface RouteOffer {
  readonly route: Route;
  /** [k, 3] corners of the way from the port (past its throat) to where the straight end begins, m */
  readonly way: readonly number[];
  /** how many cuts across other ways it keeps off: 0 for the first */
  readonly cuts: number;
}

/** Plain data. */
export interface RoutesState {
  done: boolean;
  /** 0 to 1 */
  progress: number;
  says: string;
  /** the search that is running */
  running: RouteState;
  offers: RouteOffer[];
  /** sets of cuts still to be kept off */
  asks: (readonly Cut[])[];
  /** cuts of the search that is running */
  cuts: readonly Cut[];
  /** offers that the curve just found has been compared with, and the comparison that is running */
  compared: number;
  sweep: SweepState | null;
  /** searches ended, and those of them that ended at a way known already, or with no way at all */
  tried: number;
  known: number;
  none: number;
  /** searches since the last that brought an offer */
  fruitless: number;
}

/** @param known routes found with other demands: one that can be moved over into one of them is no new one */
export function createRoutesState(request: RouteRequest, known: readonly RouteOffer[] = []): RoutesState {
  return {
    done: false,
    progress: 0,
    says: "looking at the port and the target",
    running: createRouteState(request),
    offers: [...known],
    asks: [],
    cuts: [],
    compared: 0,
    sweep: null,
    tried: 0,
    known: 0,
    none: 0,
    fruitless: 0,
  };
}
