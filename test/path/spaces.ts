/** Small drawn spaces and a request to start from, for the tests of this folder. */
import {
  createRouteState,
  createRouteWork,
  type Route,
  type RouteRequest,
  type RouteState,
  readRoute,
  stepRoute,
} from "../../src/path/index.ts";
import {
  type Body,
  createSpace,
  createSpaceAnswer,
  createSpaceWork,
  type Shape,
  type SpaceModel,
  sampleSpace,
} from "../../src/space/index.ts";

const upright = [1, 0, 0, 0, 1, 0, 0, 0, 1];

export function body(name: string, shape: Shape, at: readonly [number, number, number] = [0, 0, 0], rotation = upright): Body {
  return { name, shape, placement: { at, rotation }, touch: { kind: "free" } };
}

/** A 16 mm body with 2 mm margin that bends to 120 mm, entering at the origin along z, to look at a place ahead. */
export const plainRequest: RouteRequest = {
  start: [0, 0, 0.01],
  startDirection: [0, 0, 1],
  target: [0, 0, 0.5],
  aim: [0, 0, 1],
  cone: 0.3,
  standOff: [0.02, 0.04],
  endStraight: 0.03,
  radius: 0.008,
  margin: 0.002,
  bendRadius: 0.12,
  length: 1,
};

export function straightBore(radius: number): SpaceModel {
  return createSpace([
    body("bore", {
      kind: "bore",
      points: [
        { at: [0, 0, 0], radius, bend: 0 },
        { at: [0, 0, 0.6], radius, bend: 0 },
      ],
    }),
  ]);
}

/** Up z, round a corner of the given centre-line radius at z = 0.4, away along x. */
export function bentBore(radius: number, bend: number): SpaceModel {
  const points = [
    { at: [0, 0, 0], radius, bend: 0 },
    { at: [0, 0, 0.4], radius, bend },
    { at: [0.5, 0, 0.4], radius, bend: 0 },
  ] as const;
  return createSpace([body("bore", { kind: "bore", points })]);
}

/** A plate across the way at z = 0.25, its hole 50 mm off the axis; the search may not go round it. */
export function holedPlate(holeRadius: number): SpaceModel {
  return createSpace([body("plate", { kind: "plate", size: [0.4, 0.4], thickness: 0.01, holeRadius }, [0.05, 0, 0.25])]);
}
export const plateBounds = [-0.14, -0.19, -0.02, 0.2, 0.19, 0.55];

/** A round post of the given radius across the way, along y at z = 0.25. */
export function post(radius: number): SpaceModel {
  return createSpace([body("post", { kind: "cylinder", radius, length: 0.6 }, [0, -0.3, 0.25], [1, 0, 0, 0, 0, 1, 0, -1, 0])]);
}
export const postBounds = [-0.25, -0.15, -0.1, 0.25, 0.15, 0.6];

export function solve(space: SpaceModel, request: RouteRequest): { route: Route; state: RouteState } {
  const state = createRouteState(request);
  const work = createRouteWork(space);
  for (let step = 0; !state.done; step += 1) {
    if (step > 50_000) throw new Error("the search does not end");
    stepRoute(space, request, state, work);
  }
  return { route: readRoute(space, request, state), state };
}

/** Faults of a found curve, looked for apart from what found it: on its samples and between them. Empty when it is good. */
export function faultsOf(space: SpaceModel, request: RouteRequest, route: Route): string[] {
  const faults: string[] = [];
  if (route.curve === undefined) return ["no curve"];
  const { count, point, tangent, arc, curvature } = route.curve;
  const need = request.radius + request.margin;
  const at = (i: number): number[] => [point[3 * i]!, point[3 * i + 1]!, point[3 * i + 2]!];
  const along = (i: number): number[] => [tangent[3 * i]!, tangent[3 * i + 1]!, tangent[3 * i + 2]!];
  const end = at(count - 1);
  const away = distance(end, request.target);
  if (distance(at(0), request.start) > 1e-9) faults.push("does not begin at the port");
  if (dot(along(0), request.startDirection) < 1 - 1e-9) faults.push("does not begin along the port's axis");
  if (away < request.standOff[0] - 1e-9 || away > request.standOff[1] + 1e-9) faults.push(`stand-off ${away}`);
  if (Math.acos(Math.min(1, dot(along(count - 1), request.aim))) > request.cone + 1e-6) faults.push("end outside the cone");
  if (arc[count - 1]! > request.length) faults.push(`length ${arc[count - 1]}`);
  const work = createSpaceWork(space);
  const answer = createSpaceAnswer(1);
  const pieces = 10;
  let length = 0;
  for (let i = 0; i + 1 < count; i += 1) {
    const h = arc[i + 1]! - arc[i]!;
    if (h > 2e-3) faults.push(`samples ${h} apart`);
    let before = at(i);
    for (let k = 1; k <= pieces; k += 1) {
      // cubic through both samples and their tangents
      const t = k / pieces;
      const p = [0, 1, 2].map(
        (c) =>
          at(i)[c]! * (2 * t ** 3 - 3 * t ** 2 + 1) +
          at(i + 1)[c]! * (3 * t ** 2 - 2 * t ** 3) +
          h * along(i)[c]! * (t ** 3 - 2 * t ** 2 + t) +
          h * along(i + 1)[c]! * (t ** 3 - t ** 2),
      );
      length += distance(p, before);
      before = p;
      sampleSpace(space, Float64Array.from(p), 1, 1, answer, work);
      const back = arc[count - 1]! - arc[i]! - t * h;
      const wanted = back < request.endStraight ? Math.min(need, 0.7 * (away + back)) : need;
      if (answer.distance[0]! < wanted - 1.1e-3 * need) faults.push(`distance ${answer.distance[0]} at ${arc[i]}`);
    }
    // the turn of the tangent over one interval is the mean curvature there; 1e-3: differences of rounded tangents
    const turn = Math.sqrt([0, 1, 2].reduce((sum, c) => sum + (along(i + 1)[c]! - along(i)[c]!) ** 2, 0));
    if (turn / h > (1 / request.bendRadius) * 1.001) faults.push(`bends at ${turn / h} at ${arc[i]}`);
    if (curvature[i]! * request.bendRadius > 1) faults.push(`curvature ${curvature[i]}`);
  }
  if (Math.abs(length - arc[count - 1]!) > 1e-5) faults.push(`arc length ${arc[count - 1]} is ${length}`);
  for (let i = 0; i < count; i += 1) {
    const back = arc[count - 1]! - arc[i]!;
    const reach = route.curve.distance[i]!;
    if (back > request.endStraight + need && reach < need) faults.push(`sample ${i} has ${reach}`);
    if (back > request.endStraight) continue;
    const straight = at(i).map((x, c) => x - (end[c]! - back * along(count - 1)[c]!));
    if (Math.sqrt(straight[0]! ** 2 + straight[1]! ** 2 + straight[2]! ** 2) > 1e-9) faults.push(`not straight ${back} before the end`);
  }
  return faults.slice(0, 5);
}

export function distance(a: readonly number[], b: readonly number[]): number {
  return Math.sqrt((a[0]! - b[0]!) ** 2 + (a[1]! - b[1]!) ** 2 + (a[2]! - b[2]!) ** 2);
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
}
