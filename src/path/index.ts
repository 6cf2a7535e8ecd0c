export type { EndRegion, Obstacle, Route, RouteCurve, RouteRequest } from "./model.ts";
export { readRoute } from "./read-route.ts";
export { createRouteState, createRouteWork, type RouteState, type RouteWork } from "./route-state.ts";
export { stepRoute } from "./step-route.ts";
