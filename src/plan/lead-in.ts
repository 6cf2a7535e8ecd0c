/**
 * The straight way in: a port leaves less room than a route should have, so the route is sought from where, straight on along the
 * port's axis, there is as much as it asks for; the straight is put before it.
 */
import type { Route, RouteCurve, RouteRequest } from "../path/index.ts";
import { createSpaceAnswer, createSpaceWork, type SpaceModel, sampleSpace } from "../space/index.ts";

/** Farthest that is looked, in body radii. */
const farthest = 8;
const step = 1e-3;
/** Beyond what is asked for, m: a search in cells needs a little more than just enough. */
const spare = 1e-3;

/** Length of the straight to where the room asked for is, m; 0 when it is there at once, or nowhere before the body itself would touch. */
export function findLead(space: SpaceModel, request: RouteRequest): number {
  const { start, startDirection, radius, margin } = request;
  const count = Math.ceil((farthest * radius) / step);
  const points = new Float64Array(3 * (count + 1));
  for (let k = 0; k <= count; k++)
    for (let r = 0; r < 3; r++) points[3 * k + r] = (start[r] as number) + k * step * (startDirection[r] as number);
  const answer = createSpaceAnswer(count + 1);
  sampleSpace(space, points, count + 1, radius + margin + 2 * spare, answer, createSpaceWork(space));
  for (let k = 0; k <= count; k++) {
    const room = answer.distance[k] as number;
    if (room < radius) return 0;
    if (room >= radius + margin + spare) return k * step;
  }
  return 0;
}

/** The request from the end of the straight on. */
export function afterLead(request: RouteRequest, lead: number): RouteRequest {
  const start = request.start.map((v, r) => v + lead * (request.startDirection[r] as number)) as unknown as RouteRequest["start"];
  return { ...request, start, length: request.length - lead };
}

/** The route with the straight before it, its distances asked of the space anew. */
export function withLead(space: SpaceModel, route: Route, request: RouteRequest, lead: number): Route {
  const { curve } = route;
  const obstacles = route.obstacles.map((o) => (o.kind === "length" ? { ...o, is: o.is + lead, needed: o.needed + lead } : o));
  return curve === undefined ? { ...route, obstacles } : { ...route, obstacles, curve: prepend(space, curve, request, lead) };
}

function prepend(space: SpaceModel, curve: RouteCurve, request: RouteRequest, lead: number): RouteCurve {
  const extra = Math.ceil(lead / step);
  const count = curve.count + extra;
  const point = new Float64Array(3 * count);
  const tangent = new Float64Array(3 * count);
  const arc = new Float64Array(count);
  const curvature = new Float64Array(count);
  for (let k = 0; k < extra; k++) {
    arc[k] = (lead * k) / extra;
    for (let r = 0; r < 3; r++) {
      point[3 * k + r] = (request.start[r] as number) + (arc[k] as number) * (request.startDirection[r] as number);
      tangent[3 * k + r] = request.startDirection[r] as number;
    }
  }
  point.set(curve.point.subarray(0, 3 * curve.count), 3 * extra);
  tangent.set(curve.tangent.subarray(0, 3 * curve.count), 3 * extra);
  curvature.set(curve.curvature.subarray(0, curve.count), extra);
  for (let k = 0; k < curve.count; k++) arc[extra + k] = lead + (curve.arc[k] as number);
  const answer = createSpaceAnswer(count);
  sampleSpace(space, point, count, Number.POSITIVE_INFINITY, answer, createSpaceWork(space));
  return { count, point, tangent, arc, curvature, distance: answer.distance, body: answer.body };
}
