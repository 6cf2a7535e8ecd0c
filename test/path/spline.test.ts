import { describe, expect, it } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { popHeap, pushHeap } from "../../src/path/heap.ts";
import { solveBand } from "../../src/path/solve-band.ts";
import { controlPlace, curvatureOf, splineAt, splineRow } from "../../src/path/spline.ts";

describe("cubic B-splines", () => {
  it("inner knots have the well-known uniform basis 1/6, 4/6, 1/6 and its derivatives", () => {
    // uniform cubic B-spline at a knot: values 1, 4, 1 over 6; slopes -1/2, 0, 1/2; second 1, -2, 1 (textbook, from memory)
    const row = new Float64Array(16);
    expect(splineRow(10, 5, row)).toBe(5);
    [1 / 6, 4 / 6, 1 / 6, 0, -0.5, 0, 0.5, 0, 1, -2, 1, 0, -1, 3, -3, 1].forEach((value, i) => expect(row[i]).toBeCloseTo(value, 12));
  });

  it("sums to one everywhere and has the derivatives of its values", () => {
    const h = 1e-4;
    const mid = new Float64Array(16);
    const low = new Float64Array(16);
    const high = new Float64Array(16);
    for (const u of [0.001, 0.4, 0.999, 1.3, 2.7, 3.5, 4.2, 5.6, 6.999]) {
      const span = splineRow(7, u, mid);
      expect(span).toBe(Math.floor(u));
      for (let q = 0; q < 4; q += 1) {
        const sum = mid[4 * q]! + mid[4 * q + 1]! + mid[4 * q + 2]! + mid[4 * q + 3]!;
        expect(sum).toBeCloseTo(q === 0 ? 1 : 0, 10);
      }
      splineRow(7, u - h, low);
      splineRow(7, u + h, high);
      if (Math.floor(u - h) !== span || Math.floor(u + h) !== span) continue;
      // central differences of cubics and below: exact up to h^2 x the next derivative
      for (let i = 0; i < 12; i += 1) expect((high[i]! - low[i]!) / (2 * h)).toBeCloseTo(mid[i + 4]!, 5);
    }
  });

  it("reproduces straight lines, and the curvature of a circle", () => {
    const spans = 40;
    const control = new Float64Array(3 * (spans + 3));
    for (let k = 0; k < spans + 3; k += 1) control[3 * k] = controlPlace(spans, k);
    const out = new Float64Array(12);
    const row = new Float64Array(16);
    splineAt(control, spans, 17.3, out, row);
    expect(out[0]).toBeCloseTo(17.3, 12);
    expect(out[3]).toBeCloseTo(1, 12);
    for (let k = 0; k < spans + 3; k += 1) {
      const angle = (controlPlace(spans, k) / spans) * 2 * Math.PI;
      control.set([Math.cos(angle), Math.sin(angle), 0], 3 * k);
    }
    splineAt(control, spans, 20.5, out, row);
    // control points on a circle of radius 1 pull the curve in by h^2 / 6, h = 2 pi / 40: 0.4 %
    expect(curvatureOf(out)).toBeCloseTo(1 + ((2 * Math.PI) / 40) ** 2 / 6, 2);
  });
});

describe("banded systems", () => {
  it("are solved to rounding (seed 5)", () => {
    const random = createRandom(5);
    const n = 60;
    const half = 7;
    const a = new Float64Array(n * (half + 1));
    for (let i = 0; i < n; i += 1) {
      for (let k = 1; k <= Math.min(half, i); k += 1) a[(half + 1) * i + k] = random() - 0.5;
      a[(half + 1) * i] = 8;
    }
    const truth = Float64Array.from({ length: n }, () => random());
    const x = new Float64Array(n);
    for (let i = 0; i < n; i += 1) {
      for (let k = 0; k <= Math.min(half, i); k += 1) {
        x[i]! += a[(half + 1) * i + k]! * truth[i - k]!;
        if (k > 0) x[i - k]! += a[(half + 1) * i + k]! * truth[i]!;
      }
    }
    expect(solveBand(a, n, half, 0, new Float64Array(a.length), x)).toBe(true);
    for (let i = 0; i < n; i += 1) expect(x[i]).toBeCloseTo(truth[i]!, 10);
    a[0] = -1;
    expect(solveBand(a, n, half, 0, new Float64Array(a.length), x)).toBe(false);
  });
});

describe("the heap", () => {
  it("gives keys in order (seed 3)", () => {
    const random = createRandom(3);
    const heap = { heapKey: new Float64Array(2), heapCell: new Int32Array(2), heapCount: 0 };
    const keys = Array.from({ length: 500 }, () => Math.floor(100 * random()));
    keys.forEach((key, cell) => pushHeap(heap, key, cell));
    const got: number[] = [];
    while (heap.heapCount > 0) got.push(keys[popHeap(heap)]!);
    expect(got).toEqual([...keys].sort((a, b) => a - b));
  });
});
