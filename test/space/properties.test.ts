import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { bumpyMesh } from "../../bench/bumpy-mesh.ts";
import { bodyIndexByName, createSpace, createSpaceAnswer, createSpaceWork, sampleSpace } from "../../src/space/index.ts";
import { ask, bodyOf, meshOf, placed, shapes } from "./bodies.ts";

const all = [
  ...Object.entries(shapes).map(([name, shape], k) =>
    bodyOf(shape, placed(k, 2 * k, 3 * k, [0.1 * k, -0.05 * k, 0.02 * k]), { kind: "free" }, name),
  ),
  meshOf(bumpyMesh(400)),
];
const coordinate = fc.double({ min: -0.8, max: 0.8, noNaN: true });
const point = fc.tuple(coordinate, coordinate, coordinate);
const angle = fc.double({ min: -Math.PI, max: Math.PI, noNaN: true });
const which = fc.nat({ max: all.length - 1 });

describe("properties of distance", () => {
  test("it changes no faster than the point moves, seed 31", () => {
    fc.assert(
      fc.property(which, point, point, (k, p, q) => {
        const [d, e] = ask([all[k]!], [...p, ...q]).distance as [number, number];
        expect(Math.abs(d - e)).toBeLessThanOrEqual(Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]) + 1e-14);
      }),
      { seed: 31 },
    );
  });

  test("the closest point is as far as said, and on the surface, seed 32", () => {
    fc.assert(
      fc.property(which, point, (k, p) => {
        const { distance, closest } = ask([all[k]!], p);
        expect(Math.abs(Math.hypot(closest[0]! - p[0], closest[1]! - p[1], closest[2]! - p[2]) - distance[0]!)).toBeLessThan(1e-14);
        expect(ask([all[k]!], closest).distance[0]).toBeLessThan(1e-14);
      }),
      { seed: 32 },
    );
  });

  test("body and point moved together keep their distance, seed 33", () => {
    fc.assert(
      fc.property(which, point, point, fc.tuple(angle, angle, angle), (k, p, move, turn) => {
        const body = all[k]!;
        const { at, rotation: r } = placed(...turn, move);
        const map = (v: readonly number[]): [number, number, number] => {
          const row = (i: number): number => r[3 * i]! * v[0]! + r[3 * i + 1]! * v[1]! + r[3 * i + 2]! * v[2]! + at[i]!;
          return [row(0), row(1), row(2)];
        };
        const old = body.placement.rotation;
        const rotation = Array.from({ length: 9 }, (_, n) =>
          [0, 1, 2].reduce((sum, j) => sum + r[3 * Math.floor(n / 3) + j]! * old[3 * j + (n % 3)]!, 0),
        );
        const moved = { ...body, placement: { at: map(body.placement.at), rotation } };
        // rotations are rounded to 1e-16 and act over a metre
        expect(Math.abs(ask([moved], map(p)).distance[0]! - ask([body], p).distance[0]!)).toBeLessThan(5e-15);
      }),
      { seed: 33 },
    );
  });

  test("many bodies: the least of each less its stand-off, cut at the reach, seed 34", () => {
    const keeps = [0, 0.02, 0.3, 0, 0.001, 0.05, 0.1];
    const kept = all.map((body, k) => ({
      ...body,
      touch: keeps[k]! > 0 ? ({ kind: "never", standOff: keeps[k]! } as const) : ({ kind: "free" } as const),
    }));
    fc.assert(
      fc.property(point, fc.constantFrom(Infinity, 0.5, 0.05, 0, -0.05), (p, reach) => {
        const each = all.map((body, k) => ask([body], p).distance[0]! - keeps[k]!);
        const least = Math.min(...each);
        const { distance, body, closest } = ask(kept, p, reach);
        if (least < reach) {
          expect(distance[0]).toBe(least);
          expect(body[0]).toBe(each.indexOf(least));
        } else {
          expect(distance[0]).toBe(reach);
          expect(body[0]).toBe(-1);
          expect(closest).toEqual([...p]);
        }
      }),
      { seed: 34 },
    );
  });

  test("of equals the body listed first is named, whatever was nearest before", () => {
    const box = shapes["box"]!;
    const bodies = ["far", "one", "two"].map((name, k) => bodyOf(box, placed(0, 0, 0, [k === 0 ? 1 : 0, 0, 0]), { kind: "free" }, name));
    expect(ask(bodies, [0, 0, 0.1, 1, 0, 0.1, 0, 0, 0.1]).body).toEqual([1, 0, 1]);
    expect(ask([bodies[2]!, bodies[1]!, bodies[0]!], [0, 0, 0.1, 1, 0, 0.1, 0, 0, 0.1]).body).toEqual([0, 2, 0]);
  });

  test("a space without bodies is empty to the reach", () => {
    expect(ask([], [1, 2, 3], 0.5)).toEqual({ distance: [0.5], body: [-1], closest: [1, 2, 3] });
  });

  test("a point that is no point is a bug of the caller, never an answer", () => {
    const space = createSpace(all);
    const answer = createSpaceAnswer(1);
    for (const bad of [Number.NaN, Infinity]) {
      expect(() => sampleSpace(space, Float64Array.of(0, bad, 0), 1, 1, answer, createSpaceWork(space))).toThrow("bug:");
    }
  });

  test("a unit makes metres: one inch is 25.4 mm from the plane's edge", () => {
    const corners = Float64Array.of(0, 0, 0, 0, 1, 0, 0, 0, 1);
    const inches = { ...meshOf(corners), shape: { kind: "mesh", corners, unit: 0.0254 } as const };
    // the corner at y = 1 inch, seen from 1 inch farther on
    expect(ask([inches], [0, 0.0508, 0]).distance[0]).toBeCloseTo(0.0254, 16);
  });

  test("names find their bodies", () => {
    const space = createSpace(all);
    expect(bodyIndexByName(space, "plate")).toBe(4);
    expect(bodyIndexByName(space, "nothing")).toBe(-1);
  });
});
