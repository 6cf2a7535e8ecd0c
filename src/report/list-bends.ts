/** The bends of a route: where it is bent most, and how sharply. */
import type { RouteCurve } from "../path/index.ts";

export interface RouteBend {
  /** [3] m, world */
  readonly place: readonly [number, number, number];
  /** true radius in space, m */
  readonly radius: number;
}

/** Nothing rounder than this times its distance from the next is a bend of its own. */
const roundest = 2;

/**
 * The sharpest place of each bend, the sharpest first: three points a fiftieth of the way apart lie on its circle.
 *
 * @param most bends told
 */
export function listBends(curve: RouteCurve | undefined, most = 4): RouteBend[] {
  if (curve === undefined || curve.count < 7) return [];
  const { point, count } = curve;
  const step = Math.max(1, Math.round(count / 50));
  const radius = Array.from({ length: count }, (_, k) =>
    k < step || k + step >= count ? Infinity : circleRadius(point, k - step, k, k + step),
  );
  const long = curve.arc[count - 1]!;
  const found: RouteBend[] = [];
  const used = new Uint8Array(count);
  for (const k of Array.from(radius.keys()).sort((i, j) => radius[i]! - radius[j]! || i - j)) {
    const here = radius[k]!;
    if (found.length >= most || here > roundest * long) break;
    // all that is bent nearly as sharply is the same bend
    let [from, to] = [k, k];
    while (from > 0 && radius[from - 1]! < 1.5 * here) from--;
    while (to + 1 < count && radius[to + 1]! < 1.5 * here) to++;
    const apart = found.every(({ place }) => distance(place, point, k) > 0.1 * long);
    if (used[k] === 0 && apart) {
      const alike = Array.from({ length: to - from + 1 }, (_, i) => from + i).filter((i) => radius[i]! < 1.02 * here);
      const middle = alike[Math.floor(alike.length / 2)]!;
      found.push({ place: [point[3 * middle]!, point[3 * middle + 1]!, point[3 * middle + 2]!], radius: here });
    }
    used.fill(1, Math.max(0, from - step), to + step + 1);
  }
  return found;
}

function distance(place: readonly number[], p: ArrayLike<number>, k: number): number {
  return Math.sqrt([0, 1, 2].reduce((sum, r) => sum + (p[3 * k + r]! - place[r]!) ** 2, 0));
}

/** Radius of the circle through three points, m; Infinity on a line. */
function circleRadius(p: ArrayLike<number>, i: number, j: number, k: number): number {
  const side = (a: number, b: number): number => Math.sqrt([0, 1, 2].reduce((sum, r) => sum + (p[3 * a + r]! - p[3 * b + r]!) ** 2, 0));
  const [a, b, c] = [side(i, j), side(j, k), side(i, k)];
  const s = (a + b + c) / 2;
  const area = Math.sqrt(Math.max(0, s * (s - a) * (s - b) * (s - c)));
  return area > 1e-9 * a * b ? (a * b * c) / (4 * area) : Infinity;
}
