/**
 * The surface along which the space is cut open: it contains the route, and everything between it and the viewer is left out.
 * A height over a plane: the plane is the one the route bends in, the height at a place is that of the route nearby.
 */
import { DataTexture, FloatType, NearestFilter, RedFormat, Vector3 } from "three";

export interface CutSurface {
  /** the plane's two directions and its normal, unit, right-handed */
  readonly across: Vector3;
  readonly up: Vector3;
  readonly normal: Vector3;
  /** least place and size of the grid in the plane, m: (across, up) */
  readonly corner: readonly [number, number];
  readonly size: readonly [number, number];
  /** [grid, grid] height along the normal, m */
  readonly heights: DataTexture;
}

export const cutGrid = 96;

/** Points the surface passes, drawn straight on at both ends: no place near the route may hang on its first or last point alone. */
const tails = 0.3;

/**
 * @param points [n, 3] the route, m, less the picture's origin
 * @param rise   upward direction, unit: a straight route is cut upright
 */
export function createCutSurface(points: Float32Array, rise: Vector3): CutSurface {
  const path = lengthen(points);
  const normal = planeNormal(points, rise);
  const up = rise.clone().addScaledVector(normal, -rise.dot(normal));
  if (up.length() < 1e-3) up.copy(anyAcross(normal));
  up.normalize();
  const across = up.clone().cross(normal).normalize();

  const flat = path.map((p) => [p.dot(across), p.dot(up), p.dot(normal)] as const);
  const low = [Math.min(...flat.map((f) => f[0])), Math.min(...flat.map((f) => f[1]))] as const;
  const high = [Math.max(...flat.map((f) => f[0])), Math.max(...flat.map((f) => f[1]))] as const;
  const room = 0.5 * Math.max(high[0] - low[0], high[1] - low[1]);
  const corner = [low[0] - room, low[1] - room] as const;
  const size = [high[0] - low[0] + 2 * room, high[1] - low[1] + 2 * room] as const;

  const data = new Float32Array(cutGrid * cutGrid);
  for (let j = 0; j < cutGrid; j++) {
    for (let i = 0; i < cutGrid; i++) {
      const x = corner[0] + (size[0] * i) / (cutGrid - 1);
      const y = corner[1] + (size[1] * j) / (cutGrid - 1);
      data[j * cutGrid + i] = heightAt(flat, x, y);
    }
  }
  const heights = new DataTexture(data, cutGrid, cutGrid, RedFormat, FloatType);
  heights.minFilter = NearestFilter;
  heights.magFilter = NearestFilter;
  heights.needsUpdate = true;
  return { across, up, normal, corner, size, heights };
}

/** Weighted so steeply that it is the route's own height on the route, yet smooth between its branches. */
function heightAt(flat: readonly (readonly [number, number, number])[], x: number, y: number): number {
  let sum = 0;
  let weights = 0;
  for (const [px, py, h] of flat) {
    const near = (px - x) ** 2 + (py - y) ** 2 + 1e-6;
    const weight = 1 / (near * near);
    sum += weight * h;
    weights += weight;
  }
  return sum / weights;
}

function lengthen(points: Float32Array): Vector3[] {
  const path: Vector3[] = [];
  const stride = Math.max(1, Math.floor(points.length / 3 / 80));
  for (let i = 0; i < points.length / 3; i += stride) path.push(at(points, i));
  path.push(at(points, points.length / 3 - 1));
  const first = path[0] as Vector3;
  const last = path[path.length - 1] as Vector3;
  const before = first
    .clone()
    .sub(path[1] as Vector3)
    .normalize();
  const after = last
    .clone()
    .sub(path[path.length - 3] ?? first)
    .normalize();
  for (let k = 1; k <= 6; k++) {
    path.unshift(first.clone().addScaledVector(before, (tails * k) / 6));
    path.push(last.clone().addScaledVector(after, (tails * k) / 6));
  }
  return path;
}

/** Normal of the plane the route bends in: the sum of the turns between its chords; upright when it hardly bends. */
function planeNormal(points: Float32Array, rise: Vector3): Vector3 {
  const count = points.length / 3;
  const first = at(points, 0);
  const last = at(points, count - 1);
  const chord = last.clone().sub(first);
  const sum = new Vector3();
  for (let i = 1; i < count - 1; i++) {
    const turn = at(points, i)
      .sub(first)
      .cross(at(points, i + 1).sub(first));
    if (turn.dot(sum) < 0) turn.negate();
    sum.add(turn);
  }
  if (sum.length() > 0.02 * chord.lengthSq()) return sum.normalize();
  const level = chord.clone().cross(rise);
  return level.length() > 1e-3 * chord.length() ? level.normalize() : anyAcross(chord.normalize());
}

function anyAcross(direction: Vector3): Vector3 {
  const seed = Math.abs(direction.x) < 0.7 ? new Vector3(1, 0, 0) : new Vector3(0, 1, 0);
  return seed.addScaledVector(direction, -seed.dot(direction)).normalize();
}

function at(points: Float32Array, i: number): Vector3 {
  return new Vector3(points[3 * i], points[3 * i + 1], points[3 * i + 2]);
}
