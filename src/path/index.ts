export type { Passage } from "./find-neck.ts";
export { measureRoute, type RouteMeasures } from "./measure-route.ts";
export type { EndRegion, Obstacle, Route, RouteCurve, RouteRequest } from "./model.ts";
export { readRoute } from "./read-route.ts";
export { createRouteState, createRouteWork, type RouteState, type RouteWork } from "./route-state.ts";
export { createRoutesState, type RouteOffer, type RoutesState } from "./routes-state.ts";
export { stepRoute } from "./step-route.ts";
export { stepRoutes } from "./step-routes.ts";
