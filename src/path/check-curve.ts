/**
 * The finished curve: sampled evenly, and its constraints checked apart from the solver that made it. Between samples the
 * distance can be no less than (d1 + d2 - length) / 2; where that is not enough the interval is halved.
 */
import { type CellTree, fenceRoom, type SpaceModel, sampleSpace, splitBatch } from "../space/index.ts";
import type { RouteCurve, RouteRequest } from "./model.ts";
import { neededRoom, type RouteWork, roomAtEnd } from "./route-state.ts";
import type { SmoothState } from "./smooth-model.ts";
import { curvatureOf, splineAt } from "./spline.ts";

/** Samples are at most this far apart, m. */
const spacing = 1.5e-3;
/** Pieces a span for arc length and curvature. */
const pieces = 32;
const batch = 8 * splitBatch;
/** Share of the needed room that the clearance between samples may fall short by, unproven. */
const slip = 1e-3;

/** What is still to be looked at. Plain data. */
export interface CheckState {
  readonly curve: RouteCurve;
  /** samples whose distance is known */
  measured: number;
  /** [n, 4] intervals to be proven: where they begin and end (arc, m), distances at both */
  intervals: number[];
  /** place along the curve of the sharpest bend, m, and its curvature, 1/m */
  readonly sharpest: number;
  readonly curvature: number;
  /** worst shortfall of clearance found, m, and where, m along the curve; 0 when none */
  short: number;
  shortAt: number;
  done: boolean;
  /** arc length at each piece of the spline, m, after the throat of the port: [spans * pieces + 1] */
  readonly arcs: Float64Array;
}

/** Samples the curve; distances come with the steps. */
export function createCheck(request: RouteRequest, smooth: SmoothState, throat: number): CheckState {
  const { spans, control } = smooth;
  const arcs = new Float64Array(spans * pieces + 1);
  const out = new Float64Array(12);
  const row = new Float64Array(16);
  let sharpest = throat;
  let curvature = 0;
  arcs[0] = throat;
  for (let i = 0; i <= spans * pieces; i += 1) {
    splineAt(control, spans, i / pieces, out, row);
    const bend = curvatureOf(out);
    if (i > 0) arcs[i] = arcs[i - 1]! + pieceLength(smooth, (i - 1) / pieces, i / pieces, out, row);
    if (bend > curvature) {
      curvature = bend;
      sharpest = arcs[i]!;
    }
  }
  const total = arcs[arcs.length - 1]! + smooth.straight;
  const count = Math.max(2, Math.ceil(total / spacing) + 1);
  const curve: RouteCurve = {
    count,
    point: new Float64Array(3 * count),
    tangent: new Float64Array(3 * count),
    arc: new Float64Array(count),
    curvature: new Float64Array(count),
    distance: new Float64Array(count),
    body: new Int32Array(count).fill(-1),
  };
  for (let i = 0; i < count; i += 1) {
    const arc = (total * i) / (count - 1);
    curve.arc[i] = arc;
    curveAt(request, smooth, arcs, arc, out, row);
    const speed = Math.sqrt(out[3]! ** 2 + out[4]! ** 2 + out[5]! ** 2);
    for (let k = 0; k < 3; k += 1) {
      curve.point[3 * i + k] = out[k]!;
      curve.tangent[3 * i + k] = out[3 + k]! / speed;
    }
    curve.curvature[i] = arc > arcs[arcs.length - 1]! || arc < throat ? 0 : curvatureOf(out);
  }
  return { curve, measured: 0, intervals: [], sharpest, curvature, short: 0, shortAt: 0, done: false, arcs };
}

/** Measures or proves one batch. */
export function stepCheck(
  space: SpaceModel,
  tree: CellTree,
  request: RouteRequest,
  smooth: SmoothState,
  check: CheckState,
  work: RouteWork,
): void {
  const { points, answer } = work.cells;
  const { curve } = check;
  const need = neededRoom(request);
  if (check.measured < curve.count) {
    const first = check.measured;
    const n = Math.min(batch, curve.count - first);
    points.set(curve.point.subarray(3 * first, 3 * (first + n)));
    sampleSpace(space, points, n, 8 * need, answer, work.cells.space);
    for (let i = 0; i < n; i += 1) {
      const at = first + i;
      curve.distance[at] = answer.distance[i]!;
      curve.body[at] = answer.body[i]!;
      judge(request, check, tree, smooth, curve.arc[at]!, answer.distance[i]!, points, i);
      if (at > 0) check.intervals.push(curve.arc[at - 1]!, curve.arc[at]!, curve.distance[at - 1]!, curve.distance[at]!);
    }
    check.measured += n;
    return;
  }
  const out = new Float64Array(12);
  const row = new Float64Array(16);
  const open: number[] = [];
  while (check.intervals.length > 0 && open.length < 4 * batch) {
    const [a, b, da, db] = check.intervals.splice(-4) as [number, number, number, number];
    const wanted = Math.max(wantedAt(request, check, smooth, a), wantedAt(request, check, smooth, b)) - slip * need;
    if ((da + db - (b - a)) / 2 < wanted && b - a > 0.5 * slip * need) open.push(a, b, da, db);
  }
  const n = open.length / 4;
  for (let i = 0; i < n; i += 1) {
    curveAt(request, smooth, check.arcs, 0.5 * (open[4 * i]! + open[4 * i + 1]!), out, row);
    for (let k = 0; k < 3; k += 1) points[3 * i + k] = out[k]!;
  }
  if (n > 0) sampleSpace(space, points, n, 8 * need, answer, work.cells.space);
  for (let i = 0; i < n; i += 1) {
    const [a, b, da, db] = open.slice(4 * i, 4 * i + 4) as [number, number, number, number];
    const middle = 0.5 * (a + b);
    const d = answer.distance[i]!;
    judge(request, check, tree, smooth, middle, d, points, i);
    check.intervals.push(a, middle, da, d, middle, b, d, db);
  }
  // one place that is short is enough to know: no need to halve its neighbourhood to the end
  if (check.short > slip * need) check.intervals.length = 0;
  check.done = check.intervals.length === 0;
}

/** Notes a shortfall at one place. */
function judge(
  request: RouteRequest,
  check: CheckState,
  tree: CellTree,
  smooth: SmoothState,
  at: number,
  distance: number,
  points: Float64Array,
  i: number,
): void {
  const box = { ...tree, halfBall: null };
  const room = fenceRoom(box, points[3 * i]!, points[3 * i + 1]!, points[3 * i + 2]!) + neededRoom(request);
  const short = wantedAt(request, check, smooth, at) - Math.min(distance, room);
  if (short <= check.short) return;
  check.short = short;
  check.shortAt = at;
}

/** Free radius asked for at an arc length, m. */
function wantedAt(request: RouteRequest, check: CheckState, smooth: SmoothState, at: number): number {
  if (at < check.arcs[0]! - 1e-9) return request.radius;
  const { arc } = check.curve;
  const back = arc[arc.length - 1]! - at;
  return back <= smooth.straight + 1e-9 ? roomAtEnd(request, smooth.standOff + back) : neededRoom(request);
}

/** Point and derivatives at an arc length. */
function curveAt(request: RouteRequest, smooth: SmoothState, arcs: Float64Array, arc: number, out: Float64Array, row: Float64Array): void {
  const last = arcs.length - 1;
  if (arc < arcs[0]!) {
    out.fill(0);
    for (let k = 0; k < 3; k += 1) {
      out[k] = request.start[k]! - (arcs[0]! - arc) * request.startDirection[k]!;
      out[3 + k] = request.startDirection[k]!;
    }
    return;
  }
  if (arc > arcs[last]!) {
    const back = Math.max(0, arcs[last]! + smooth.straight - arc) + smooth.standOff;
    out.fill(0);
    for (let k = 0; k < 3; k += 1) {
      out[k] = request.target[k]! - back * smooth.direction[k]!;
      out[3 + k] = smooth.direction[k]!;
    }
    return;
  }
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (arcs[middle]! <= arc) low = middle;
    else high = middle;
  }
  let u = (low + (arc - arcs[low]!) / Math.max(1e-15, arcs[high]! - arcs[low]!)) / pieces;
  for (let newton = 0; newton < 3; newton += 1) {
    const length = arcs[low]! + pieceLength(smooth, low / pieces, u, out, row);
    splineAt(smooth.control, smooth.spans, u, out, row);
    const speed = Math.sqrt(out[3]! ** 2 + out[4]! ** 2 + out[5]! ** 2);
    u = Math.min(smooth.spans, Math.max(0, u - (length - arc) / speed));
  }
  splineAt(smooth.control, smooth.spans, u, out, row);
}

/** Length of the spline between two places of one piece, by three Gauss points. */
function pieceLength(smooth: SmoothState, from: number, to: number, out: Float64Array, row: Float64Array): number {
  const half = 0.5 * (to - from);
  const middle = 0.5 * (to + from);
  let sum = 0;
  for (let i = -1; i <= 1; i += 1) {
    splineAt(smooth.control, smooth.spans, middle + i * half * 0.7745966692414834, out, row);
    sum += (i === 0 ? 8 / 9 : 5 / 9) * Math.sqrt(out[3]! ** 2 + out[4]! ** 2 + out[5]! ** 2);
  }
  return sum * half;
}

/** Place of a curve at an arc length (nearest sample), m. */
export function placeAt(curve: RouteCurve, arc: number): [number, number, number] {
  const i = Math.min(curve.count - 1, Math.max(0, Math.round((arc / curve.arc[curve.count - 1]!) * (curve.count - 1))));
  return [curve.point[3 * i]!, curve.point[3 * i + 1]!, curve.point[3 * i + 2]!];
}
