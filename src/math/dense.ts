/** Small dense linear algebra in flat row-major arrays, for systems of a few dozen unknowns. */

/**
 * LU factors with row exchanges, in place.
 *
 * @param a [n, stride] overwritten
 * @param pivots [n] written
 * @returns false when the matrix is singular to working precision
 */
export function factorLu(a: Float64Array, n: number, stride: number, pivots: Int32Array): boolean {
  let largest = 0;
  for (let r = 0; r < n; r++) for (let c = 0; c < n; c++) largest = Math.max(largest, Math.abs(a[r * stride + c] as number));
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let r = k + 1; r < n; r++) if (Math.abs(a[r * stride + k] as number) > Math.abs(a[best * stride + k] as number)) best = r;
    pivots[k] = best;
    const pivot = a[best * stride + k] as number;
    if (!(Math.abs(pivot) > 1e-15 * largest)) return false;
    if (best !== k) {
      for (let c = 0; c < n; c++) {
        const swap = a[k * stride + c] as number;
        a[k * stride + c] = a[best * stride + c] as number;
        a[best * stride + c] = swap;
      }
    }
    for (let r = k + 1; r < n; r++) {
      const factor = (a[r * stride + k] as number) / pivot;
      a[r * stride + k] = factor;
      if (factor === 0) continue;
      for (let c = k + 1; c < n; c++) a[r * stride + c] = (a[r * stride + c] as number) - factor * (a[k * stride + c] as number);
    }
  }
  return true;
}

/** Solves with factors of `factorLu`; `x` [n] at `at` is overwritten, entries `step` apart. */
export function solveLu(a: Float64Array, n: number, stride: number, pivots: Int32Array, x: Float64Array, at = 0, step = 1): void {
  for (let k = 0; k < n; k++) {
    const p = pivots[k] as number;
    if (p !== k) {
      const swap = x[at + k * step] as number;
      x[at + k * step] = x[at + p * step] as number;
      x[at + p * step] = swap;
    }
  }
  for (let r = 1; r < n; r++) {
    let sum = x[at + r * step] as number;
    for (let c = 0; c < r; c++) sum -= (a[r * stride + c] as number) * (x[at + c * step] as number);
    x[at + r * step] = sum;
  }
  for (let r = n - 1; r >= 0; r--) {
    let sum = x[at + r * step] as number;
    for (let c = r + 1; c < n; c++) sum -= (a[r * stride + c] as number) * (x[at + c * step] as number);
    x[at + r * step] = sum / (a[r * stride + r] as number);
  }
}

/**
 * Cholesky factor of a symmetric positive definite matrix, lower part in place.
 *
 * @param a [n, stride]
 * @returns false when it is not positive definite
 */
export function factorCholesky(a: Float64Array, n: number, stride: number): boolean {
  for (let j = 0; j < n; j++) {
    let d = a[j * stride + j] as number;
    for (let k = 0; k < j; k++) d -= (a[j * stride + k] as number) ** 2;
    if (!(d > 0)) return false;
    const root = Math.sqrt(d);
    a[j * stride + j] = root;
    for (let r = j + 1; r < n; r++) {
      let sum = a[r * stride + j] as number;
      for (let k = 0; k < j; k++) sum -= (a[r * stride + k] as number) * (a[j * stride + k] as number);
      a[r * stride + j] = sum / root;
    }
  }
  return true;
}

/** Solves with the factor of `factorCholesky`; `x` [n] is overwritten. */
export function solveCholesky(a: Float64Array, n: number, stride: number, x: Float64Array): void {
  for (let r = 0; r < n; r++) {
    let sum = x[r] as number;
    for (let c = 0; c < r; c++) sum -= (a[r * stride + c] as number) * (x[c] as number);
    x[r] = sum / (a[r * stride + r] as number);
  }
  for (let r = n - 1; r >= 0; r--) {
    let sum = x[r] as number;
    for (let c = r + 1; c < n; c++) sum -= (a[c * stride + r] as number) * (x[c] as number);
    x[r] = sum / (a[r * stride + r] as number);
  }
}

/**
 * How many eigenvalues of a symmetric matrix are below zero: Householder's tridiagonal form, then the signs of its Sturm sequence.
 *
 * @param a [n, stride] the lower part is read, all of it overwritten
 */
export function countNegative(a: Float64Array, n: number, stride: number): number {
  let scale = 0;
  for (let r = 0; r < n; r++) for (let c = 0; c <= r; c++) scale = Math.max(scale, Math.abs(a[r * stride + c] as number));
  for (let k = 0; k < n - 2; k++) reflect(a, n, stride, k);
  // q = d - b^2 / q: one negative q for each eigenvalue below zero
  const tiny = 1e-300 + 2.3e-16 * scale;
  let negative = 0;
  let q = 1;
  for (let k = 0; k < n; k++) {
    const b = k === 0 ? 0 : (a[k * stride + k - 1] as number);
    q = (a[k * stride + k] as number) - (b * b) / q;
    if (Math.abs(q) < tiny) q = tiny;
    if (q < 0) negative++;
  }
  return negative;
}

/** Clears column k below its second entry by a reflection from both sides; the vector is kept in row k, right of the diagonal. */
function reflect(a: Float64Array, n: number, stride: number, k: number): void {
  const at = k * stride;
  let norm2 = 0;
  for (let r = k + 1; r < n; r++) {
    const v = a[r * stride + k] as number;
    a[at + r] = v;
    norm2 += v * v;
  }
  const first = a[at + k + 1] as number;
  const alpha = first > 0 ? -Math.sqrt(norm2) : Math.sqrt(norm2);
  const size = norm2 - alpha * first; // half of |v|^2 with v = x - alpha e
  a[(k + 1) * stride + k] = alpha;
  if (!(size > 0)) return;
  a[at + k + 1] = first - alpha;
  // A <- A - v w' - w v', w = A v / size - (v' A v / 2 size^2) v; kept in column k, whose own entries are done with; its first, whose place is taken, in `head`
  let along = 0;
  let head = 0;
  for (let r = k + 1; r < n; r++) {
    let sum = 0;
    for (let c = k + 1; c < n; c++) sum += (r >= c ? (a[r * stride + c] as number) : (a[c * stride + r] as number)) * (a[at + c] as number);
    if (r > k + 1) a[r * stride + k] = sum / size;
    else head = sum / size;
    along += (sum / size) * (a[at + r] as number);
  }
  const share = along / (2 * size);
  for (let r = k + 1; r < n; r++) {
    const w = (r === k + 1 ? head : (a[r * stride + k] as number)) - share * (a[at + r] as number);
    if (r === k + 1) head = w;
    else a[r * stride + k] = w;
  }
  for (let r = k + 1; r < n; r++) {
    const vr = a[at + r] as number;
    const wr = r === k + 1 ? head : (a[r * stride + k] as number);
    for (let c = k + 1; c <= r; c++) {
      const wc = c === k + 1 ? head : (a[c * stride + k] as number);
      a[r * stride + c] = (a[r * stride + c] as number) - vr * wc - wr * (a[at + c] as number);
    }
  }
}
