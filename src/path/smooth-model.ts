/** The smooth curve as an optimisation: its unknowns, multipliers and the memory it is solved in. */
import { createSpaceAnswer, type SpaceAnswer } from "../space/index.ts";
import type { RouteRequest } from "./model.ts";
import { neededRoom, type RouteEnd, straightLength } from "./route-state.ts";
import { controlPlace, splineRow } from "./spline.ts";

/**
 * A clamped cubic B-spline from the port to where the straight end begins, then the straight end through the target.
 * Unknown: the free control points, how far the second and the last but one lie along the two given directions, and the
 * stand-off and direction of the end.
 */
export interface SmoothState {
  readonly spans: number;
  /** stations a span */
  readonly dense: number;
  /** length of the straight end, m */
  readonly straight: number;
  /** bend radius to be kept, m */
  readonly bend: number;
  /** greatest length, m; Infinity when it is no matter */
  readonly length: number;
  /** [spans + 3, 3] m */
  control: Float64Array;
  /** distance of the second control point from the first, and of the last from the one before, m */
  lead: number;
  tail: number;
  standOff: number;
  /** [3] unit */
  direction: [number, number, number];
  /** free radius sought, m: a little more than needed, so that the samples in between have it too */
  room: number;
  /** mean speed of the parameter, m a span; held while the unknowns move */
  speed: number;
  /** [station] multipliers of clearance and of curvature, [straight station] of clearance, and of the length */
  clearPress: Float64Array;
  bendPress: Float64Array;
  endPress: Float64Array;
  lengthPress: number;
  penalty: number;
  damping: number;
  /** steps since the multipliers were last set, and how often they were */
  inner: number;
  outer: number;
  /** at the last setting: worst violation (1: share of the limit) and the bending energy */
  fault: number;
  /** share of the length limit that the curve is too long by */
  over: number;
  energy: number;
  /** 0 running, 1 all constraints met, 2 given up */
  phase: number;
}

/** Sized for one shape of problem; rebuilt when the shape changes. Nothing in it is remembered. */
export interface SmoothWork {
  spans: number;
  dense: number;
  ends: number;
  /** [station, 16] basis rows, and the span of each */
  row: Float64Array;
  span: Int32Array;
  /** [station + straight station, 3] */
  points: Float64Array;
  answer: SpaceAnswer;
  /** [station, 12] point and derivatives */
  shape: Float64Array;
  /** [station + straight station] distance, fence included, and [.., 3] its gradient */
  distance: Float64Array;
  normal: Float64Array;
  /** [unknown, halfBand + 1], [unknown] */
  matrix: Float64Array;
  factor: Float64Array;
  gradient: Float64Array;
  step: Float64Array;
}

export const halfBand = 12;

/** Number of unknowns: 3 for each free control point, the lead, and four of the end. */
export function unknowns(spans: number): number {
  return 3 * (spans - 1) + 5;
}

/** Index of the first unknown of control point k, 2 <= k <= spans. */
export function controlUnknown(k: number): number {
  return 1 + 3 * (k - 2);
}

export function straightStations(request: RouteRequest, straight: number): number {
  return Math.min(80, 2 + Math.ceil(straight / (0.2 * neededRoom(request))));
}

/**
 * @param way  [k, 3] corners from the start to where the straight end begins
 * @param fineness  how many times shorter than usual the spans are
 */
export function createSmooth(
  request: RouteRequest,
  way: readonly number[],
  end: RouteEnd,
  bend: number,
  length: number,
  fineness: number,
): SmoothState {
  const need = neededRoom(request);
  const total = wayLength(way);
  const spans = Math.max(6, Math.ceil(fineness * Math.min(90, Math.max(5, total / (bend / 4)))));
  const dense = Math.max(4, Math.min(40, Math.ceil(total / spans / (0.25 * need))));
  const stations = spans * dense + 1;
  const straight = straightLength(request, end.standOff);
  const state: SmoothState = {
    spans,
    dense,
    straight,
    bend,
    length,
    control: new Float64Array(3 * (spans + 3)),
    lead: total / spans / 3,
    tail: total / spans / 3,
    standOff: end.standOff,
    direction: [...end.direction],
    room: need * 1.002,
    speed: total / spans,
    clearPress: new Float64Array(stations),
    bendPress: new Float64Array(stations),
    endPress: new Float64Array(straightStations(request, straight)),
    lengthPress: 0,
    penalty: 30,
    damping: 1e-3,
    inner: 0,
    outer: 0,
    fault: Number.POSITIVE_INFINITY,
    over: 0,
    energy: Number.POSITIVE_INFINITY,
    phase: 0,
  };
  const place = [0, 0, 0];
  for (let k = 0; k < spans + 3; k += 1) {
    wayAt(way, (total * controlPlace(spans, k)) / spans, place);
    state.control.set(place, 3 * k);
  }
  placeEnds(request, state);
  return state;
}

/** Puts the control points that the ends determine where the end unknowns say. */
export function placeEnds(request: RouteRequest, state: SmoothState): void {
  const { control, spans, direction, lead, tail, standOff, straight } = state;
  for (let k = 0; k < 3; k += 1) {
    control[k] = request.start[k]!;
    control[3 + k] = request.start[k]! + lead * request.startDirection[k]!;
    control[3 * (spans + 1) + k] = request.target[k]! - (standOff + straight + tail) * direction[k]!;
    control[3 * (spans + 2) + k] = request.target[k]! - (standOff + straight) * direction[k]!;
  }
}

export function createSmoothWork(state: SmoothState): SmoothWork {
  const { spans, dense } = state;
  const stations = spans * dense + 1;
  const ends = state.endPress.length;
  const n = unknowns(spans);
  const work: SmoothWork = {
    spans,
    dense,
    ends,
    row: new Float64Array(16 * stations),
    span: new Int32Array(stations),
    points: new Float64Array(3 * (stations + ends)),
    answer: createSpaceAnswer(stations + ends),
    shape: new Float64Array(12 * stations),
    distance: new Float64Array(stations + ends),
    normal: new Float64Array(3 * (stations + ends)),
    matrix: new Float64Array(n * (halfBand + 1)),
    factor: new Float64Array(n * (halfBand + 1)),
    gradient: new Float64Array(n),
    step: new Float64Array(n),
  };
  const row = new Float64Array(16);
  for (let j = 0; j < stations; j += 1) {
    work.span[j] = splineRow(spans, j / dense, row);
    work.row.set(row, 16 * j);
  }
  return work;
}

export function wayLength(way: readonly number[]): number {
  let total = 0;
  for (let i = 0; i + 5 < way.length; i += 3) total += legLength(way, i);
  return total;
}

/** Writes the point of the way at arc length `arc`. */
export function wayAt(way: readonly number[], arc: number, out: number[]): void {
  let left = arc;
  for (let i = 0; i + 5 < way.length; i += 3) {
    const length = legLength(way, i);
    if (left <= length || i + 8 >= way.length) {
      const t = length > 0 ? Math.min(1, left / length) : 0;
      for (let k = 0; k < 3; k += 1) out[k] = way[i + k]! + t * (way[i + 3 + k]! - way[i + k]!);
      return;
    }
    left -= length;
  }
}

function legLength(way: readonly number[], i: number): number {
  return Math.sqrt((way[i + 3]! - way[i]!) ** 2 + (way[i + 4]! - way[i + 1]!) ** 2 + (way[i + 5]! - way[i + 2]!) ** 2);
}
