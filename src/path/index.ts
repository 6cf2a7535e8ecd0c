export type { Obstacle, Route, RouteCurve, RouteRequest } from "./model.ts";
