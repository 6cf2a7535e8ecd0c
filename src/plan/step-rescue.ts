/** Where there is no route: which freedom at the target would give one. Each is asked of the path layer again. */
import { formatQuantity } from "../base/index.ts";
import {
  createRouteState,
  createRouteWork,
  type Route,
  type RouteRequest,
  type RouteState,
  type RouteWork,
  readRoute,
  stepRoute,
} from "../path/index.ts";
import type { PlanModel } from "./model.ts";

/** A changed demand at the target, with which a route is found. */
export interface Rescue {
  /** the change, in words */
  readonly says: string;
  /** of the route found with it, m, and radius of its sharpest bend, m */
  readonly length: number;
  readonly bend: number;
}

/** Plain data. */
export interface RescueState {
  done: boolean;
  readonly asks: readonly { readonly says: string; readonly request: RouteRequest }[];
  at: number;
  routeState: RouteState | undefined;
  found: Rescue[];
}

/** A wider cone, rad, and the widest asked for. */
const wider = Math.PI / 6;
const widest = Math.PI / 2;
/** How many of the body's diameters a place may be from the target for a freedom there to count. */
const near = 6;

/** @returns undefined where nothing at the target can help: what stands in the way is far from it, or the target has all freedom */
export function createRescue({ requests }: PlanModel, route: Route): RescueState | undefined {
  const last = requests[requests.length - 1];
  if (last === undefined || route.status === "found") return undefined;
  const within = last.standOff[1] + last.endStraight + last.bendRadius + 2 * near * last.radius;
  const helps = route.obstacles.some(({ kind, place }) => {
    if (kind === "start") return false;
    if (kind === "length" || kind === "target") return true;
    return Math.sqrt(place.reduce((sum, x, k) => sum + (x - (last.target[k] as number)) ** 2, 0)) < within;
  });
  if (!helps) return undefined;
  const brief = { ...last, explain: false };
  const cone = Math.min(widest, last.cone + wider);
  const far = 2 * Math.max(last.standOff[1], last.radius);
  const [degrees, reach] = [formatQuantity(cone, "angle", "metric", 3), formatQuantity(far, "length", "metric", 3)];
  const isWider = cone > last.cone + 1e-9;
  const longer = 1.25 * last.length;
  const asks = [
    ...(isWider ? [{ says: `aims within ${degrees} of the middle one`, request: { ...brief, cone } }] : []),
    { says: `a stand-off of up to ${reach}`, request: { ...brief, standOff: [last.standOff[0], far] as const } },
    ...(isWider
      ? [
          {
            says: `both: aims within ${degrees}, and a stand-off of up to ${reach}`,
            request: { ...brief, cone, standOff: [last.standOff[0], far] as const },
          },
        ]
      : []),
    ...(route.obstacles.some(({ kind }) => kind === "length")
      ? [
          {
            says: `an arm that puts out a quarter more, ${formatQuantity(longer, "length", "metric", 3)}`,
            request: { ...brief, length: longer },
          },
        ]
      : []),
  ];
  return { done: false, asks, at: 0, routeState: undefined, found: [] };
}

/** One step; `state.done` says when all were asked. What both freedoms together give is asked only where neither alone does. */
export function stepRescue({ space }: PlanModel, state: RescueState, work: RouteWork): void {
  const ask = state.asks[state.at];
  if (ask === undefined) {
    state.done = true;
    return;
  }
  if (ask.says.startsWith("both") && state.found.length > 0) {
    state.at++;
    return;
  }
  state.routeState ??= createRouteState(ask.request);
  stepRoute(space, ask.request, state.routeState, work);
  if (!state.routeState.done) return;
  const { status, curve } = readRoute(space, ask.request, state.routeState);
  state.routeState = undefined;
  state.at++;
  Object.assign(work, createRouteWork(space));
  if (status !== "found" || curve === undefined) return;
  const sharpest = curve.curvature.reduce((most, k) => Math.max(most, k), 0);
  state.found.push({
    says: ask.says,
    length: curve.arc[curve.count - 1] as number,
    bend: sharpest > 0 ? 1 / sharpest : Number.POSITIVE_INFINITY,
  });
}
