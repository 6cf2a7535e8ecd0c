/** What a route leaves to spare, in numbers with their places. */
import type { SpaceModel } from "../space/index.ts";
import { narrowestNear, type Passage } from "./find-neck.ts";
import type { RouteCurve, RouteRequest } from "./model.ts";
import { neededRoom, type RouteWork } from "./route-state.ts";

/** All lengths m, places world. */
export interface RouteMeasures {
  /** from the guide's exit to the tool point */
  readonly length: number;
  /** least room beyond the body's radius along the curve, port and straight end (the tool) left out, and what makes it */
  readonly clearance: number;
  readonly clearanceAt: readonly [number, number, number];
  readonly clearanceBody: number;
  /** radius of the sharpest bend (infinite on a straight curve), and its place */
  readonly bend: number;
  readonly bendAt: readonly [number, number, number];
  /** the narrowest passage it goes through: free radius at the widest place across it */
  readonly passage: Passage;
}

/** Places at which the passage is measured. */
const passages = 6;

export function measureRoute(space: SpaceModel, request: RouteRequest, curve: RouteCurve, work: RouteWork): RouteMeasures {
  const { count, arc, distance, curvature, point, tangent, body } = curve;
  const last = arc[count - 1]!;
  const at = (i: number): [number, number, number] => [point[3 * i]!, point[3 * i + 1]!, point[3 * i + 2]!];
  const end = last - request.endStraight - neededRoom(request);
  // the port is a bore, and as a rule the narrowest of all: on from it, the room grows first
  let first = 0;
  while (first + 1 < count && arc[first]! < end && (distance[first]! < neededRoom(request) || distance[first + 1]! > distance[first]!))
    first += 1;
  let least = first;
  let sharpest = 0;
  const lows: number[] = [];
  for (let i = 0; i < count; i += 1) {
    if (curvature[i]! > curvature[sharpest]!) sharpest = i;
    if (i < first || (arc[i]! > end && i > first)) continue;
    if (distance[i]! < distance[least]!) least = i;
    if ((i === first || distance[i]! <= distance[i - 1]!) && (i + 1 >= count || distance[i]! < distance[i + 1]!)) lows.push(i);
  }
  lows.sort((a, b) => distance[a]! - distance[b]! || a - b);
  let passage: Passage = { place: at(least), free: distance[least]!, body: body[least]! };
  let narrowest = Number.POSITIVE_INFINITY;
  for (const i of lows.slice(0, passages)) {
    const there = narrowestNear(space, at(i), [tangent[3 * i]!, tangent[3 * i + 1]!, tangent[3 * i + 2]!], neededRoom(request) / 4, work);
    if (there.free >= narrowest) continue;
    narrowest = there.free;
    passage = there;
  }
  return {
    length: last,
    clearance: distance[least]! - request.radius,
    clearanceAt: at(least),
    clearanceBody: body[least]!,
    bend: curvature[sharpest]! > 0 ? 1 / curvature[sharpest]! : Number.POSITIVE_INFINITY,
    bendAt: at(sharpest),
    passage,
  };
}
