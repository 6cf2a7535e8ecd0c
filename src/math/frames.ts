/** Rigid frames as [12]: rotation row-major (9), then position (3). world = R * local + p. */

/** A frame at `origin` whose z points along `axis` (unit); x and y are chosen, the same for the same axis. */
export function createFrameAlong(origin: ArrayLike<number>, axis: ArrayLike<number>): Float64Array {
  const [ax, ay, az] = [axis[0] as number, axis[1] as number, axis[2] as number];
  // start from the world axis least along z, so that the choice is stable
  const seed =
    Math.abs(ax) <= Math.abs(ay) && Math.abs(ax) <= Math.abs(az) ? [1, 0, 0] : Math.abs(ay) <= Math.abs(az) ? [0, 1, 0] : [0, 0, 1];
  const dot = (seed[0] as number) * ax + (seed[1] as number) * ay + (seed[2] as number) * az;
  const x = [(seed[0] as number) - dot * ax, (seed[1] as number) - dot * ay, (seed[2] as number) - dot * az];
  const norm = Math.sqrt((x[0] as number) ** 2 + (x[1] as number) ** 2 + (x[2] as number) ** 2);
  const [x0, x1, x2] = [(x[0] as number) / norm, (x[1] as number) / norm, (x[2] as number) / norm];
  const [y0, y1, y2] = [ay * x2 - az * x1, az * x0 - ax * x2, ax * x1 - ay * x0];
  return Float64Array.of(x0, y0, ax, x1, y1, ay, x2, y2, az, origin[0] as number, origin[1] as number, origin[2] as number);
}

/** `frame` turned by `roll` about its own z and moved by `along` on it, into `out` [12]. */
export function rollFrame(frame: Float64Array, roll: number, along: number, out: Float64Array): void {
  const c = Math.cos(roll);
  const s = Math.sin(roll);
  for (let r = 0; r < 3; r++) {
    const x = frame[3 * r] as number;
    const y = frame[3 * r + 1] as number;
    const z = frame[3 * r + 2] as number;
    out[3 * r] = c * x + s * y;
    out[3 * r + 1] = -s * x + c * y;
    out[3 * r + 2] = z;
    out[9 + r] = (frame[9 + r] as number) + along * z;
  }
}

/** A point of a frame in the world, into `out` [3] at `o`. `frames` [.., 12] read at 12 i. */
export function pointOf(frames: Float64Array, i: number, x: number, y: number, z: number, out: Float64Array, o = 0): void {
  const f = 12 * i;
  for (let r = 0; r < 3; r++) {
    out[o + r] =
      (frames[f + 9 + r] as number) +
      (frames[f + 3 * r] as number) * x +
      (frames[f + 3 * r + 1] as number) * y +
      (frames[f + 3 * r + 2] as number) * z;
  }
}
