/** What a pixel covers: the pinhole's closed forms, and rays of neighbouring pixels cut with the tilted plane. */
import { describe, expect, test } from "vitest";
import { halfView, pixelFootprint, pixelSide } from "../../src/arm/index.ts";

const degrees = Math.PI / 180;

describe("square on: 2 d tan(view / 2) / pixels (pinhole, by hand)", () => {
  test.each([
    // 90 degrees at 50 mm: 100 mm wide; 120 at 20: 40 sqrt(3); 60 at 100: 200 / sqrt(3)
    [90, 0.05, 1920, 0.1 / 1920],
    [120, 0.02, 1280, (0.04 * Math.sqrt(3)) / 1280],
    [60, 0.1, 1920, 0.2 / Math.sqrt(3) / 1920],
  ])("%d degrees at %f m on %d pixels", (view, depth, pixels, side) => {
    const camera = { fieldOfView: view * degrees, pixels };
    expect(pixelSide(camera, depth) / side).toBeCloseTo(1, 12);
    expect(pixelFootprint(camera, [0, 0, depth], [0, 0, 1], [0, 0, -1]) / side).toBeCloseTo(1, 12);
  });
});

test.each([10, 45, 60, 80])("on the axis, tilted by %d degrees: longer by 1 / cos", (tilt) => {
  const camera = { fieldOfView: 1, pixels: 1000 };
  const found = pixelFootprint(camera, [0, 0, 0.05], [0, 0, 1], [Math.sin(tilt * degrees), 0, -Math.cos(tilt * degrees)]);
  expect(found / pixelSide(camera, 0.05)).toBeCloseTo(1 / Math.cos(tilt * degrees), 9);
});

test("off the axis and tilted: the longest of all steps of a small share of a pixel, cut with the plane ray by ray", () => {
  const camera = { fieldOfView: 1.4, pixels: 1280 };
  const f = 2 * Math.tan(0.7);
  for (const [to, normal] of [
    [
      [0.02, 0.01, 0.05],
      [0.3, -0.2, -0.93],
    ],
    [
      [-0.03, 0.02, 0.04],
      [0.6, 0.1, 0.79],
    ],
    [
      [0.01, -0.03, 0.06],
      [-0.1, 0.7, -0.7],
    ],
  ] as const) {
    const size = Math.hypot(...normal);
    const n = normal.map((v) => v / size) as unknown as readonly [number, number, number];
    const plane = to.reduce((sum, v, r) => sum + v * n[r]!, 0);
    const on = (u: number, v: number): number[] => {
      const ray = [to[0] / to[2] + u, to[1] / to[2] + v, 1];
      const t = plane / ray.reduce((sum, x, r) => sum + x * n[r]!, 0);
      return ray.map((x) => t * x);
    };
    const step = 1e-6;
    let longest = 0;
    for (let k = 0; k < 720; k++) {
      const [u, v] = [step * Math.cos((k * Math.PI) / 360), step * Math.sin((k * Math.PI) / 360)];
      const [a, b] = [on(u, v), on(-u, -v)];
      longest = Math.max(longest, Math.hypot(...a.map((x, r) => x - b[r]!)) / (2 * step));
    }
    // half a degree between the directions looked at: 4e-5 of the square
    expect(pixelFootprint(camera, to, [0, 0, 1], n) / ((longest * f) / 1280)).toBeCloseTo(1, 4);
  }
});

test("edge on and behind: no end of it; the narrower way counts for the view", () => {
  const camera = { fieldOfView: 90 * degrees, pixels: 1000, pixelsDown: 500 };
  expect(pixelFootprint(camera, [0, 0, 0.05], [0, 0, 1], [1, 0, 0])).toBe(Number.POSITIVE_INFINITY);
  expect(pixelFootprint(camera, [0, 0, -0.05], [0, 0, 1], [0, 0, 1])).toBe(Number.POSITIVE_INFINITY);
  expect(halfView(camera)).toBeCloseTo(Math.atan(0.5), 12);
  expect(halfView({ fieldOfView: 1, pixels: 100 })).toBeCloseTo(0.5, 12);
});
