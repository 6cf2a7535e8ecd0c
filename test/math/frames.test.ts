import { describe, expect, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { createFrameAlong, pointOf, rollFrame } from "../../src/math/index.ts";

const random = createRandom(9);
const axes = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
  [0, 0, -1],
  [-1, 0, 0],
  ...Array.from({ length: 20 }, () => {
    const v = [2 * random() - 1, 2 * random() - 1, 2 * random() - 1];
    const size = Math.hypot(...v);
    return v.map((x) => x / size);
  }),
];
const column = (f: Float64Array, c: number): number[] => [0, 1, 2].map((r) => f[3 * r + c] as number);
const dot = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, v, k) => sum + v * (b[k] as number), 0);

describe("a frame along an axis (seed 9)", () => {
  test.each(axes)("%d %d %d: z is the axis, right-handed, orthonormal", (...axis) => {
    const f = createFrameAlong([1, 2, 3], axis);
    const [x, y, z] = [column(f, 0), column(f, 1), column(f, 2)] as [number[], number[], number[]];
    z.forEach((v, k) => expect(v).toBe(axis[k]));
    for (const [a, b, value] of [
      [x, x, 1],
      [y, y, 1],
      [x, y, 0],
      [x, z, 0],
      [y, z, 0],
    ] as [number[], number[], number][]) {
      expect(Math.abs(dot(a, b) - value)).toBeLessThan(1e-15 * 4);
    }
    const [x0, x1, x2] = x as [number, number, number];
    const [y0, y1, y2] = y as [number, number, number];
    expect(dot([x1 * y2 - x2 * y1, x2 * y0 - x0 * y2, x0 * y1 - x1 * y0], z)).toBeCloseTo(1, 14);
    expect([...f.subarray(9)]).toEqual([1, 2, 3]);
  });
});

test("rolled by 90 degrees x goes where y was, and the frame moves along its z", () => {
  const f = createFrameAlong([0.1, 0.2, 0.3], [0.6, 0, 0.8]);
  const out = new Float64Array(12);
  rollFrame(f, Math.PI / 2, 0.5, out);
  column(out, 0).forEach((v, k) => expect(v).toBeCloseTo(column(f, 1)[k] as number, 15));
  column(out, 1).forEach((v, k) => expect(v).toBeCloseTo(-(column(f, 0)[k] as number), 15));
  [0.4, 0.2, 0.7].forEach((v, k) => expect(out[9 + k]).toBeCloseTo(v, 15));
});

test("a point of the second of two frames, at a place of the output", () => {
  const frames = new Float64Array(24);
  // turned by 90 degrees about z: its x is the world's y
  frames.set([0, -1, 0, 1, 0, 0, 0, 0, 1, 10, 20, 30], 12);
  const out = new Float64Array(5);
  pointOf(frames, 1, 1, 2, 3, out, 1);
  expect([...out]).toEqual([0, 8, 21, 33, 0]);
});
