import { describe, expect, test } from "vitest";
import { chooseViews, cutTriangles, cylinderOutline, dot, onPaper, outline } from "../../src/report/project.ts";
import { drawBody } from "../../src/space/index.ts";

const still = { at: [0.1, 0.2, -0.3] as const, rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1] };
const line = Float64Array.from({ length: 30 }, (_, k) => [0.1 * k, 0.2 * k, -0.5 * k][k % 3]! * 0.1);

function lengthOf(cut: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < cut.length; k += 4) sum += Math.hypot(cut[k + 2]! - cut[k]!, cut[k + 3]! - cut[k + 1]!);
  return sum;
}

describe("views", () => {
  test("right, up and towards the reader are a right-handed frame; up is against gravity from the side, level from above", () => {
    for (const gravity of [
      [0, 0, -9.8],
      [0, 9.8, 0],
      [3, -4, 2],
      [0, 0, 0],
    ]) {
      const up = gravity.every((value) => value === 0) ? [0, 0, 1] : gravity.map((value) => -value / Math.sqrt(dot(gravity, gravity)));
      const [side, top] = chooseViews([0, 0, 0], gravity, [0, 0, -1], line);
      for (const { right, up: high, towards } of [side, top]) {
        for (const v of [right, high, towards]) expect(dot(v, v)).toBeCloseTo(1, 12);
        const turned = [
          right[1]! * high[2]! - right[2]! * high[1]!,
          right[2]! * high[0]! - right[0]! * high[2]!,
          right[0]! * high[1]! - right[1]! * high[0]!,
        ];
        expect(dot(turned, towards)).toBeCloseTo(1, 12);
      }
      expect(dot(side.up, up)).toBeCloseTo(1, 12);
      expect(dot(top.towards, up)).toBeCloseTo(1, 12);
    }
  });

  test("a way straight down, or none at all, still gives a view", () => {
    const down = Float64Array.of(0, 0, 0, 0, 0, -0.1, 0, 0, -0.2);
    for (const points of [down, new Float64Array(0)]) {
      for (const axis of [
        [0, 0, -1],
        [0.6, 0, -0.8],
      ]) {
        const [side] = chooseViews([0, 0, 0], [0, 0, -9.8], axis, points);
        expect(dot(side.right, side.right)).toBeCloseTo(1, 12);
        if (axis[0] !== 0) expect(side.right[0]).toBeCloseTo(1, 12);
      }
    }
  });

  test("the side view follows the way, and the cut lies where the way lies", () => {
    const way = Float64Array.from([0, 1, 2, 3].flatMap((k) => [0.1 * k, k === 0 ? 0 : 0.02, -0.1 * k]));
    const [side, top] = chooseViews([0, 0, 0], [0, 0, -9.8], [0, 0, -1], way);
    expect(side.right[0]!).toBeGreaterThan(0.99);
    expect(dot([0, 0.02, 0], side.towards)).toBeCloseTo(-0.02, 3);
    expect(top.cut).toBeLessThan(-0.1);
  });
});

describe("cuts and outlines", () => {
  const view = { name: "Side", right: [1, 0, 0], up: [0, 0, 1], towards: [0, -1, 0], origin: [0, 0, 0], cut: -0.2 };

  test("a box is cut along its rectangle, a cylinder along its rectangle or circle (perimeters by geometry)", () => {
    const box = drawBody({ name: "box", shape: { kind: "box", size: [0.1, 0.2, 0.3] }, placement: still, touch: { kind: "free" } });
    expect(lengthOf(cutTriangles(view, box))).toBeCloseTo(2 * (0.1 + 0.3), 9);
    expect(cutTriangles({ ...view, cut: -0.31 }, box).length).toBe(0);
    const bar = drawBody({
      name: "bar",
      shape: { kind: "cylinder", radius: 0.05, length: 0.4 },
      placement: still,
      touch: { kind: "free" },
    });
    // twice the length and twice the width across the middle; chords take less than 0.1 mm
    expect(Math.abs(lengthOf(cutTriangles({ ...view, cut: -0.2001 }, bar)) - 2 * (0.4 + 0.1))).toBeLessThan(2e-3);
    const above = { ...view, right: [1, 0, 0], up: [0, 1, 0], towards: [0, 0, 1], cut: -0.1 };
    const round = lengthOf(cutTriangles(above, bar));
    expect(round).toBeLessThanOrEqual(2 * Math.PI * 0.05);
    expect(round).toBeGreaterThan(2 * Math.PI * 0.05 * 0.99);
  });

  test("a face that lies in the plane counts from one side only: corners on the plane neither break nor double the line", () => {
    // sizes that are exact in binary
    const placement = { at: [0, 0, 0] as const, rotation: still.rotation };
    const box = drawBody({ name: "box", shape: { kind: "box", size: [0.125, 0.25, 0.5] }, placement, touch: { kind: "free" } });
    expect(cutTriangles({ ...view, cut: -0.125 }, box).length).toBe(0);
    expect(lengthOf(cutTriangles({ ...view, cut: 0.125 }, box))).toBeCloseTo(2 * (0.125 + 0.5), 12);
  });

  test("the outline of a square with points inside is the square", () => {
    const points = [
      [0, 0],
      [1, 0],
      [1, 1],
      [0, 1],
      [0.5, 0.5],
      [0.5, 0],
      [1, 0],
    ] as [number, number][];
    expect(outline(points)).toEqual([
      [0, 0],
      [1, 0],
      [1, 1],
      [0, 1],
    ]);
  });

  test("a cylinder is a rectangle from the side and a circle from the end", () => {
    const frame = [1, 0, 0, 0, 1, 0, 0, 0, 1, 0.1, 0.2, 0.3];
    const side = cylinderOutline(view, frame, 0, 0.05, -0.1, 0.2);
    expect(Math.max(...side.map((p) => p[0]))).toBeCloseTo(0.15, 12);
    expect(Math.max(...side.map((p) => p[1]))).toBeCloseTo(0.5, 12);
    expect(Math.min(...side.map((p) => p[1]))).toBeCloseTo(0.2, 12);
    const end = cylinderOutline({ ...view, up: [0, 1, 0], towards: [0, 0, 1] }, frame, 0, 0.05, -0.1, 0.2);
    for (const [x, y] of end) expect(Math.hypot(x - 0.1, y - 0.2)).toBeCloseTo(0.05, 12);
    expect(onPaper(view, 0.1, 0.2, 0.3)).toEqual([0.1, 0.3]);
  });
});
