/** Distances on a grid that is fine near a surface, coarse beside it and nowhere else: what a scanned or drawn body is to a loaded arm. */

/**
 * Equal blocks of cubes. Below 0 on the far side of the surface. Where no block is, there is no wall.
 *
 * Linear along each edge in between: exact on flat pieces, off by up to step^2/4 over the radius on round ones, and by up to half a
 * cube's diagonal at edges.
 */
export interface BandWall {
  readonly kind: "band";
  /** [3] first corner, m */
  readonly origin: readonly [number, number, number];
  /** edge of a fine cube, m, > 0 */
  readonly step: number;
  /** fine cubes along the edge of a block */
  readonly cubes: number;
  /** [3] blocks along x, y, z */
  readonly counts: readonly [number, number, number];
  /** [x, y, z] z fastest: fine block k as k, coarse block k as -2 - k, none as -1 */
  readonly block: Int32Array;
  /** [fine block, cubes + 1, cubes + 1, cubes + 1] distance at each corner, z fastest, m */
  readonly fine: Float64Array;
  /** [coarse block, 2, 2, 2] the same; no surface passes through such a block, and what it could be too far was taken off */
  readonly coarse: Float64Array;
}

/** Where the wall is nearer than what stands there, it is written instead, as `sampleField` does for all its walls. */
export function sampleBand(
  wall: BandWall,
  k: number,
  points: Float64Array,
  n: number,
  distance: Float64Array,
  gradient: Float64Array,
  nearest: Int32Array,
): void {
  const { origin, step, cubes, counts, block, fine, coarse } = wall;
  const nx = counts[0];
  const ny = counts[1];
  const nz = counts[2];
  const side = cubes + 1;
  const each = side * side * side;
  for (let i = 0; i < n; i++) {
    const o = 3 * i;
    const x = ((points[o] as number) - origin[0]) / step;
    const y = ((points[o + 1] as number) - origin[1]) / step;
    const z = ((points[o + 2] as number) - origin[2]) / step;
    const bx = Math.floor(x / cubes);
    const by = Math.floor(y / cubes);
    const bz = Math.floor(z / cubes);
    if (!(bx >= 0 && by >= 0 && bz >= 0 && bx < nx && by < ny && bz < nz)) continue;
    const which = block[(bx * ny + by) * nz + bz] as number;
    if (which === -1) continue;
    const isFine = which >= 0;
    const values = isFine ? fine : coarse;
    const size = isFine ? 1 : cubes;
    const sy = isFine ? side : 2;
    const sx = sy * sy;
    const u = (x - bx * cubes) / size;
    const v = (y - by * cubes) / size;
    const w = (z - bz * cubes) / size;
    const last = sy - 2;
    const ix = Math.min(Math.floor(u), last);
    const iy = Math.min(Math.floor(v), last);
    const iz = Math.min(Math.floor(w), last);
    const a = u - ix;
    const b = v - iy;
    const c = w - iz;
    const at = (isFine ? each * which : 8 * (-2 - which)) + sx * ix + sy * iy + iz;
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
    const d = v0 + a * (v1 - v0);
    if (!(d < (distance[i] as number))) continue;
    distance[i] = d;
    nearest[i] = k;
    const edge = step * size;
    const gz0 = v001 - v000 + b * (v011 - v010 - v001 + v000);
    const gz1 = v101 - v100 + b * (v111 - v110 - v101 + v100);
    gradient[o] = (v1 - v0) / edge;
    gradient[o + 1] = (v01 - v00 + a * (v11 - v10 - v01 + v00)) / edge;
    gradient[o + 2] = (gz0 + a * (gz1 - gz0)) / edge;
  }
}
