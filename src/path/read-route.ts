import { assert } from "../base/index.ts";
import type { SpaceModel } from "../space/index.ts";
import type { Route, RouteRequest } from "./model.ts";
import type { RouteState } from "./route-state.ts";

/** The route of a state that is done. A curve that is not `found` is the best attempt, never a way in. */
export function readRoute(_space: SpaceModel, _request: RouteRequest, state: RouteState): Route {
  assert(state.done, "a route is read when its search is done");
  const { status, obstacles, resolution } = state;
  return state.curve === null ? { status, obstacles, resolution } : { status, curve: state.curve, obstacles, resolution };
}
