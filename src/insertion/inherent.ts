/**
 * How far from the route the arm must lie because each section can only bend evenly: what no load, no tension and no wall has a part in.
 *
 * To first order the distance d of a curve from the route obeys d'' = (its curvature) - (the route's), in a frame that is carried along the route
 * without twist. With an even curvature for each section the best fit is a linear least-squares problem, two alike for the two directions across.
 */
import { factorCholesky, solveCholesky } from "../math/index.ts";
import type { RouteCurve } from "../path/index.ts";
import { armLength } from "./arm-length.ts";
import type { InsertionModel } from "./model.ts";

/** [sample, 4] route against the straight line on from its start: slope about x and y (1), distance along x and y (m), in the carried frame. */
export function bendTable({ count, arc, tangent }: RouteCurve): Float64Array {
  const table = new Float64Array(4 * count);
  let x = across(tangent);
  for (let k = 1; k < count; k++) {
    const [t, before] = [tangent.subarray(3 * k, 3 * k + 3), tangent.subarray(3 * k - 3, 3 * k)];
    const y = cross(before, x);
    const h = (arc[k] as number) - (arc[k - 1] as number);
    // the turn of the tangent over the step, in the frame before it
    const turn = [dot(t, x), dot(t, y)];
    for (let a = 0; a < 2; a++) {
      const slope = table[4 * k - 4 + a] as number;
      table[4 * k + a] = slope + (turn[a] as number);
      table[4 * k + 2 + a] = (table[4 * k - 2 + a] as number) + h * (slope + (turn[a] as number) / 2);
    }
    const along = dot(x, t);
    x = unit(x.map((value, r) => value - along * (t[r] as number)));
  }
  return table;
}

/**
 * Least deviation from the route that sections of even curvature can have with the arm at this depth.
 *
 * @param table as made by `bendTable` for the model's curve
 * @returns rms over the vertebrae that are free and the tool point, and the greatest of them, m
 */
export function inherentDeviation(model: InsertionModel, table: Float64Array, depth: number): [number, number] {
  const { arm, curve } = model;
  const exit = armLength(model) - depth;
  const first = arm.sectionOfCable[0] as number;
  // where the sections out of the guide begin and end, from the exit; a passive length before them is straight on
  const ranges: [number, number][] = [];
  for (let j = first; j < arm.sections; j++) {
    const end = (arm.along[arm.firstSpan[j + 1] as number] as number) - exit;
    const start = Math.max(0, (arm.along[arm.firstSpan[j] as number] as number) - exit);
    if (end > start) ranges.push([start, end]);
  }
  const places: number[] = [];
  for (let i = 1; i <= arm.spans; i++) if ((arm.along[i] as number) > exit) places.push((arm.along[i] as number) - exit);
  places.push(depth);
  const n = ranges.length;
  const normal = new Float64Array(n * n);
  const right = [new Float64Array(n), new Float64Array(n)] as const;
  const rows = places.map((s) => ranges.map((range) => bowOf(range, s)));
  const aside = places.map((s) => asideAt(curve, table, s));
  rows.forEach((row, p) => {
    for (let a = 0; a < n; a++) {
      for (let b = 0; b <= a; b++) normal[n * a + b] = (normal[n * a + b] as number) + (row[a] as number) * (row[b] as number);
      for (const axis of [0, 1] as const) right[axis][a] = (right[axis][a] as number) + (row[a] as number) * (aside[p]![axis] as number);
    }
  });
  let most = 0;
  for (let a = 0; a < n; a++) most = Math.max(most, normal[n * a + a] as number);
  // a section that is hardly out has hardly any lever: it may do anything, and does nothing
  for (let a = 0; a < n; a++) normal[n * a + a] = (normal[n * a + a] as number) + 1e-12 * most + 1e-300;
  if (n > 0 && factorCholesky(normal, n, n)) for (const axis of [0, 1] as const) solveCholesky(normal, n, n, right[axis]);
  let sum = 0;
  let greatest = 0;
  rows.forEach((row, p) => {
    const off = [0, 1].map((axis) => aside[p]![axis]! - row.reduce((total, value, a) => total + value * (right[axis]![a] as number), 0));
    const square = off[0]! ** 2 + off[1]! ** 2;
    sum += square;
    greatest = Math.max(greatest, square);
  });
  return [Math.sqrt(sum / places.length), Math.sqrt(greatest)];
}

/** Distance across at s that a unit curvature over a range makes, m^2. */
function bowOf([start, end]: readonly [number, number], s: number): number {
  if (s <= start) return 0;
  const over = Math.min(s, end) - start;
  return over * over * 0.5 + over * Math.max(0, s - end);
}

/** Distance of the route across, from the straight line on from its start; beyond its end straight on. */
function asideAt({ arc, count }: RouteCurve, table: Float64Array, s: number): [number, number] {
  let low = 0;
  let high = count - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((arc[middle] as number) <= s) low = middle;
    else high = middle;
  }
  const last = s >= (arc[count - 1] as number);
  const from = last ? count - 1 : low;
  const t = s - (arc[from] as number);
  const bend = (axis: number): number => {
    if (last) return 0;
    return ((table[4 * high + axis] as number) - (table[4 * low + axis] as number)) / ((arc[high] as number) - (arc[low] as number));
  };
  return [0, 1].map(
    (axis) => (table[4 * from + 2 + axis] as number) + t * (table[4 * from + axis] as number) + 0.5 * t * t * bend(axis),
  ) as unknown as [number, number];
}

/** A unit vector across the first tangent. */
function across(tangent: Float64Array): number[] {
  const t = [tangent[0] as number, tangent[1] as number, tangent[2] as number];
  const k = t.reduce((least, value, r) => (Math.abs(value) < Math.abs(t[least] as number) ? r : least), 0);
  return unit(t.map((value, r) => (r === k ? 1 : 0) - (t[k] as number) * value));
}

function unit(a: readonly number[]): number[] {
  const size = Math.sqrt(a.reduce((sum, value) => sum + value * value, 0));
  return a.map((value) => value / size);
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  return (a[0] as number) * (b[0] as number) + (a[1] as number) * (b[1] as number) + (a[2] as number) * (b[2] as number);
}

function cross(a: ArrayLike<number>, b: ArrayLike<number>): number[] {
  return [1, 2, 0].map((p, r) => {
    const q = [2, 0, 1][r] as number;
    return (a[p] as number) * (b[q] as number) - (a[q] as number) * (b[p] as number);
  });
}
