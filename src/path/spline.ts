/** Clamped uniform cubic B-splines on [0, spans]: the four basis functions of a place and their derivatives. */

/** Knot number i of the clamped uniform knots 0 0 0 0 1 2 … spans spans spans spans. */
function knot(spans: number, i: number): number {
  return Math.min(spans, Math.max(0, i - 3));
}

/**
 * Basis at u, by the triangular recurrence (de Boor, Cox), derivatives from the lower degrees.
 *
 * @param row  [16] overwritten: value, first, second, third derivative of the basis functions span … span + 3
 * @returns the span: floor(u), the last one at the far end
 * @see docs/sources.md#b-splines
 */
export function splineRow(spans: number, u: number, row: Float64Array): number {
  const span = Math.min(spans - 1, Math.max(0, Math.floor(u)));
  const i = span + 3;
  row.fill(0);
  // basis of each degree that does not vanish: degree p has p + 1 of them, N[i-p..i]
  let lower: number[] = [1];
  const degrees: number[][] = [lower];
  for (let p = 1; p <= 3; p += 1) {
    const next = new Array<number>(p + 1).fill(0);
    for (let k = 0; k < p; k += 1) {
      const index = i - p + 1 + k;
      const low = knot(spans, index);
      const high = knot(spans, index + p);
      const part = lower[k]! / (high - low);
      next[k]! += (high - u) * part;
      next[k + 1]! += (u - low) * part;
    }
    degrees.push(next);
    lower = next;
  }
  for (let k = 0; k < 4; k += 1) row[k] = lower[k]!;
  // derivative q of the basis of degree 3 = repeated differences of the basis of degree 3 - q
  for (let q = 1; q <= 3; q += 1) {
    let values = degrees[3 - q]!;
    for (let p = 4 - q; p <= 3; p += 1) {
      const raised = new Array<number>(p + 1).fill(0);
      for (let k = 0; k < p; k += 1) {
        const index = i - p + 1 + k;
        const part = (p * values[k]!) / (knot(spans, index + p) - knot(spans, index));
        raised[k]! -= part;
        raised[k + 1]! += part;
      }
      values = raised;
    }
    for (let k = 0; k < 4; k += 1) row[4 * q + k] = values[k]!;
  }
  return span;
}

/** Average of the knots that a control point spans: where along [0, spans] it belongs. */
export function controlPlace(spans: number, control: number): number {
  return (knot(spans, control + 1) + knot(spans, control + 2) + knot(spans, control + 3)) / 3;
}

/**
 * Point and derivatives of the curve of `control` [spans + 3, 3] at u.
 *
 * @param out  [12] overwritten: point, first, second, third derivative
 * @param row  [16] scratch
 */
export function splineAt(control: Float64Array, spans: number, u: number, out: Float64Array, row: Float64Array): void {
  const span = splineRow(spans, u, row);
  out.fill(0);
  for (let q = 0; q < 4; q += 1) {
    for (let k = 0; k < 4; k += 1) {
      const b = row[4 * q + k]!;
      const c = 3 * (span + k);
      out[3 * q] = out[3 * q]! + b * control[c]!;
      out[3 * q + 1] = out[3 * q + 1]! + b * control[c + 1]!;
      out[3 * q + 2] = out[3 * q + 2]! + b * control[c + 2]!;
    }
  }
}

/** Curvature from the first and second derivative, 1 over the unit of length. */
export function curvatureOf(d: Float64Array): number {
  const nx = d[4]! * d[8]! - d[5]! * d[7]!;
  const ny = d[5]! * d[6]! - d[3]! * d[8]!;
  const nz = d[3]! * d[7]! - d[4]! * d[6]!;
  const speed = Math.sqrt(d[3]! * d[3]! + d[4]! * d[4]! + d[5]! * d[5]!);
  return Math.sqrt(nx * nx + ny * ny + nz * nz) / (speed * speed * speed);
}
