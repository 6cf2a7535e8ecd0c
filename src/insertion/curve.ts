/** A point and direction of the route at any arc length; straight on before its start and beyond its end. */
import type { RouteCurve } from "../path/index.ts";

/** @param out [6] written: point (m) and unit tangent, world */
export function curveAt(curve: RouteCurve, s: number, out: Float64Array): void {
  const { arc, point, tangent, count } = curve;
  const last = arc[count - 1] as number;
  const k = s <= 0 ? 0 : s >= last ? count - 1 : -1;
  if (k >= 0) {
    const over = s - (arc[k] as number);
    for (let r = 0; r < 3; r++) {
      out[3 + r] = tangent[3 * k + r] as number;
      out[r] = (point[3 * k + r] as number) + over * (tangent[3 * k + r] as number);
    }
    return;
  }
  let low = 0;
  let high = count - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((arc[middle] as number) <= s) low = middle;
    else high = middle;
  }
  const h = (arc[high] as number) - (arc[low] as number);
  const t = (s - (arc[low] as number)) / h;
  const [a, b, c, d] = [1 - t * t * (3 - 2 * t), t * (1 - t) * (1 - t) * h, t * t * (3 - 2 * t), -t * t * (1 - t) * h];
  let norm = 0;
  for (let r = 0; r < 3; r++) {
    const p = point[3 * low + r] as number;
    const q = point[3 * high + r] as number;
    const u = tangent[3 * low + r] as number;
    const v = tangent[3 * high + r] as number;
    out[r] = a * p + b * u + c * q + d * v;
    const slope = (1 - t) * u + t * v;
    out[3 + r] = slope;
    norm += slope * slope;
  }
  norm = Math.sqrt(norm);
  for (let r = 0; r < 3; r++) out[3 + r] = (out[3 + r] as number) / norm;
}
