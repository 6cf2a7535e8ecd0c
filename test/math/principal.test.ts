import { expect, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { principalAxes } from "../../src/math/index.ts";

const values = new Float64Array(3);
const axes = new Float64Array(9);
const row = (k: number): number[] => [...axes.subarray(3 * k, 3 * k + 3)];
const dot = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, x, k) => sum + x * (b[k] as number), 0);

test("[[2,-1,0],[-1,2,-1],[0,-1,2]]: 2 + sqrt 2, 2, 2 - sqrt 2 (second differences, any text on matrices)", () => {
  principalAxes([2, -1, 0, -1, 2, -1, 0, -1, 2], values, axes);
  [2 + Math.SQRT2, 2, 2 - Math.SQRT2].forEach((v, k) => expect(values[k]).toBeCloseTo(v, 14));
  expect(Math.abs(dot(row(0), [0.5, -Math.SQRT1_2, 0.5]))).toBeCloseTo(1, 14);
});

test("diagonal, alike and zero matrices", () => {
  principalAxes([1, 0, 0, 0, 3, 0, 0, 0, 2], values, axes);
  expect([...values]).toEqual([3, 2, 1]);
  principalAxes([0, 0, 0, 0, 0, 0, 0, 0, 0], values, axes);
  expect([...values]).toEqual([0, 0, 0]);
  principalAxes([5, 0, 0, 0, 5, 0, 0, 0, 5], values, axes);
  expect([...values]).toEqual([5, 5, 5]);
});

test("500 random symmetric matrices over many sizes: A v = value v, axes square and right-handed, sorted (seed 81)", () => {
  const random = createRandom(81);
  for (let n = 0; n < 500; n++) {
    const size = 10 ** (12 * random() - 6);
    const [a, b, c, d, e, f] = [0, 1, 2, 3, 4, 5].map(() => size * (2 * random() - 1)) as [number, number, number, number, number, number];
    const m = [a, b, c, b, d, e, c, e, f];
    principalAxes(m, values, axes);
    expect(values[0]).toBeGreaterThanOrEqual(values[1] as number);
    expect(values[1]).toBeGreaterThanOrEqual(values[2] as number);
    for (let k = 0; k < 3; k++) {
      const v = row(k);
      for (let r = 0; r < 3; r++) {
        expect(Math.abs(dot(m.slice(3 * r, 3 * r + 3), v) - (values[k] as number) * (v[r] as number))).toBeLessThan(1e-14 * 10 * size);
      }
      expect(dot(v, row((k + 1) % 3))).toBeCloseTo(0, 13);
      expect(dot(v, v)).toBeCloseTo(1, 13);
    }
    const [x, y, z] = [row(0), row(1), row(2)] as [number[], number[], number[]];
    const cross = [0, 1, 2].map(
      (k) => (x[(k + 1) % 3] as number) * (y[(k + 2) % 3] as number) - (x[(k + 2) % 3] as number) * (y[(k + 1) % 3] as number),
    );
    expect(dot(cross, z)).toBeCloseTo(1, 13);
  }
});
