/** The routes that a job leaves to choose from, each with what it leaves to spare; and the plan by one of them. */
import { assert } from "../base/index.ts";
import {
  createRoutesState,
  createRouteWork,
  measureRoute,
  type Route,
  type RouteMeasures,
  type RouteOffer,
  type RouteRequest,
  type RoutesState,
  type RouteWork,
  stepRoutes,
} from "../path/index.ts";
import type { PlanModel } from "./model.ts";
import { seesFromEnd } from "./sees-from-end.ts";

/** A route to choose. Plain data. */
export interface OfferedRoute {
  /** counted from 1, in the order found: the first is what a plan takes by itself */
  readonly number: number;
  readonly route: Route;
  /** absent where no curve keeps the limits */
  readonly measures?: RouteMeasures;
  /** which of the plan's demands it meets: its place in `listAsks` */
  readonly ask: number;
  /** why the arm cannot follow it, in words; empty when it can, absent when it was not tried */
  readonly came?: string;
}

/** Plain data. */
export interface OffersState {
  done: boolean;
  /** 0 to 1 */
  progress: number;
  says: string;
  ask: number;
  routes: RoutesState | undefined;
  offers: OfferedRoute[];
  /** those of them that were found, with their ways */
  known: RouteOffer[];
  /** a look does not see its place from the first route found: ends are sought that do, and the routes found before are kept */
  seeing: boolean;
  blind: OfferedRoute[];
}

/** What is asked of routes, the most comfortable first; then the same to ends that see their place, where not all do. */
export function listAsks({ seen, requests }: Pick<PlanModel, "seen" | "requests">): readonly RouteRequest[] {
  return [...requests, ...(seen ?? [])];
}

/** @param ask the first of `listAsks` to be tried */
export function createOffersState(ask = 0): OffersState {
  return {
    done: false,
    progress: 0,
    says: "Looking for the routes there are.",
    ask,
    routes: undefined,
    offers: [],
    known: [],
    seeing: false,
    blind: [],
  };
}

/** One step; asks are lowered until there are two routes to choose from. @param most routes wanted */
export function stepOffers(model: PlanModel, most: number, state: OffersState, work: { route: RouteWork }): void {
  if (state.done) return;
  const asks = listAsks(model);
  const own = model.requests.length;
  const request = state.ask < own || state.seeing ? asks[state.ask] : undefined;
  if (request === undefined) {
    // from none of the ends that see the place: those that were found before are offered
    state.offers = [...state.blind];
    state.done = true;
    return;
  }
  const brief = { ...request, explain: false };
  state.routes ??= createRoutesState(brief, state.known);
  const { routes } = state;
  stepRoutes(model.space, brief, most, routes, work.route);
  state.progress = Math.max(state.progress, (state.ask + routes.progress) / asks.length);
  state.says = `Looking for the routes there are: ${routes.says}.`;
  if (!routes.done) return;
  if (
    model.seen !== undefined &&
    !state.seeing &&
    routes.offers.some(({ route }) => route.status === "found" && !seesFromEnd(model, route))
  ) {
    state.seeing = true;
    state.blind = routes.offers.flatMap(({ route }, k) => offerOf(model, brief, route, k + 1, state.ask, work.route));
    state.ask = own;
    state.routes = undefined;
    work.route = createRouteWork(model.space);
    return;
  }
  for (const offer of routes.offers.slice(state.known.length)) {
    const made = offerOf(model, brief, offer.route, state.known.length + 1, state.ask, work.route);
    if (made.length > 0) state.known.push(offer);
    state.offers.push(...made);
  }
  const others = routes.offers.filter(({ route, way }) => route.status !== "found" && way.length > 0);
  state.routes = undefined;
  // one way round is no choice: what asks for least may leave another
  const least = (state.seeing ? asks.length : own) - 1;
  if (state.known.length < Math.min(2, most) && state.ask < least) {
    state.ask = state.known.length === 0 ? state.ask + 1 : least;
    work.route = createRouteWork(model.space);
    return;
  }
  for (const { route } of others) state.offers.push({ number: state.offers.length + 1, route, ask: state.ask });
  state.done = true;
  state.progress = 1;
}

/** The offer of a route that was found; none of one that was not. */
function offerOf(model: PlanModel, request: RouteRequest, route: Route, number: number, ask: number, work: RouteWork): OfferedRoute[] {
  if (route.status !== "found" || route.curve === undefined) return [];
  return [{ number, route, measures: measureRoute(model.space, request, route.curve, work), ask }];
}

/** What the route of an offer keeps beyond the job's clearance, m. */
export function reserveOfAsk(model: PlanModel, ask: number): number {
  const request = listAsks(model)[ask];
  assert(request !== undefined, "an offer is of one of the asks");
  return request.margin;
}
