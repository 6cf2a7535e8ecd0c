import { assert } from "../base/index.ts";
import type { SpaceModel } from "../space/index.ts";
import type { Route, RouteRequest } from "./model.ts";
import { atEnd, type RouteState } from "./route-state.ts";

/** The route of a state that is done. A curve that is not `found` is the best attempt, never a way in. */
export function readRoute(_space: SpaceModel, request: RouteRequest, state: RouteState): Route {
  assert(state.done, "a route is read when its search is done");
  const { status, obstacles, resolution, reached, beyond } = state;
  if (state.curve === null) {
    const far = reached.length > 3 ? { reached: Float64Array.from(reached) } : {};
    const on = beyond.length > 3 ? { beyond: Float64Array.from(beyond) } : {};
    return { status, obstacles, resolution, ...far, ...on };
  }
  const place = request.ends === undefined ? {} : { place: atEnd(request, state).target };
  return { status, curve: state.curve, obstacles, resolution, ...place };
}
