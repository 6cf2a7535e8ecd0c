import { describe, expect, test } from "vitest";
import { InputError } from "../../src/base/index.ts";
import { type Body, type BoreShape, createSpace, type Shape } from "../../src/space/index.ts";
import { bodyOf, meshOf, upright } from "./bodies.ts";

const good = bodyOf({ kind: "box", size: [1, 1, 1] }, upright, { kind: "free" }, "sound");

/** [code, path] of every fault. */
function faultsOf(bodies: readonly Body[]): string[][] {
  try {
    createSpace(bodies);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    for (const fault of error.faults) expect(fault.hint).toMatch(/^[A-Z].*\.$/);
    return error.faults.map(({ code, path }) => [code, path]);
  }
  return [];
}

function bore(...points: readonly (readonly [x: number, y: number, z: number, radius: number, bend: number])[]): BoreShape {
  return { kind: "bore", points: points.map(([x, y, z, radius, bend]) => ({ at: [x, y, z], radius, bend })) };
}

const triangle = Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0);

describe("wrong dimensions", () => {
  const cases: readonly (readonly [string, Shape, string])[] = [
    ["a negative radius", { kind: "cylinder", radius: -0.1, length: 1 }, "radius"],
    ["no length", { kind: "cylinder", radius: 0.1, length: 0 }, "length"],
    ["NaN", { kind: "box", size: [1, Number.NaN, 1] }, "size[1]"],
    ["endless", { kind: "box", size: [1, 1, Infinity] }, "size[2]"],
    ["a bar that closes its ring", { kind: "ring", radius: 0.1, bar: 0.1 }, "bar"],
    ["a hole as wide as its plate", { kind: "plate", size: [0.2, 0.4], thickness: 0.01, holeRadius: 0.1 }, "holeRadius"],
    ["a plate without thickness", { kind: "plate", size: [0.2, 0.4], thickness: 0, holeRadius: 0.05 }, "thickness"],
    ["tubes that run into each other", { kind: "tubes", radius: 0.01, length: 1, places: [[0, 0], [1, 1], [0.015, 0.01]] }, "places[2]"],
    ["no tubes", { kind: "tubes", radius: 0.01, length: 1, places: [] }, "places"],
    ["a tube nowhere", { kind: "tubes", radius: 0.01, length: 1, places: [[0, Number.NaN]] }, "places"],
    ["a bore of one point", bore([0, 0, 0, 0.1, 0]), "points"],
    ["a bore that shrinks to nothing", bore([0, 0, 0, 0.1, 0], [0, 0, 1, 0, 0]), "points[1].radius"],
    ["a negative bend", bore([0, 0, 0, 0.1, 0], [0, 0, 1, 0.1, -0.2], [1, 0, 1, 0.1, 0]), "points[1].bend"],
    ["two points in one place", bore([0, 0, 0, 0.1, 0], [0, 0, 0, 0.1, 0]), "points[1].at"],
    ["a bend that folds the inner wall", bore([0, 0, 0, 0.1, 0], [0, 0, 1, 0.1, 0.09], [1, 0, 1, 0.1, 0]), "points[1].bend"],
    ["a sharp corner", bore([0, 0, 0, 0.1, 0], [0, 0, 1, 0.1, 0], [1, 0, 1, 0.1, 0]), "points[1].bend"],
    ["a bend too large for its corner", bore([0, 0, 0, 0.1, 0], [0, 0, 1, 0.1, 1.01], [2, 0, 1, 0.1, 0]), "points[1].bend"],
    ["two bends that overlap", bore([0, 0, 0, 0.1, 0], [0, 0, 1, 0.1, 0.4], [0.7, 0, 1, 0.1, 0.31], [0.7, 0, 2, 0.1, 0]), "points[1].bend"],
    ["a turn right back", bore([0, 0, 0, 0.1, 0], [0, 0, 1, 0.1, 0.2], [0, 0, 0.5, 0.1, 0]), "points[1].at"],
    ["a point nowhere", bore([0, 0, 0, 0.1, 0], [0, 0, Number.NaN, 0.1, 0]), "points[1].at"],
  ]; // biome-ignore format: a table
  test.each(cases)("%s", (_, shape, field) => {
    expect(faultsOf([good, bodyOf(shape)])).toEqual([["space.dimension", `bodies[1].${field}`]]);
  });

  test("bends that just fit, tubes that just touch, a straight point without bend: no fault", () => {
    expect(faultsOf([bodyOf(bore([0, 0, 0, 0.1, 0], [0, 0, 1, 0.1, 0.5], [1, 0, 1, 0.1, 0.5], [1, 0, 2, 0.1, 0]))])).toEqual([]);
    expect(faultsOf([bodyOf({ kind: "tubes", radius: 0.01, length: 1, places: [[0, 0], [0.02, 0]] })])).toEqual([]); // biome-ignore format: short
    expect(faultsOf([bodyOf(bore([0, 0, 0, 0.1, 0], [0, 0, 1, 0.2, 0], [0, 0, 2, 0.1, 0]))])).toEqual([]);
  });
});

test("all faults of all bodies at once, each naming its body", () => {
  const bodies = [
    bodyOf({ kind: "box", size: [-1, 1, 0] }, upright, { kind: "never", standOff: -0.001 }, "pump"),
    bodyOf(
      { kind: "ring", radius: 0.1, bar: 0.01 },
      { at: [0, Number.NaN, 0], rotation: [2, 0, 0, 0, 1, 0, 0, 0, 1] },
      { kind: "light", force: -1 },
      "pump",
    ),
  ];
  expect(faultsOf(bodies)).toEqual([
    ["space.dimension", "bodies[0].size[0]"],
    ["space.dimension", "bodies[0].size[2]"],
    ["space.dimension", "bodies[0].touch.standOff"],
    ["space.name", "bodies[1].name"],
    ["space.placement", "bodies[1].placement.at"],
    ["space.placement", "bodies[1].placement.rotation"],
    ["space.dimension", "bodies[1].touch.force"],
  ]);
  expect(() => createSpace(bodies)).toThrow(/\(pump\) is -1 m/);
});

test("a mirrored placement is no placement", () => {
  expect(faultsOf([bodyOf(good.shape, { at: [0, 0, 0], rotation: [-1, 0, 0, 0, 1, 0, 0, 0, 1] })])).toEqual([
    ["space.placement", "bodies[0].placement.rotation"],
  ]);
});

describe("wrong meshes", () => {
  test("empty, not whole, not finite, out of all proportion", () => {
    expect(faultsOf([meshOf(new Float64Array(0))])).toEqual([["space.mesh", "bodies[0].corners"]]);
    expect(faultsOf([meshOf(triangle.subarray(0, 8))])).toEqual([["space.mesh", "bodies[0].corners"]]);
    for (const bad of [Number.NaN, -Infinity, 1e200])
      expect(faultsOf([meshOf(triangle.map((v, k) => (k === 4 ? bad : v)))])).toEqual([["space.mesh", "bodies[0].corners"]]);
  });

  test("a unit that is no length", () => {
    for (const unit of [0, -1, Number.NaN, Infinity])
      expect(faultsOf([bodyOf({ kind: "mesh", corners: triangle, unit })])).toContainEqual(["space.mesh", "bodies[0].unit"]);
  });
});
