/** Cholesky factor and solution of a symmetric banded system, in place. */

/**
 * Solves (A + damping x diagonal) x = b.
 *
 * @param a  [n, half + 1] lower band by rows: entry (i, i - k) at (half + 1) * i + k
 * @param factor  [n, half + 1] overwritten
 * @param x  [n] b on entry, solution on return
 * @returns false when a pivot is not positive: not positive definite at this damping
 */
export function solveBand(a: Float64Array, n: number, half: number, damping: number, factor: Float64Array, x: Float64Array): boolean {
  const width = half + 1;
  for (let i = 0; i < n; i += 1) {
    const low = Math.max(0, i - half);
    for (let j = low; j <= i; j += 1) {
      let sum = a[width * i + i - j]!;
      if (i === j) sum += damping * sum + 1e-12;
      const from = Math.max(low, j - half);
      for (let k = from; k < j; k += 1) sum -= factor[width * i + i - k]! * factor[width * j + j - k]!;
      if (i === j) {
        if (!(sum > 0)) return false;
        factor[width * i] = Math.sqrt(sum);
      } else factor[width * i + i - j] = sum / factor[width * j]!;
    }
  }
  for (let i = 0; i < n; i += 1) {
    let sum = x[i]!;
    for (let k = Math.max(0, i - half); k < i; k += 1) sum -= factor[width * i + i - k]! * x[k]!;
    x[i] = sum / factor[width * i]!;
  }
  for (let i = n - 1; i >= 0; i -= 1) {
    let sum = x[i]!;
    for (let k = i + 1; k <= Math.min(n - 1, i + half); k += 1) sum -= factor[width * k + k - i]! * x[k]!;
    x[i] = sum / factor[width * i]!;
  }
  return true;
}
