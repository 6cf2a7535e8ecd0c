import { describe, expect, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { createSpace, drawBody, type Shape } from "../../src/space/index.ts";
import { ask, bodyOf, distanceTo, placed, shapes } from "./bodies.ts";
import { slowDistance } from "./slow-truth.ts";

type Point = readonly [number, number, number];

/** Rounding of a few operations on numbers below 1 m. */
const rounding = 1e-15;

/** Up 0.5, then along x, bore radius 0.05, bend radius 0.2 about (0.2, 0, 0.3). */
const elbow: Shape = {
  kind: "bore",
  points: [
    { at: [0, 0, 0], radius: 0.05, bend: 0 },
    { at: [0, 0, 0.5], radius: 0.05, bend: 0.2 },
    { at: [0.6, 0, 0.5], radius: 0.05, bend: 0 },
  ],
};

function straight(r0: number, r1: number): Shape {
  return { kind: "bore", points: [{ at: [0, 0, 0], radius: r0, bend: 0 }, { at: [0, 0, 0.4], radius: r1, bend: 0 }] }; // biome-ignore format: one row
}

describe("distances worked out by hand", () => {
  const cases: readonly (readonly [string, Shape, Point, number])[] = [
    ["box, before a face", { kind: "box", size: [0.2, 0.4, 0.6] }, [0.5, 0.1, 0.2], 0.4],
    ["box, off an edge: 3-4-5", { kind: "box", size: [0.2, 0.4, 0.6] }, [0.4, 0.6, 0], 0.5],
    ["box, off a corner: 1-2-2", { kind: "box", size: [0.2, 0.4, 0.6] }, [0.2, 0.4, 0.5], 0.3],
    ["box, from within", { kind: "box", size: [0.2, 0.4, 0.6] }, [0.07, 0, 0], 0.03],
    ["box, from its centre", { kind: "box", size: [0.2, 0.4, 0.6] }, [0, 0, 0], 0.1],
    ["cylinder, beside", { kind: "cylinder", radius: 0.1, length: 0.5 }, [0.3, 0.4, 0.2], 0.4],
    ["cylinder, above", { kind: "cylinder", radius: 0.1, length: 0.5 }, [0.02, 0.03, 0.75], 0.25],
    ["cylinder, off its rim: 3-4-5", { kind: "cylinder", radius: 0.1, length: 0.5 }, [0, 0.4, -0.4], 0.5],
    ["cylinder, on its axis", { kind: "cylinder", radius: 0.1, length: 0.5 }, [0, 0, 0.25], 0.1],
    ["cylinder, within by its end", { kind: "cylinder", radius: 0.1, length: 0.5 }, [0, 0, 0.46], 0.04],
    ["ring, at its middle", { kind: "ring", radius: 0.3, bar: 0.05 }, [0, 0, 0], 0.25],
    ["ring, above its middle: 3-4-5", { kind: "ring", radius: 0.3, bar: 0.05 }, [0, 0, 0.4], 0.45],
    ["ring, in its bar", { kind: "ring", radius: 0.3, bar: 0.05 }, [0.3, 0, 0], 0.05],
    ["plate, in its hole", { kind: "plate", size: [0.4, 0.6], thickness: 0.02, holeRadius: 0.05 }, [0.02, 0, 0.01], 0.03],
    ["plate, before its hole: 3-4-5", { kind: "plate", size: [0.4, 0.6], thickness: 0.02, holeRadius: 0.05 }, [0.02, 0, 0.06], 0.05],
    ["plate, before its face", { kind: "plate", size: [0.4, 0.6], thickness: 0.02, holeRadius: 0.05 }, [0.1, 0.1, -0.03], 0.03],
    ["plate, beside", { kind: "plate", size: [0.4, 0.6], thickness: 0.02, holeRadius: 0.05 }, [0.3, 0, 0.01], 0.1],
    ["plate, in its metal by the hole", { kind: "plate", size: [0.4, 0.6], thickness: 0.02, holeRadius: 0.05 }, [0.053, 0, 0.01], 0.003],
    ["tubes, between two", { kind: "tubes", radius: 0.01, length: 0.3, places: [[0, 0], [0.05, 0]] }, [0.02, 0, 0.1], 0.01],
    ["tubes, before an end", { kind: "tubes", radius: 0.01, length: 0.3, places: [[0, 0], [0.05, 0]] }, [0.05, 0.005, -0.2], 0.2],
    ["straight bore, on its axis", straight(0.05, 0.05), [0, 0, 0.2], 0.05],
    ["straight bore, outside its wall", straight(0.05, 0.05), [0.2, 0, 0.2], 0.15],
    ["straight bore, before its open end: 3-4-5", straight(0.03, 0.03), [0, 0, -0.04], 0.05],
    // wall from (z 0, r 0.1) to (z 0.4, r 0.4): slope 3-4-5; from the axis at z = 0.075 its foot is within, at 0.8 (0.1 + 0.75 z)
    ["cone, from its axis", straight(0.1, 0.4), [0, 0, 0.075], 0.8 * (0.1 + 0.75 * 0.075)],
    ["bend, on its centre line", elbow, [0.2 * (1 - Math.SQRT1_2), 0, 0.3 + 0.2 * Math.SQRT1_2], 0.05],
    ["bend, at the bend's own centre: one tube radius short of the bend's", elbow, [0.2, 0, 0.3], 0.15],
    // the wall at 45 degrees, on the outer side: 0.25 from the bend's centre
    ["bend, on its outer wall", elbow, [0.2 - 0.25 * Math.SQRT1_2, 0, 0.3 + 0.25 * Math.SQRT1_2], 0],
    ["bend, on its second straight", elbow, [0.4, 0, 0.5], 0.05],
  ]; // biome-ignore format: a table
  test.each(cases)("%s", (_, shape, point, distance) => {
    expect(Math.abs(distanceTo(shape, point) - distance)).toBeLessThan(rounding);
  });

  test("a bore's ends are open: the way out of them is clear", () => {
    const { distance, closest } = ask([bodyOf(straight(0.05, 0.05))], [0, 0, -1]);
    expect(distance[0]).toBeCloseTo(Math.sqrt(1 + 0.05 ** 2), 14);
    expect(closest[2]).toBe(0);
  });
});

describe("closed forms against triangles, one by one", () => {
  // drawn surfaces leave the true ones by no more than this
  const chord = 0.2e-3;
  test.each(Object.entries(shapes))("%s, seed 11", (_, shape) => {
    const body = bodyOf(shape, placed(0.3, -0.8, 1.9, [0.1, 0.2, -0.3]));
    const drawn = drawBody(body);
    const { bounds } = createSpace([body]);
    const random = createRandom(11);
    const points: number[] = [];
    for (let k = 0; k < 600; k++) {
      for (let i = 0; i < 3; i++) {
        const size = bounds[3 + i]! - bounds[i]!;
        points.push(bounds[i]! + size * (1.6 * random() - 0.3));
      }
    }
    const { distance, closest } = ask([body], points);
    let worst = 0;
    for (let k = 0; k < 600; k++) {
      const [x, y, z] = [points[3 * k]!, points[3 * k + 1]!, points[3 * k + 2]!];
      worst = Math.max(worst, Math.abs(slowDistance(drawn, x, y, z) - distance[k]!));
      const to = Math.hypot(closest[3 * k]! - x, closest[3 * k + 1]! - y, closest[3 * k + 2]! - z);
      expect(Math.abs(to - distance[k]!)).toBeLessThan(1e-14);
    }
    expect(worst).toBeLessThan(chord);
  });

  test("box: its twelve triangles are exact", () => {
    const body = bodyOf(shapes["box"]!, placed(1, 2, 3, [0.5, 0, 0]));
    const drawn = drawBody(body);
    const random = createRandom(3);
    const points = Array.from({ length: 300 }, (_, k) => (k % 3 === 0 ? 0.5 : 0) + 0.4 * (random() - 0.5));
    ask([body], points).distance.forEach((d, k) => {
      expect(Math.abs(d - slowDistance(drawn, points[3 * k]!, points[3 * k + 1]!, points[3 * k + 2]!))).toBeLessThan(1e-15);
    });
  });

  test("1200 tubes are found as one by one", () => {
    const places = Array.from(
      { length: 1200 },
      (_, k) => [0.02 * (k % 40) + (Math.floor(k / 40) % 2) * 0.01, 0.0174 * Math.floor(k / 40)] as const,
    );
    const random = createRandom(4);
    const points = Array.from({ length: 900 }, (_, k) => (k % 3 === 2 ? 0.5 * random() - 0.1 : 1.2 * random() - 0.2));
    const all = ask([bodyOf({ kind: "tubes", radius: 0.008, length: 0.3, places })], points).distance;
    const each = ask(
      places.map(([x, y], k) =>
        bodyOf({ kind: "cylinder", radius: 0.008, length: 0.3 }, placed(0, 0, 0, [x, y, 0]), { kind: "free" }, `tube ${k}`),
      ),
      points,
    ).distance;
    all.forEach((d, k) => {
      expect(Math.abs(d - each[k]!)).toBeLessThan(1e-15);
    });
  });
});
