/** Distance to walls as plain data: what a loaded body may meet, without anything of where the walls came from. */
import { type BandWall, sampleBand } from "./band-wall.ts";

/** A flat wall without end; free on the side of its normal. */
export interface PlaneWall {
  readonly kind: "plane";
  /** [3] any place on it, m */
  readonly at: readonly [number, number, number];
  /** [3] unit, into the free side */
  readonly normal: readonly [number, number, number];
}

/** A round tube without end, free inside. */
export interface TubeWall {
  readonly kind: "tube";
  /** [3] any place on its axis, m */
  readonly at: readonly [number, number, number];
  /** [3] unit */
  readonly axis: readonly [number, number, number];
  /** m, > 0 */
  readonly radius: number;
}

/** A solid box, free outside. */
export interface BoxWall {
  readonly kind: "box";
  /** [12] its middle's frame: rotation row-major (9), then position (3) */
  readonly frame: Float64Array;
  /** [3] half of each edge, m, > 0 */
  readonly half: readonly [number, number, number];
}

/**
 * Distances on the corners of equal cubes, linear along each edge in between. Signed (below 0 in the solid) or unsigned (above 0
 * on both sides of a sheet). Beyond the cubes the nearest place in them counts, plus the way to it.
 */
export interface GridWall {
  readonly kind: "grid";
  /** [3] first corner, m */
  readonly origin: readonly [number, number, number];
  /** edge of a cube, m, > 0 */
  readonly step: number;
  /** [3] corners along x, y, z, each >= 2 */
  readonly counts: readonly [number, number, number];
  /** [x, y, z] distance at each corner, z fastest, m */
  readonly values: Float64Array;
}

/** The nearest of all its walls counts. Plain data. */
export interface DistanceField {
  readonly walls: readonly Wall[];
}

export type Wall = PlaneWall | TubeWall | BoxWall | GridWall | BandWall;

/**
 * @param points [n, 3] m
 * @param distance [n] written: distance to the nearest wall, below 0 inside a solid, m; Infinity without walls
 * @param gradient [n, 3] written: its gradient, 1: a unit away from the wall (a grid's is a little shorter)
 * @param nearest [n] written: which wall that is, -1 without walls
 */
export function sampleField(
  field: DistanceField,
  points: Float64Array,
  n: number,
  distance: Float64Array,
  gradient: Float64Array,
  nearest: Int32Array,
): void {
  clear(n, distance, gradient, nearest);
  for (let k = 0; k < field.walls.length; k++) lower(field, k, points, n, distance, gradient, nearest);
}

/** The same for one wall alone: where two meet in a corner, each has its own distance. */
export function sampleWall(
  field: DistanceField,
  wall: number,
  points: Float64Array,
  n: number,
  distance: Float64Array,
  gradient: Float64Array,
  nearest: Int32Array,
): void {
  clear(n, distance, gradient, nearest);
  lower(field, wall, points, n, distance, gradient, nearest);
}

function clear(n: number, distance: Float64Array, gradient: Float64Array, nearest: Int32Array): void {
  for (let i = 0; i < n; i++) {
    nearest[i] = -1;
    distance[i] = Number.POSITIVE_INFINITY;
    gradient[3 * i] = 0;
    gradient[3 * i + 1] = 0;
    gradient[3 * i + 2] = 0;
  }
}

/** Where wall k is nearer than what stands there, it is written instead. */
function lower(
  field: DistanceField,
  k: number,
  points: Float64Array,
  n: number,
  distance: Float64Array,
  gradient: Float64Array,
  nearest: Int32Array,
): void {
  const wall = field.walls[k] as Wall;
  if (wall.kind === "plane") samplePlane(wall, k, points, n, distance, gradient, nearest);
  else if (wall.kind === "tube") sampleTube(wall, k, points, n, distance, gradient, nearest);
  else if (wall.kind === "box") sampleBox(wall, k, points, n, distance, gradient, nearest);
  else if (wall.kind === "band") sampleBand(wall, k, points, n, distance, gradient, nearest);
  else sampleGrid(wall, k, points, n, distance, gradient, nearest);
}

function samplePlane(
  wall: PlaneWall,
  k: number,
  points: Float64Array,
  n: number,
  distance: Float64Array,
  gradient: Float64Array,
  nearest: Int32Array,
): void {
  const { at, normal } = wall;
  const ax = at[0];
  const ay = at[1];
  const az = at[2];
  const nx = normal[0];
  const ny = normal[1];
  const nz = normal[2];
  for (let i = 0; i < n; i++) {
    const o = 3 * i;
    const d = nx * ((points[o] as number) - ax) + ny * ((points[o + 1] as number) - ay) + nz * ((points[o + 2] as number) - az);
    if (!(d < (distance[i] as number))) continue;
    distance[i] = d;
    nearest[i] = k;
    gradient[o] = nx;
    gradient[o + 1] = ny;
    gradient[o + 2] = nz;
  }
}

function sampleTube(
  wall: TubeWall,
  k: number,
  points: Float64Array,
  n: number,
  distance: Float64Array,
  gradient: Float64Array,
  nearest: Int32Array,
): void {
  const { at, axis, radius } = wall;
  const ax = at[0];
  const ay = at[1];
  const az = at[2];
  const ux = axis[0];
  const uy = axis[1];
  const uz = axis[2];
  for (let i = 0; i < n; i++) {
    const o = 3 * i;
    let x = (points[o] as number) - ax;
    let y = (points[o + 1] as number) - ay;
    let z = (points[o + 2] as number) - az;
    const along = x * ux + y * uy + z * uz;
    x -= along * ux;
    y -= along * uy;
    z -= along * uz;
    const r = Math.sqrt(x * x + y * y + z * z);
    if (!(radius - r < (distance[i] as number))) continue;
    distance[i] = radius - r;
    nearest[i] = k;
    const scale = r > 0 ? -1 / r : 0;
    gradient[o] = scale * x;
    gradient[o + 1] = scale * y;
    gradient[o + 2] = scale * z;
  }
}

function sampleBox(
  wall: BoxWall,
  k: number,
  points: Float64Array,
  n: number,
  distance: Float64Array,
  gradient: Float64Array,
  nearest: Int32Array,
): void {
  const f = wall.frame;
  const { half } = wall;
  const hx = half[0];
  const hy = half[1];
  const hz = half[2];
  for (let i = 0; i < n; i++) {
    const o = 3 * i;
    const x = (points[o] as number) - (f[9] as number);
    const y = (points[o + 1] as number) - (f[10] as number);
    const z = (points[o + 2] as number) - (f[11] as number);
    const a = (f[0] as number) * x + (f[3] as number) * y + (f[6] as number) * z;
    const b = (f[1] as number) * x + (f[4] as number) * y + (f[7] as number) * z;
    const c = (f[2] as number) * x + (f[5] as number) * y + (f[8] as number) * z;
    const qa = Math.abs(a) - hx;
    const qb = Math.abs(b) - hy;
    const qc = Math.abs(c) - hz;
    let d = 0;
    let ga = 0;
    let gb = 0;
    let gc = 0;
    if (qa <= 0 && qb <= 0 && qc <= 0) {
      d = Math.max(qa, qb, qc);
      if (d === qa) ga = 1;
      else if (d === qb) gb = 1;
      else gc = 1;
    } else {
      ga = Math.max(qa, 0);
      gb = Math.max(qb, 0);
      gc = Math.max(qc, 0);
      d = Math.sqrt(ga * ga + gb * gb + gc * gc);
      ga /= d;
      gb /= d;
      gc /= d;
    }
    if (!(d < (distance[i] as number))) continue;
    distance[i] = d;
    nearest[i] = k;
    if (a < 0) ga = -ga;
    if (b < 0) gb = -gb;
    if (c < 0) gc = -gc;
    gradient[o] = (f[0] as number) * ga + (f[1] as number) * gb + (f[2] as number) * gc;
    gradient[o + 1] = (f[3] as number) * ga + (f[4] as number) * gb + (f[5] as number) * gc;
    gradient[o + 2] = (f[6] as number) * ga + (f[7] as number) * gb + (f[8] as number) * gc;
  }
}

function sampleGrid(
  wall: GridWall,
  k: number,
  points: Float64Array,
  n: number,
  distance: Float64Array,
  gradient: Float64Array,
  nearest: Int32Array,
): void {
  const { origin, step, counts, values } = wall;
  const sx = counts[1] * counts[2];
  const sy = counts[2];
  for (let i = 0; i < n; i++) {
    const o = 3 * i;
    const x = ((points[o] as number) - origin[0]) / step;
    const y = ((points[o + 1] as number) - origin[1]) / step;
    const z = ((points[o + 2] as number) - origin[2]) / step;
    const u = Math.min(Math.max(x, 0), counts[0] - 1);
    const v = Math.min(Math.max(y, 0), counts[1] - 1);
    const w = Math.min(Math.max(z, 0), counts[2] - 1);
    const ix = Math.min(Math.floor(u), counts[0] - 2);
    const iy = Math.min(Math.floor(v), counts[1] - 2);
    const iz = Math.min(Math.floor(w), counts[2] - 2);
    const a = u - ix;
    const b = v - iy;
    const c = w - iz;
    const at = sx * ix + sy * iy + iz;
    const v000 = values[at] as number;
    const v001 = values[at + 1] as number;
    const v010 = values[at + sy] as number;
    const v011 = values[at + sy + 1] as number;
    const v100 = values[at + sx] as number;
    const v101 = values[at + sx + 1] as number;
    const v110 = values[at + sx + sy] as number;
    const v111 = values[at + sx + sy + 1] as number;
    const v00 = v000 + c * (v001 - v000);
    const v01 = v010 + c * (v011 - v010);
    const v10 = v100 + c * (v101 - v100);
    const v11 = v110 + c * (v111 - v110);
    const v0 = v00 + b * (v01 - v00);
    const v1 = v10 + b * (v11 - v10);
    const ex = x - u;
    const ey = y - v;
    const ez = z - w;
    const beyond = Math.sqrt(ex * ex + ey * ey + ez * ez);
    const d = v0 + a * (v1 - v0) + step * beyond;
    if (!(d < (distance[i] as number))) continue;
    distance[i] = d;
    nearest[i] = k;
    const out = beyond > 0 ? 1 / beyond : 0;
    const gz0 = v001 - v000 + b * (v011 - v010 - v001 + v000);
    const gz1 = v101 - v100 + b * (v111 - v110 - v101 + v100);
    gradient[o] = ex !== 0 ? out * ex : (v1 - v0) / step;
    gradient[o + 1] = ey !== 0 ? out * ey : (v01 - v00 + a * (v11 - v10 - v01 + v00)) / step;
    gradient[o + 2] = ez !== 0 ? out * ez : (gz0 + a * (gz1 - gz0)) / step;
  }
}
