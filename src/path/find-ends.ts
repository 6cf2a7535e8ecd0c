/**
 * The ends that a target permits: tool points on rays through the target within the cone, each with its straight end
 * free; and from each the arcs of the arm's bend radius by which it may be approached.
 */
import { type SpaceModel, sampleSpace } from "../space/index.ts";
import type { EndRegion, RouteRequest } from "./model.ts";
import { neededRoom, type RouteState, type RouteWork, roomAtEnd, straightLength } from "./route-state.ts";

/** Rings of directions about the middle of the cone: share of the half-angle, directions. */
const rings: readonly (readonly [number, number])[] = [
  [0, 1],
  [0.33, 6],
  [0.66, 10],
  [0.98, 14],
];
/** Ends from which arcs are sought as well. */
const arcEnds = 10;
const arcSides = 8;

/** How many candidates there are; of several regions each one has as many as the largest. */
export function endCandidates(request: RouteRequest): number {
  const { ends } = request;
  return ends === undefined ? ofRegion(request) : ends.length * Math.max(0, ...ends.map(ofRegion));
}

function ofRegion(region: EndRegion): number {
  const directions = region.cone > 1e-6 ? rings.reduce((sum, ring) => sum + ring[1], 0) : 1;
  return directions * standOffs(region).length;
}

/**
 * How far, at most, a tool point or its straight end that the target permits is from that of some candidate, m; with the
 * slope of what is asked for there. Room changes no faster, so that a greater shortfall of all candidates is a proof.
 */
export function endGrain(request: RouteRequest): number {
  const { ends, endsApart = 0 } = request;
  if (ends !== undefined) return endsApart + Math.max(0, ...ends.map((region) => endGrain(inRegion(request, region))));
  const [least, most] = request.standOff;
  // rings a third of the cone apart, directions on them a fifth of it from the middle between: 0.28 of it at most
  const turn = 0.28 * request.cone;
  return turn * (most + straightLength(request, most)) + 2 * 0.25 * (most - least);
}

/** Tries one candidate: adds its end and goals to the state when the straight end is free. */
export function tryEnd(space: SpaceModel, request: RouteRequest, index: number, state: RouteState, work: RouteWork): void {
  const { ends } = request;
  if (ends === undefined) {
    tryIn(space, request, index, undefined, state, work);
    return;
  }
  // the regions in turn: the first ends are of all of them
  const k = index % ends.length;
  const region = ends[k]!;
  const own = Math.floor(index / ends.length);
  if (own < ofRegion(region)) tryIn(space, inRegion(request, region), own, k, state, work);
}

function inRegion({ ends: _, endsApart: __, ...request }: RouteRequest, region: EndRegion): RouteRequest {
  return { ...request, ...region };
}

function tryIn(
  space: SpaceModel,
  request: RouteRequest,
  index: number,
  region: number | undefined,
  state: RouteState,
  work: RouteWork,
): void {
  const choices = standOffs(request);
  const standOff = choices[index % choices.length]!;
  const direction = coneDirection(request, Math.floor(index / choices.length));
  const straight = straightLength(request, standOff);
  const at = (back: number): [number, number, number] => [
    request.target[0] - direction[0] * (standOff + back),
    request.target[1] - direction[1] * (standOff + back),
    request.target[2] - direction[2] * (standOff + back),
  ];
  const room = straightRoom(space, request, at, standOff, straight, state, work);
  if (room.free < room.needed) {
    if (room.free - room.needed > state.endRoom.free - state.endRoom.needed) state.endRoom = room;
    return;
  }
  const end = state.ends.length;
  state.ends.push({ tool: at(0), direction, standOff, ...(region === undefined ? {} : { region }) });
  const tilt = Math.acos(Math.min(1, dot(direction, request.aim)));
  const dislike = 0.2 * request.bendRadius * tilt * tilt + 0.1 * Math.abs(standOff - choices[0]!);
  const start = at(straight);
  state.goals.push({ end, point: start, direction, extra: dislike, lead: start });
  if (end < arcEnds) addArcs(space, request, end, start, direction, dislike, state, work);
}

/** Least free radius less the needed one along the straight end, with what is there. */
function straightRoom(
  space: SpaceModel,
  request: RouteRequest,
  at: (back: number) => [number, number, number],
  standOff: number,
  straight: number,
  state: RouteState,
  work: RouteWork,
): RouteState["endRoom"] {
  const need = neededRoom(request);
  const { points, answer } = work.cells;
  const n = Math.min(answer.distance.length, 2 + Math.ceil(straight / (0.15 * need)));
  for (let i = 0; i < n; i += 1) points.set(at((straight * i) / (n - 1)), 3 * i);
  sampleSpace(space, points, n, 1.5 * need, answer, work.cells.space);
  let worst = { free: Number.POSITIVE_INFINITY, needed: 0, at: at(0), body: -1 };
  const box = state.cells!.box;
  for (let i = 0; i < n; i += 1) {
    const place = at((straight * i) / (n - 1));
    const needed = roomAtEnd(request, standOff + (straight * i) / (n - 1));
    const outside = Math.min(
      place[0] - box[0]!,
      place[1] - box[1]!,
      place[2] - box[2]!,
      box[3]! - place[0],
      box[4]! - place[1],
      box[5]! - place[2],
    );
    const free = outside < 0 ? outside : answer.distance[i]!;
    if (free - needed < worst.free - worst.needed) worst = { free, needed, at: place, body: outside < 0 ? -1 : answer.body[i]! };
  }
  return worst;
}

/** Arcs that bend into the straight end from every side, as far round as there is room. */
function addArcs(
  space: SpaceModel,
  request: RouteRequest,
  end: number,
  start: readonly [number, number, number],
  d: readonly [number, number, number],
  dislike: number,
  state: RouteState,
  work: RouteWork,
): void {
  const need = neededRoom(request);
  const radius = 1.12 * request.bendRadius;
  const [p, q] = sideways(d);
  const { points, answer } = work.cells;
  const n = Math.min(answer.distance.length, Math.max(24, 4 * Math.ceil((Math.PI * radius) / (0.4 * need) / 4)));
  for (let side = 0; side < arcSides; side += 1) {
    const c = Math.cos((2 * Math.PI * side) / arcSides);
    const s = Math.sin((2 * Math.PI * side) / arcSides);
    const out = [c * p[0] + s * q[0], c * p[1] + s * q[1], c * p[2] + s * q[2]] as const;
    for (let i = 0; i < n; i += 1) {
      const angle = (Math.PI * (i + 1)) / n;
      for (let k = 0; k < 3; k += 1) {
        points[3 * i + k] = start[k]! - radius * Math.sin(angle) * d[k]! + radius * (1 - Math.cos(angle)) * out[k]!;
      }
    }
    sampleSpace(space, points, n, 1.5 * need, answer, work.cells.space);
    const lead: number[] = [...start];
    for (let i = 0; i < n; i += 1) {
      if (answer.distance[i]! < need || outsideBox(state.cells!.box, points, i)) break;
      lead.unshift(points[3 * i]!, points[3 * i + 1]!, points[3 * i + 2]!);
      if ((i + 1) % (n / 4) !== 0) continue;
      const angle = (Math.PI * (i + 1)) / n;
      const direction: [number, number, number] = [0, 0, 0];
      for (let k = 0; k < 3; k += 1) direction[k] = Math.cos(angle) * d[k]! - Math.sin(angle) * out[k]!;
      const point: [number, number, number] = [lead[0]!, lead[1]!, lead[2]!];
      state.goals.push({ end, point, direction, extra: dislike + 1.3 * radius * angle, lead: [...lead] });
    }
  }
}

function outsideBox(box: readonly number[], points: Float64Array, i: number): boolean {
  for (let k = 0; k < 3; k += 1) if (points[3 * i + k]! < box[k]! || points[3 * i + k]! > box[k + 3]!) return true;
  return false;
}

/** The middle of the range first, then its ends. */
function standOffs(region: EndRegion): number[] {
  const [least, most] = region.standOff;
  return most - least < 1e-6 ? [0.5 * (least + most)] : [0.5 * (least + most), least, most];
}

/** Direction number i of the cone, the middle first. */
function coneDirection(request: RouteRequest, index: number): [number, number, number] {
  let left = index;
  for (const [share, many] of rings) {
    if (left >= many) {
      left -= many;
      continue;
    }
    const tilt = share * request.cone;
    const turn = (2 * Math.PI * left) / many;
    const [p, q] = sideways(request.aim);
    const c = Math.cos(tilt);
    const s = Math.sin(tilt);
    const out: [number, number, number] = [0, 0, 0];
    for (let k = 0; k < 3; k += 1) out[k] = c * request.aim[k]! + s * (Math.cos(turn) * p[k]! + Math.sin(turn) * q[k]!);
    const size = Math.sqrt(dot(out, out));
    return [out[0] / size, out[1] / size, out[2] / size];
  }
  return [...request.aim];
}

/** Two unit vectors that make a right-handed frame with d. */
export function sideways(d: readonly [number, number, number]): [[number, number, number], [number, number, number]] {
  const least = Math.abs(d[0]) <= Math.abs(d[1]) && Math.abs(d[0]) <= Math.abs(d[2]) ? 0 : Math.abs(d[1]) <= Math.abs(d[2]) ? 1 : 2;
  const e: [number, number, number] = [least === 0 ? 1 : 0, least === 1 ? 1 : 0, least === 2 ? 1 : 0];
  const along = dot(e, d);
  const p: [number, number, number] = [e[0] - along * d[0], e[1] - along * d[1], e[2] - along * d[2]];
  const size = Math.sqrt(dot(p, p));
  p[0] /= size;
  p[1] /= size;
  p[2] /= size;
  return [p, [d[1] * p[2] - d[2] * p[1], d[2] * p[0] - d[0] * p[2], d[0] * p[1] - d[1] * p[0]]];
}

export function dot(a: readonly [number, number, number], b: readonly [number, number, number]): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
