/** From one stage of the search for a route to the next, and to its end. */
import type { Obstacle } from "./model.ts";
import type { RouteState } from "./route-state.ts";
import { sayMm } from "./say-obstacle.ts";

export function goOn(state: RouteState, stage: RouteState["stage"], says: string, progress: number): void {
  state.stage = stage;
  state.says = says;
  state.progress = Math.max(state.progress, progress);
}

export function finish(state: RouteState, status: RouteState["status"], obstacles: readonly Obstacle[]): void {
  state.status = status;
  state.obstacles = [...obstacles];
  state.stage = "done";
  state.done = true;
  state.progress = 1;
  const length = state.curve === null ? 0 : state.curve.arc[state.curve.count - 1]!;
  state.says = status === "found" ? `a route of ${sayMm(length)} was found` : (obstacles[0]?.says ?? "no route was found");
}
