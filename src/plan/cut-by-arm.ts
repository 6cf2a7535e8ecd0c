/** Whether the arm's own body stands in a straight line: spans as closed cylinders of their section's thickness. */
import type { ArmModel, Section } from "../arm/index.ts";

type Point = readonly [number, number, number];

/**
 * @param frames [vertebra, 12]
 * @param from the tool point, m, world: the tool itself, behind it, is not looked at
 * @param to m, world
 * @returns the vertebra at whose span's tip end the line is first cut, and where; undefined where it is free
 */
export function cutByArm(arm: ArmModel, frames: Float64Array, from: Point, to: Point): { vertebra: number; place: Point } | undefined {
  let first = Number.POSITIVE_INFINITY;
  let vertebra = -1;
  const at = (i: number): Point => [frames[12 * i + 9] as number, frames[12 * i + 10] as number, frames[12 * i + 11] as number];
  for (let i = 0; i < arm.spans; i++) {
    const { outerDiameter } = arm.description.sections[arm.sectionOfSpan[i] as number] as Section;
    const share = enterCylinder(from, to, at(i), at(i + 1), outerDiameter / 2);
    if (share === undefined || share >= first) continue;
    first = share;
    vertebra = i + 1;
  }
  if (vertebra < 0) return undefined;
  const place = [0, 1, 2].map((r) => (from[r] as number) + first * ((to[r] as number) - (from[r] as number)));
  return { vertebra, place: place as unknown as Point };
}

/**
 * Share of a segment at which it enters a closed cylinder, flat ends at a and b; 0 where it begins within, undefined where it passes by.
 */
export function enterCylinder(from: Point, to: Point, a: Point, b: Point, radius: number): number | undefined {
  const axis = minus(b, a);
  const length = Math.sqrt(dot(axis, axis));
  if (!(length > 0)) return undefined;
  const u: Point = [axis[0] / length, axis[1] / length, axis[2] / length];
  const d = minus(to, from);
  const o = minus(from, a);
  // between the planes of the ends
  const [start, rate] = [dot(o, u), dot(d, u)];
  let [low, high] = [0, 1];
  if (rate === 0) {
    if (start < 0 || start > length) return undefined;
  } else {
    const [one, two] = [-start / rate, (length - start) / rate];
    low = Math.max(low, Math.min(one, two));
    high = Math.min(high, Math.max(one, two));
  }
  // within the round
  const across = (v: Point): Point => {
    const along = dot(v, u);
    return [v[0] - along * u[0], v[1] - along * u[1], v[2] - along * u[2]];
  };
  const [p, q] = [across(o), across(d)];
  const [qq, pq, pp] = [dot(q, q), dot(p, q), dot(p, p) - radius * radius];
  if (qq === 0) {
    if (pp > 0) return undefined;
  } else {
    const root = pq * pq - qq * pp;
    if (root < 0) return undefined;
    low = Math.max(low, (-pq - Math.sqrt(root)) / qq);
    high = Math.min(high, (-pq + Math.sqrt(root)) / qq);
  }
  return low <= high ? low : undefined;
}

function minus(a: Point, b: Point): Point {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function dot(a: Point, b: Point): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
