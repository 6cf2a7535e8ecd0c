/** What stands in the way, in words with numbers. */
import { locateCell, type SpaceModel } from "../space/index.ts";
import type { Neck } from "./find-neck.ts";
import type { Obstacle, RouteCurve, RouteRequest } from "./model.ts";
import { neededRoom, type RouteState } from "./route-state.ts";

type Place = readonly [number, number, number];

/** A length in mm, one decimal. */
export function sayMm(length: number): string {
  return `${(1000 * length).toFixed(1)} mm`;
}

function sayPlace(place: Place): string {
  return `(${place.map((x) => (1000 * x).toFixed(1)).join(", ")}) mm`;
}

function nameOf(space: SpaceModel, body: number): string {
  return body >= 0 ? `"${space.bodies[body]!.name}"` : "the edge of the searched space";
}

function sayNeed(request: RouteRequest): string {
  return `${sayMm(neededRoom(request))} (${sayMm(request.radius)} body radius and ${sayMm(request.margin)} margin)`;
}

export function sayStart(space: SpaceModel, request: RouteRequest, free: number, at: Place, body: number, inside: boolean): Obstacle {
  const says = inside
    ? `The port is blocked: at ${sayPlace(at)} on its axis the free radius is ${sayMm(Math.max(0, free))}, limited by ${nameOf(space, body)}; ` +
      (free < request.radius
        ? `the arm's own radius is ${sayMm(request.radius)}.`
        : `the arm needs ${sayNeed(request)}; in the throat of the port itself its radius would do.`)
    : `The port's exit ${sayPlace(request.start)} lies outside the space that may be searched.`;
  return { kind: "start", place: at, is: free, needed: free < request.radius ? request.radius : neededRoom(request), body, says };
}

export function sayTargetOutside(request: RouteRequest): Obstacle {
  const says = `The target ${sayPlace(request.target)} lies outside the space. Check its place and the unit of the files.`;
  return { kind: "target", place: request.target, is: 0, needed: neededRoom(request), body: -1, says };
}

export function sayEnd(space: SpaceModel, request: RouteRequest, room: RouteState["endRoom"]): Obstacle {
  const [least, most] = request.standOff;
  const says =
    `No tool point that the target permits is free: stand-off ${sayMm(least)} to ${sayMm(most)}, cone of ${((request.cone * 180) / Math.PI).toFixed(0)} degrees, ` +
    `${sayMm(request.endStraight)} straight before it. The best has a free radius of ${sayMm(Math.max(0, room.free))} at ${sayPlace(room.at)}, ` +
    `limited by ${nameOf(space, room.body)}, where ${sayMm(room.needed)} is needed.`;
  return { kind: "target", place: room.at, is: room.free, needed: room.needed, body: room.body, says };
}

export function sayNeck(space: SpaceModel, request: RouteRequest, state: RouteState, neck: Neck): Obstacle {
  const need = neededRoom(request);
  if (neck.free >= need && state.shutAt !== null) return sayUnshown(request, state, state.shutAt);
  const says =
    `Too narrow: even the widest way has a free radius of only ${sayMm(Math.max(0, neck.free))} at ${sayPlace(neck.place)}, made by ${nameOf(space, neck.body)}; ` +
    `the arm needs ${sayNeed(request)}, ${sayMm(need - neck.free)} more. Searched with cells of ${sayMm(state.resolution)}.`;
  return { kind: "narrow", place: neck.place, is: neck.free, needed: need, body: neck.body, says, along: neck.along };
}

/** A passage about as wide as the need, through which no way could be shown. */
export function sayUnshown(request: RouteRequest, state: RouteState, place: Place): Obstacle {
  const tree = state.cells!;
  const leaf = locateCell(tree, ...place);
  const free = leaf < 0 ? 0 : tree.distance[leaf]!;
  const says =
    `Too close to call: about ${sayPlace(place)} the passage is just about as wide as the ${sayNeed(request)} that the arm needs, and no way ` +
    `through it could be shown with cells of ${sayMm(state.resolution)}.`;
  return { kind: "narrow", place, is: free, needed: neededRoom(request), body: leaf < 0 ? -1 : tree.body[leaf]!, says };
}

export function sayNoWay(space: SpaceModel, request: RouteRequest, state: RouteState, bound: number): Obstacle {
  const wall = wallBetween(state, request);
  const says =
    `The target is walled off from the port: no opening with a free radius above ${sayMm(bound)} leads to it; ` +
    `the arm needs ${sayNeed(request)}. On the straight line between them stands ${nameOf(space, wall.body)} at ${sayPlace(wall.place)}.`;
  return { kind: "unreached", place: wall.place, is: bound, needed: neededRoom(request), body: wall.body, says };
}

/** The cell of least clearance on the straight line from the port to the target. */
function wallBetween(state: RouteState, request: RouteRequest): { place: Place; body: number } {
  const tree = state.cells!;
  const goal = state.goals[0]!.point;
  let place: Place = request.target;
  let body = -1;
  let least = Number.POSITIVE_INFINITY;
  const steps = 2000;
  for (let i = 1; i < steps; i += 1) {
    const p = [0, 1, 2].map((k) => request.start[k]! + ((goal[k]! - request.start[k]!) * i) / steps) as [number, number, number];
    const leaf = locateCell(tree, ...p);
    if (leaf < 0 || tree.body[leaf]! < 0 || tree.distance[leaf]! >= least) continue;
    least = tree.distance[leaf]!;
    place = p;
    body = tree.body[leaf]!;
  }
  return { place, body };
}

export function sayBend(space: SpaceModel, request: RouteRequest, curve: RouteCurve, place: Place, radius: number): Obstacle {
  let body = -1;
  let near = Number.POSITIVE_INFINITY;
  for (let i = 0; i < curve.count; i += 1) {
    const d = (curve.point[3 * i]! - place[0]) ** 2 + (curve.point[3 * i + 1]! - place[1]) ** 2 + (curve.point[3 * i + 2]! - place[2]) ** 2;
    if (d < near) {
      near = d;
      body = curve.body[i]!;
    }
  }
  const says =
    `Too sharp a bend: the gentlest curve found bends with a radius of ${sayMm(radius)} at ${sayPlace(place)}${body >= 0 ? `, past ${nameOf(space, body)}` : ""}; ` +
    `the arm bends no sharper than ${sayMm(request.bendRadius)}. This is the best of what was tried, not a proof.`;
  return { kind: "bend", place, is: radius, needed: request.bendRadius, body, says };
}

/**
 * @param allowed  what the arm puts out, m
 * @param taut  length of the same way pulled taut, the straight end included, m
 */
export function sayLength(allowed: number, curve: RouteCurve, taut: number): Obstacle {
  const length = curve.arc[curve.count - 1]!;
  const last = 3 * (curve.count - 1);
  const place: Place = [curve.point[last]!, curve.point[last + 1]!, curve.point[last + 2]!];
  const says =
    `Too far: the curve to the target is ${sayMm(length)} long and the arm puts out ${sayMm(allowed)}; ` +
    `it would have to be ${sayMm(length - allowed)} longer. A string pulled taut through the same passages measures ${sayMm(taut)}.`;
  return { kind: "length", place, is: length, needed: allowed, body: -1, says };
}

export function sayUnproven(request: RouteRequest, place: Place): Obstacle {
  const says =
    `A passage wide enough was found, but no curve through it, even with bends far sharper than the arm's ${sayMm(request.bendRadius)}; ` +
    `the hardest place is ${sayPlace(place)}. This proves nothing.`;
  return { kind: "bend", place, is: 0, needed: request.bendRadius, body: -1, says };
}

/** What a curve along a way failed by, where nothing gentler or longer was sought. */
export function sayHardest(request: RouteRequest, tooLong: boolean, place: Place): Obstacle {
  const says = tooLong
    ? `A way wide enough was found, but no curve along it that is no longer than ${sayMm(request.length)}.`
    : `A way wide enough was found, but no curve along it that keeps all limits; the hardest place is ${sayPlace(place)}, where the arm bends ` +
      `no sharper than ${sayMm(request.bendRadius)}. This proves nothing.`;
  return { kind: tooLong ? "length" : "bend", place, is: 0, needed: tooLong ? request.length : request.bendRadius, body: -1, says };
}
