import { describe, expect, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { countNegative, factorCholesky, factorLu, solveCholesky, solveLu } from "../../src/math/index.ts";

const stride = 14;

/** Symmetric with given eigenvalues: reflections of a diagonal, so the truth is known beforehand. */
function symmetric(values: readonly number[], random: () => number): Float64Array {
  const n = values.length;
  let a = values.map((v, r) => values.map((_, c) => (r === c ? v : 0)));
  for (let turn = 0; turn < 4; turn++) {
    const v = values.map(() => 2 * random() - 1);
    const size = v.reduce((sum, x) => sum + x * x, 0);
    const mirror = (m: number[][]): number[][] =>
      m.map((row) => {
        const along = (2 / size) * row.reduce((sum, x, k) => sum + x * (v[k] as number), 0);
        return row.map((x, k) => x - along * (v[k] as number));
      });
    const flip = (m: number[][]): number[][] => values.map((_, r) => values.map((_, c) => (m[c] as number[])[r] as number));
    a = flip(mirror(flip(mirror(a))));
  }
  const out = new Float64Array(n * stride);
  for (let r = 0; r < n; r++)
    for (let c = 0; c < n; c++) out[r * stride + c] = (((a[r] as number[])[c] as number) + ((a[c] as number[])[r] as number)) / 2;
  return out;
}

describe("countNegative", () => {
  test.each(Array.from({ length: 12 }, (_, n) => n + 1))("matrices of %d with known eigenvalues (seed 11)", (n) => {
    const random = createRandom(11 + n);
    for (let k = 0; k < 50; k++) {
      // sizes over six decades, none nearer to zero than 1e-9 of the largest
      const values = Array.from({ length: n }, () => (random() < 0.5 ? -1 : 1) * 10 ** (6 * random() - 3));
      expect(countNegative(symmetric(values, random), n, stride)).toBe(values.filter((v) => v < 0).length);
    }
  });

  test("blocks, zeros off the diagonal and repeated values", () => {
    expect(countNegative(Float64Array.of(0, 1, 1, 0), 2, 2)).toBe(1);
    expect(countNegative(Float64Array.of(-1, 0, 0, 0, -1, 0, 0, 0, -1), 3, 3)).toBe(3);
    expect(countNegative(Float64Array.of(0, 0, 2, 0, 3, 0, 2, 0, 0), 3, 3)).toBe(1);
    expect(countNegative(new Float64Array(0), 0, 3)).toBe(0);
  });
});

describe("solves", () => {
  test.each([1, 2, 5, 12])("LU and Cholesky put back a known solution of %d (seed 5)", (n) => {
    const random = createRandom(5 + n);
    const a = symmetric(
      Array.from({ length: n }, () => 1 + random()),
      random,
    );
    const x = Array.from({ length: n }, () => 2 * random() - 1);
    const right = Float64Array.from({ length: n }, (_, r) => x.reduce((sum, v, c) => sum + v * (a[r * stride + c] as number), 0));
    const lu = a.slice();
    const pivots = new Int32Array(n);
    const spread = new Float64Array(3 * n + 1);
    right.forEach((v, k) => {
      spread[1 + 3 * k] = v;
    });
    expect(factorLu(lu, n, stride, pivots)).toBe(true);
    solveLu(lu, n, stride, pivots, spread, 1, 3);
    expect(factorCholesky(a, n, stride)).toBe(true);
    solveCholesky(a, n, stride, right);
    // condition 2 at most: rounding alone
    x.forEach((v, k) => {
      expect(Math.abs((spread[1 + 3 * k] as number) - v)).toBeLessThan(1e-14 * n);
      expect(Math.abs((right[k] as number) - v)).toBeLessThan(1e-14 * n);
    });
  });

  test("a singular or indefinite matrix is refused", () => {
    expect(factorLu(Float64Array.of(1, 2, 2, 4), 2, 2, new Int32Array(2))).toBe(false);
    expect(factorCholesky(Float64Array.of(1, 2, 2, 1), 2, 2)).toBe(false);
    expect(factorLu(Float64Array.of(Number.NaN), 1, 1, new Int32Array(1))).toBe(false);
  });

  test("rows are exchanged where the first pivot is zero", () => {
    const a = Float64Array.of(0, 1, 1, 0);
    const pivots = new Int32Array(2);
    const x = Float64Array.of(3, 7);
    expect(factorLu(a, 2, 2, pivots)).toBe(true);
    solveLu(a, 2, 2, pivots, x);
    expect([...x]).toEqual([7, 3]);
  });
});
