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

/** How many eigenvalues of a symmetric matrix are below zero (cyclic Jacobi; `a` [n, stride] is overwritten). */
export function countNegative(a: Float64Array, n: number, stride: number): number {
  for (let sweep = 0; sweep < 60; sweep++) {
    let off = 0;
    let diagonal = 0;
    for (let r = 0; r < n; r++) {
      diagonal += (a[r * stride + r] as number) ** 2;
      for (let c = 0; c < r; c++) off += (a[r * stride + c] as number) ** 2;
    }
    if (off <= 1e-24 * diagonal) break;
    for (let p = 0; p < n; p++) for (let q = p + 1; q < n; q++) rotate(a, n, stride, p, q);
  }
  let negative = 0;
  for (let r = 0; r < n; r++) if ((a[r * stride + r] as number) < 0) negative++;
  return negative;
}

function rotate(a: Float64Array, n: number, stride: number, p: number, q: number): void {
  const pq = a[p * stride + q] as number;
  if (pq === 0) return;
  const theta = ((a[q * stride + q] as number) - (a[p * stride + p] as number)) / (2 * pq);
  const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
  const c = 1 / Math.sqrt(t * t + 1);
  const s = t * c;
  for (let k = 0; k < n; k++) {
    const kp = a[k * stride + p] as number;
    const kq = a[k * stride + q] as number;
    a[k * stride + p] = c * kp - s * kq;
    a[k * stride + q] = s * kp + c * kq;
  }
  for (let k = 0; k < n; k++) {
    const pk = a[p * stride + k] as number;
    const qk = a[q * stride + k] as number;
    a[p * stride + k] = c * pk - s * qk;
    a[q * stride + k] = s * pk + c * qk;
  }
}
