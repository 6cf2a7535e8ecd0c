import { describe, expect, test } from "vitest";
import { countMesh } from "../../src/formats/index.ts";
import { createSpace, drawBody } from "../../src/space/index.ts";
import { ask, bodyOf, placed, shapes } from "./bodies.ts";

describe.each(Object.entries(shapes))("%s as triangles", (name, shape) => {
  const body = bodyOf(shape, placed(0.4, 1.1, -2, [0.2, -0.1, 0.3]));
  const drawn = drawBody(body);

  test("corners lie on the surface, and no chord leaves it by more than 0.2 mm", () => {
    for (const d of ask([body], drawn).distance) expect(d).toBeLessThan(1e-14);
    const middles: number[] = [];
    for (let k = 0; k < drawn.length; k += 9) {
      for (let i = 0; i < 3; i++) middles.push((drawn[k + i]! + drawn[k + 3 + i]! + drawn[k + 6 + i]!) / 3);
    }
    for (const d of ask([body], middles).distance) expect(d).toBeLessThan(0.2e-3);
  });

  test("closed, without doubled or flat triangles; a bore is open at its two ends", () => {
    const { flat, doubled, open } = countMesh(drawn);
    expect([flat, doubled]).toEqual([0, 0]);
    if (name === "bore") {
      // as many edges at either end as the bore has sides
      expect(open % 2).toBe(0);
      expect(open).toBeGreaterThan(24);
      expect(open).toBeLessThan(400);
    } else expect(open).toBe(0);
  });

  test("reaches as far as the space says", () => {
    const { bounds } = createSpace([body]);
    for (let i = 0; i < 3; i++) {
      let [low, high] = [Infinity, -Infinity];
      for (let k = i; k < drawn.length; k += 3) {
        low = Math.min(low, drawn[k]!);
        high = Math.max(high, drawn[k]!);
      }
      // chords fall short, never beyond
      expect(low - bounds[i]!).toBeGreaterThan(-1e-14);
      expect(low - bounds[i]!).toBeLessThan(0.4e-3);
      expect(bounds[3 + i]! - high).toBeGreaterThan(-1e-14);
      expect(bounds[3 + i]! - high).toBeLessThan(0.4e-3);
    }
  });
});

test("a thousand tubes keep to a number of triangles that a page can draw", () => {
  const places = Array.from({ length: 4000 }, (_, k) => [0.03 * (k % 80), 0.03 * Math.floor(k / 80)] as const);
  const drawn = drawBody(bodyOf({ kind: "tubes", radius: 0.012, length: 2, places }));
  expect(drawn.length / 9).toBeLessThanOrEqual(300_000);
  expect(drawn.length / 9).toBeGreaterThanOrEqual(4000 * 4 * 6);
});
