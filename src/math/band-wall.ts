/** Distances on a grid that is fine near a surface, coarse beside it and nowhere else: what a scanned or drawn body is to a loaded arm. */

/**
 * Equal blocks of cubes. Below 0 on the far side of the surface. Where no block is, there is no wall.
 *
 * Fine blocks are cubic B-splines with the distances as their coefficients: twice differentiable, so that what rests against them comes to
 * rest, exact on flat pieces, off by step^2/6 over the radius on round ones and by part of a step at edges, which they round.
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
  /** [fine block, cubes + 3, cubes + 3, cubes + 3] distance at each corner and at those one step about the block, z fastest, m */
  readonly fine: Float64Array;
  /** [coarse block, 2, 2, 2] distance at its corners, m, linear in between; no surface passes through, and what it could be too far was taken off */
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
  const { origin, step, cubes, counts, block } = wall;
  const nx = counts[0];
  const ny = counts[1];
  const nz = counts[2];
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
    const u = x - bx * cubes;
    const v = y - by * cubes;
    const w = z - bz * cubes;
    let d = 0;
    let gx = 0;
    let gy = 0;
    let gz = 0;
    if (which >= 0) {
      const { fine } = wall;
      const side = cubes + 3;
      const ix = Math.min(Math.floor(u), cubes - 1);
      const iy = Math.min(Math.floor(v), cubes - 1);
      const iz = Math.min(Math.floor(w), cubes - 1);
      const a = u - ix;
      const b = v - iy;
      const c = w - iz;
      const e = 1 - c;
      const w0 = (e * e * e) / 6;
      const w1 = ((3 * c - 6) * c * c + 4) / 6;
      const w3 = (c * c * c) / 6;
      const w2 = 1 - w0 - w1 - w3;
      const s0 = -(e * e) / 2;
      const s1 = (1.5 * c - 2) * c;
      const s3 = (c * c) / 2;
      const s2 = -s0 - s1 - s3;
      const first = side * (side * (side * which + ix) + iy) + iz;
      for (let p = 0; p < 4; p++) {
        const q = p === 0 ? 1 - a : a;
        const wx = p === 0 || p === 3 ? (q * q * q) / 6 : p === 1 ? ((3 * a - 6) * a * a + 4) / 6 : (((3 - 3 * a) * a + 3) * a + 1) / 6;
        const sx = p === 0 ? -(q * q) / 2 : p === 3 ? (q * q) / 2 : p === 1 ? (1.5 * a - 2) * a : (1 - 1.5 * a) * a + 0.5;
        for (let r = 0; r < 4; r++) {
          const t = r === 0 ? 1 - b : b;
          const wy = r === 0 || r === 3 ? (t * t * t) / 6 : r === 1 ? ((3 * b - 6) * b * b + 4) / 6 : (((3 - 3 * b) * b + 3) * b + 1) / 6;
          const sy = r === 0 ? -(t * t) / 2 : r === 3 ? (t * t) / 2 : r === 1 ? (1.5 * b - 2) * b : (1 - 1.5 * b) * b + 0.5;
          const at = first + side * (side * p + r);
          const c0 = fine[at] as number;
          const c1 = fine[at + 1] as number;
          const c2 = fine[at + 2] as number;
          const c3 = fine[at + 3] as number;
          const value = w0 * c0 + w1 * c1 + w2 * c2 + w3 * c3;
          d += wx * wy * value;
          gx += sx * wy * value;
          gy += wx * sy * value;
          gz += wx * wy * (s0 * c0 + s1 * c1 + s2 * c2 + s3 * c3);
        }
      }
    } else {
      const { coarse } = wall;
      const at = 8 * (-2 - which);
      const a = u / cubes;
      const b = v / cubes;
      const c = w / cubes;
      for (let p = 0; p < 8; p++) {
        const value = coarse[at + p] as number;
        const wx = p < 4 ? 1 - a : a;
        const wy = (p & 2) === 0 ? 1 - b : b;
        const wz = (p & 1) === 0 ? 1 - c : c;
        d += wx * wy * wz * value;
        gx += ((p < 4 ? -1 : 1) * wy * wz * value) / cubes;
        gy += ((p & 2) === 0 ? -1 : 1) * ((wx * wz * value) / cubes);
        gz += ((p & 1) === 0 ? -1 : 1) * ((wx * wy * value) / cubes);
      }
    }
    if (!(d < (distance[i] as number))) continue;
    distance[i] = d;
    nearest[i] = k;
    gradient[o] = gx / step;
    gradient[o + 1] = gy / step;
    gradient[o + 2] = gz / step;
  }
}
