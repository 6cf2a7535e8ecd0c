/**
 * Several routes that are not one another disturbed: the first is cut across where it passes something closely, and a way
 * is sought that keeps off the cut; and so on with what is found.
 */
import type { SpaceModel } from "../space/index.ts";
import { type Cut, cutPlaces, cutWay, wayCrosses } from "./cut-way.ts";
import { pastThroat } from "./enter-port.ts";
import { boundGoals, createSearch } from "./find-way.ts";
import type { RouteRequest } from "./model.ts";
import { readRoute } from "./read-route.ts";
import { createRouteState, neededRoom, type RouteState, type RouteWork } from "./route-state.ts";
import type { RouteOffer, RoutesState } from "./routes-state.ts";
import { stepRoute, stringsAStep } from "./step-route.ts";
import { createSweep, stepSweep } from "./sweep-ways.ts";

/** Cuts tried across one way, and searches in all for each route wanted. */
const cutsAWay = 5;
const searchesARoute = 3;
/** Searches one after another that bring nothing new before it is taken that there is nothing more. */
const mostFruitless = 3;

/**
 * One step, well under 50 ms; `state.done` says when it is over. Does nothing then.
 *
 * @param most  routes wanted, >= 1
 */
export function stepRoutes(space: SpaceModel, request: RouteRequest, most: number, state: RoutesState, work: RouteWork): void {
  if (state.done) return;
  const { running } = state;
  if (!running.done) {
    // what would be possible with other limits is worth knowing of the first alone
    stepRoute(space, state.cuts.length > 0 ? { ...request, explain: false } : request, running, work);
    const searches = 1 + searchesARoute * (most - 1);
    state.progress = Math.max(state.progress, Math.min(0.99, (state.tried + running.progress) / searches));
    state.says = state.tried === 0 ? running.says : `another way round: ${running.says}`;
    return;
  }
  if (running.status === "found" && !running.same && state.compared < state.offers.length) {
    compareCurves(space, request, state, work);
    return;
  }
  takeUp(space, request, most, state, work);
  const next = state.asks.shift();
  const found = state.offers.filter(({ route }) => route.status === "found").length;
  if (next === undefined || found >= most || state.fruitless >= mostFruitless || state.tried > searchesARoute * (most - 1)) {
    state.done = true;
    state.progress = 1;
    state.says = found === 1 ? "one route was found" : `${found} routes were found`;
    return;
  }
  state.cuts = next;
  state.running = seekPast(request, state, next);
}

/** Two ways may relax into one curve: then the second is no other route. */
function compareCurves(space: SpaceModel, request: RouteRequest, state: RoutesState, work: RouteWork): void {
  const { running, offers } = state;
  const { route } = offers[state.compared] as RouteOffer;
  const need = neededRoom(request);
  if (route.status !== "found" || route.curve === undefined) {
    state.compared += 1;
    return;
  }
  state.sweep ??= createSweep([...route.curve.point], [...running.curve!.point], need);
  stepSweep(space, need, stringsAStep, state.sweep, work);
  if (state.sweep.phase === 0) return;
  running.same = state.sweep.phase === 1;
  state.sweep = null;
  state.compared += 1;
}

/** What the search that has ended brought: an offer, and where it may be cut in its turn. */
function takeUp(space: SpaceModel, request: RouteRequest, most: number, state: RoutesState, work: RouteWork): void {
  const { running, cuts } = state;
  state.tried += 1;
  state.compared = 0;
  const before = state.offers.length;
  const way = running.attemptWay.length > 0 && running.status !== "found" ? running.attemptWay : running.way;
  const hasWay = way.length > 0 && (running.status === "found" || running.attemptWay.length > 0);
  if (running.same) state.known += 1;
  else if (hasWay || cuts.length === 0)
    state.offers.push({ route: readRoute(space, request, running), way: hasWay ? way : [], cuts: cuts.length });
  state.fruitless = state.offers.length > before || cuts.length === 0 ? 0 : state.fruitless + 1;
  if (!hasWay && !running.same) state.none += 1;
  if (!hasWay || (running.same && cuts.length > 0) || most < 2) return;
  for (const arc of cutPlaces(space, running.cells!, way, cutsAWay, work))
    state.asks.push([...cuts, cutWay(space, running.cells!, way, arc, work)]);
}

/** A search on the same octree for a way that keeps off the cuts and is none of those known. */
function seekPast(request: RouteRequest, state: RoutesState, cuts: readonly Cut[]): RouteState {
  const { running, offers } = state;
  const fresh = createRouteState(request);
  const goals = running.goals.filter((goal) => !wayCrosses(cuts, goal.lead));
  const begun: RouteState = {
    ...fresh,
    stage: "search",
    says: "looking for a way",
    throat: running.throat,
    cells: running.cells,
    endsTried: running.endsTried,
    ends: running.ends,
    endRoom: running.endRoom,
    goals,
    cuts,
    others: offers.map((offer: RouteOffer) => offer.way).filter((way) => way.length > 0),
    search: createSearch(),
  };
  if (goals.length === 0) return { ...begun, stage: "done", done: true, status: "no-passage" };
  begun.goalBall = boundGoals(pastThroat(request, running.throat), goals);
  return begun;
}
