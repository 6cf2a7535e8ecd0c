/** Where a route begins and where it may go: the throat of the port and the box of the search. */
import { type SpaceModel, sampleSpace } from "../space/index.ts";
import type { RouteRequest } from "./model.ts";
import { neededRoom, type RouteWork } from "./route-state.ts";

/** Longest throat of a port, in needed rooms, and the room at which it ends, likewise. */
const throatLength = 12;
const throatEnd = 1.03;

/** The request as it is from where the throat of the port ends. */
export function pastThroat(request: RouteRequest, throat: number): RouteRequest {
  if (throat === 0) return request;
  const [x, y, z] = request.start;
  const [dx, dy, dz] = request.startDirection;
  return { ...request, start: [x + throat * dx, y + throat * dy, z + throat * dz], length: request.length - throat };
}

/**
 * The throat of the port: how far the axis runs before the full room is there. Up to here the guide steers the body, which
 * goes straight and need only fit. 0 where the room is there at once.
 */
export function measureThroat(
  space: SpaceModel,
  request: RouteRequest,
  work: RouteWork,
): { throat: number; free: number; at: [number, number, number]; body: number; blocked: boolean } {
  const need = neededRoom(request);
  const { points, answer } = work.cells;
  const n = 1 + throatLength * 16;
  const at = (i: number): [number, number, number] => {
    const t = (need * i) / 16;
    return [0, 1, 2].map((k) => request.start[k]! + t * request.startDirection[k]!) as [number, number, number];
  };
  for (let i = 0; i < n; i += 1) points.set(at(i), 3 * i);
  sampleSpace(space, points, n, 8 * need, answer, work.cells.space);
  let tightest = 0;
  for (let i = 0; i < n && answer.distance[tightest]! >= request.radius - 1e-9; i += 1) {
    if (answer.distance[i]! >= throatEnd * need) {
      return { throat: (need * i) / 16, free: answer.distance[i]!, at: at(i), body: answer.body[i]!, blocked: false };
    }
    if (answer.distance[i]! < answer.distance[tightest]!) tightest = i;
  }
  const blocked = answer.distance[0]! < need - 1e-9;
  const where = blocked ? tightest : 0;
  return { throat: 0, free: answer.distance[where]!, at: at(where), body: answer.body[where]!, blocked };
}

/** Where the search may go. */
export function searchBox(space: SpaceModel, request: RouteRequest): number[] {
  if (request.bounds !== undefined) return [...request.bounds];
  const need = neededRoom(request);
  const known = Array.from(space.bounds);
  if (!known.every(Number.isFinite) || known[3]! < known[0]!) {
    const room = 4 * request.bendRadius + request.endStraight + request.standOff[1] + 8 * need;
    return [0, 1, 2, 3, 4, 5].map((i) => {
      const ends = [request.start[i % 3]!, request.target[i % 3]!];
      return i < 3 ? Math.min(...ends) - room : Math.max(...ends) + room;
    });
  }
  const diagonal = Math.sqrt((known[3]! - known[0]!) ** 2 + (known[4]! - known[1]!) ** 2 + (known[5]! - known[2]!) ** 2);
  const room = Math.max(6 * need, Math.min(0.1 * diagonal, 2 * request.bendRadius));
  const inSpace = request.target.every((x, k) => x >= known[k]! - room && x <= known[k + 3]! + room);
  const endRoom = request.standOff[1] + request.endStraight + request.bendRadius + 2 * need;
  return known.map((value, i) => {
    const start = request.start[i % 3]!;
    const target = inSpace ? request.target[i % 3]! : start;
    return i < 3 ? Math.min(value - room, start - 2 * need, target - endRoom) : Math.max(value + room, start + 2 * need, target + endRoom);
  });
}
