import { describe, expect, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { sampleField, type Wall } from "../../src/math/index.ts";
import { type Body, createSpace, createWalls, type SpaceWalls, type WallRequest } from "../../src/space/index.ts";
import { ask, bodyOf, meshOf, placed, shapes, upright } from "./bodies.ts";

const seed = 11;

function sample(walls: SpaceWalls, points: Float64Array): { distance: Float64Array; gradient: Float64Array; nearest: Int32Array } {
  const n = points.length / 3;
  const found = { distance: new Float64Array(n), gradient: new Float64Array(3 * n), nearest: new Int32Array(n) };
  sampleField(walls.field, points, n, found.distance, found.gradient, found.nearest);
  return found;
}

function scatter(n: number, box: readonly number[]): Float64Array {
  const random = createRandom(seed);
  return Float64Array.from({ length: 3 * n }, (_, k) => box[k % 3]! + random() * (box[3 + (k % 3)]! - box[k % 3]!));
}

/** Two triangles a face. */
function tube(radius: number, length: number, around: number): Float64Array {
  const corners: number[] = [];
  for (let k = 0; k < around; k++) {
    const [a, b] = [(2 * Math.PI * k) / around, (2 * Math.PI * (k + 1)) / around];
    const [p, q] = [
      [radius * Math.cos(a), radius * Math.sin(a)],
      [radius * Math.cos(b), radius * Math.sin(b)],
    ] as [number[], number[]];
    corners.push(...p, 0, ...q, 0, ...p, length, ...q, 0, ...q, length, ...p, length);
  }
  return Float64Array.from(corners);
}

const stepOf = 2e-3;

describe(`walls of one body of each kind against exact distances (seed ${seed})`, () => {
  const box = [-0.05, -0.06, -0.03, 0.05, 0.06, 0.07];
  const request = (free: readonly number[]): WallRequest => ({
    bodies: [0],
    boxes: Float64Array.from(box),
    free: Float64Array.from(free),
    step: stepOf,
  });
  const cases: [string, Body, readonly number[]][] = [
    ["box", bodyOf(shapes["box"]!, placed(0.3, 0.2, 0.1, [0, 0, 0.02])), [0, 0, 0.065]],
    ["cylinder", bodyOf(shapes["cylinder"]!, placed(0.2, 0.4, 0, [0, 0, 0])), [0.045, 0.05, 0.06]],
    ["ring", bodyOf(shapes["ring"]!, placed(0.2, 0.1, 0, [0, 0, 0.05])), [0, 0, 0.05]],
    ["plate with a hole", bodyOf(shapes["plate"]!, placed(0.1, 0.2, 0.3, [0, 0, 0.03])), [0, 0, 0.065]],
    ["tubes", bodyOf(shapes["tubes"]!, upright), [-0.04, 0, 0.05]],
    ["mesh of a round tube", meshOf(tube(0.02, 0.3, 48), placed(0.05, 0, 0, [0, 0, -0.1])), [0, 0, 0.05]],
  ];
  test.each(cases)("%s: within the error it states, the gradient leads away from the nearest point", (name, body, free) => {
    const walls = createWalls(createSpace([body]), request(free));
    const points = scatter(20_000, box);
    const { distance, gradient, nearest } = sample(walls, points);
    const exact = ask([body], points);
    const closed = name === "box";
    expect(walls.field.walls[0]!.kind).toBe(closed ? "box" : "band");
    expect(walls.error[0]).toBeLessThan(closed ? 1e-15 : (stepOf * Math.sqrt(3)) / 2);
    expect(walls.twoSided[0]).toBe(0);
    let near = 0;
    let worst = 0;
    let turned = 0;
    for (let k = 0; k < exact.distance.length; k++) {
      const d = exact.distance[k]!;
      if (d > stepOf) {
        // away from the surface: known, or nowhere near
        expect(nearest[k]).toBe(0);
        // a coarse block may say less, by its own half diagonal at the most
        {
          expect(distance[k]!).toBeLessThan(d + (Math.sqrt(3) / 2) * stepOf);
          const side = distance[k]! < 0 ? -1 : 1;
          expect(distance[k]!).toBeGreaterThan(side * d - 4 * (Math.sqrt(3) / 2) * stepOf);
        }
        continue;
      }
      near++;
      worst = Math.max(worst, Math.abs(Math.abs(distance[k]!) - d));
      const away = [0, 1, 2].map((r) => (points[3 * k + r]! - exact.closest[3 * k + r]!) / d);
      const along = away.reduce((sum, value, r) => sum + value * gradient[3 * k + r]!, 0) * (distance[k]! < 0 ? -1 : 1);
      if (d > 0.3 * stepOf && along < 0.9) turned++;
    }
    expect(near).toBeGreaterThan(100);
    // places are three times as many as the middles that the error was looked for at, and nearer to edges
    expect(worst).toBeLessThan(closed ? 1e-15 : 2 * walls.error[0]! + 1e-12);
    // only at edges
    expect(turned / near).toBeLessThan(closed ? 1e-9 : 0.15);
  });

  test("halving the step quarters the error on a round wall", () => {
    const body = bodyOf({ kind: "ring", radius: 0.05, bar: 0.02 });
    const errors = [4e-3, 2e-3].map((step) => createWalls(createSpace([body]), { ...request([0.03, 0.03, 0.06]), step }).error[0]!);
    expect(errors[0]! / errors[1]!).toBeGreaterThan(3);
    // the sag of a chord: (sqrt(3) step/2)^2/2 over the smallest radius, twice
    expect(errors[1]).toBeLessThan((2 * (0.75 * 4e-6)) / (2 * 0.02));
  });
});

describe("the side", () => {
  const boxes = Float64Array.of(-0.03, -0.03, -0.02, 0.03, 0.03, 0.12);
  const both = { boxes, step: stepOf, bodies: [0] };
  const casing = meshOf(tube(0.02, 0.3, 48), { at: [0, 0, -0.1], rotation: upright.rotation });
  test.each([
    ["inside", [0, 0, 0.05], 1],
    ["outside", [0.029, 0, 0.05], -1],
  ] as const)("of a tube without thickness is where the free place is: %s", (_, free, sign) => {
    const walls = createWalls(createSpace([casing]), { ...both, free: Float64Array.from(free) });
    const { distance } = sample(walls, Float64Array.of(0.017, 0, 0.05, 0.023, 0, 0.05));
    // a tube of 48 flats is up to 0.05 mm inside its circle
    for (const [k, d] of [3e-3, -3e-3].entries()) expect(Math.abs(distance[k]! * sign - d)).toBeLessThan(0.05e-3 + 2 * walls.error[0]!);
    expect(walls.twoSided[0]).toBe(0);
  });

  test("a sheet that can be gone round has two, and that is told", () => {
    const sheet = meshOf(Float64Array.of(4e-4, -0.05, -0.05, 4e-4, 0.05, -0.05, 4e-4, 0, 0.06));
    const walls = createWalls(createSpace([sheet]), { ...both, free: Float64Array.of(0.01, 0, 0) });
    expect(walls.twoSided[0]).toBeGreaterThan(0);
    expect(walls.error[0]).toBeLessThan((Math.sqrt(3) / 2) * stepOf);
  });

  test("from inside a box its faces push inwards", () => {
    const walls = createWalls(createSpace([bodyOf({ kind: "box", size: [0.05, 0.05, 0.2] })]), { ...both, free: Float64Array.of(0, 0, 0) });
    expect((walls.field.walls[0] as Wall).kind).toBe("band");
    expect(sample(walls, Float64Array.of(0.02, 0, 0, 0.026, 0, 0)).distance[0]).toBeCloseTo(5e-3, 12);
    expect(sample(walls, Float64Array.of(0.026, 0, 0)).distance[0]).toBeCloseTo(-1e-3, 12);
  });

  test("a straight tube that is not left is one in closed form, one that is left is not", () => {
    const bore = (length: number): Body =>
      bodyOf({
        kind: "bore",
        points: [
          { at: [0, 0, -0.1], radius: 0.02, bend: 0 },
          { at: [0, 0, length - 0.1], radius: 0.02, bend: 0 },
        ],
      });
    const free = Float64Array.of(0, 0, 0);
    expect(createWalls(createSpace([bore(0.4)]), { ...both, free }).field.walls[0]).toEqual({
      kind: "tube",
      at: [0, 0, -0.1],
      axis: [0, 0, 1],
      radius: 0.02,
    });
    const left = createWalls(createSpace([bore(0.15)]), { ...both, free });
    expect(left.field.walls[0]!.kind).toBe("band");
  });
});

test("each wall knows its body, stand-offs are left out", () => {
  const bodies = [
    bodyOf({ kind: "box", size: [0.1, 0.1, 0.02] }, upright, { kind: "free" }, "floor"),
    bodyOf(
      { kind: "cylinder", radius: 0.01, length: 0.1 },
      { at: [0, 0, 0.05], rotation: upright.rotation },
      { kind: "never", standOff: 3e-3 },
      "post",
    ),
    bodyOf({ kind: "ring", radius: 0.05, bar: 0.01 }, { at: [1, 0, 0], rotation: upright.rotation }, { kind: "free" }, "far"),
  ];
  const walls = createWalls(createSpace(bodies), {
    bodies: [2, 1, 0],
    boxes: Float64Array.of(-0.04, -0.04, 0, 0.04, 0.04, 0.1),
    free: Float64Array.of(0.03, 0, 0.05),
    step: 2e-3,
  });
  expect([...walls.body]).toEqual([2, 1, 0]);
  // 2 mm off the post, its stand-off left out
  const { distance, nearest } = sample(walls, Float64Array.of(0.012, 0, 0.1, 0.03, 0, 0.011));
  expect(nearest[0]).toBe(1);
  expect(Math.abs(distance[0]! - 2e-3)).toBeLessThan(2 * walls.error[1]!);
  expect(nearest[1]).toBe(2);
  expect(distance[1]).toBeCloseTo(1e-3, 12);
});

test("what cannot be made is refused with every fault", () => {
  const space = createSpace([bodyOf({ kind: "box", size: [1, 1, 1] })]);
  const make = (): SpaceWalls =>
    createWalls(space, { bodies: [1], boxes: Float64Array.of(0, 0, 0, 1, 0, 1), free: new Float64Array(0), step: -1 });
  expect(make).toThrow(/bodies\[0\]/);
  expect(make).toThrow(/step/);
  expect(make).toThrow(/boxes/);
  expect(make).toThrow(/free/);
});
