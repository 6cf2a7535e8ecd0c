import { describe, expect, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { type DistanceField, sampleField, sampleWall } from "../../src/math/index.ts";

const seed = 11;
const third = 1 / 3;
// a frame of thirds: columns (2, 1, -2), (-2, 2, -1), (1, 2, 2) over 3
const turned = Float64Array.of(2 * third, -2 * third, third, third, 2 * third, 2 * third, -2 * third, -third, 2 * third, 0.1, -0.2, 0.3);

const fields: Record<string, DistanceField> = {
  plane: { walls: [{ kind: "plane", at: [0.1, 0, 0], normal: [0.6, 0, 0.8] }] },
  tube: { walls: [{ kind: "tube", at: [0, 0.1, 0], axis: [2 * third, third, -2 * third], radius: 0.4 }] },
  box: { walls: [{ kind: "box", frame: turned, half: [0.1, 0.2, 0.3] }] },
  all: {
    walls: [
      { kind: "plane", at: [0.1, 0, -0.5], normal: [0.6, 0, 0.8] },
      { kind: "box", frame: turned, half: [0.1, 0.2, 0.3] },
      { kind: "tube", at: [0, 0.1, 0], axis: [0, 0, 1], radius: 0.8 },
    ],
  },
};

function at(field: DistanceField, ...point: readonly number[]): { distance: number; gradient: number[] } {
  const distance = new Float64Array(1);
  const gradient = new Float64Array(3);
  const nearest = new Int32Array(1);
  sampleField(field, Float64Array.from(point), 1, distance, gradient, nearest);
  // the wall that is named says the same by itself, and no other is nearer
  const alone = new Float64Array(1);
  for (let k = 0; k < field.walls.length; k++) {
    sampleWall(field, k, Float64Array.from(point), 1, alone, new Float64Array(3), new Int32Array(1));
    if (nearest[0] === k) expect(alone).toEqual(distance);
    else expect(alone[0]).toBeGreaterThanOrEqual(distance[0] as number);
  }
  expect(field.walls[nearest[0] as number] === undefined).toBe(field.walls.length === 0);
  return { distance: distance[0] as number, gradient: [...gradient] };
}

describe("by hand", () => {
  test("3-4-5: a plane, a tube", () => {
    expect(at(fields.plane!, 0.1 + 0.6, 7, 0.8).distance).toBeCloseTo(1, 14);
    expect(at({ walls: [{ kind: "tube", at: [0, 0, 9], axis: [0, 0, 1], radius: 6 }] }, 3, 4, -2)).toEqual({
      distance: 1,
      gradient: [expect.closeTo(-0.6, 14), expect.closeTo(-0.8, 14), expect.closeTo(0, 14)],
    });
  });

  test("a box: over a face, an edge, a corner, and inside", () => {
    const unit = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0);
    const box: DistanceField = { walls: [{ kind: "box", frame: unit, half: [1, 2, 3] }] };
    expect(at(box, 0, 0, 5)).toEqual({ distance: 2, gradient: [0, 0, 1] });
    expect(at(box, -4, 6, 0)).toEqual({ distance: 5, gradient: [expect.closeTo(-0.6, 14), expect.closeTo(0.8, 14), 0] });
    expect(at(box, 2, 4, 5).distance).toBeCloseTo(3, 14);
    expect(at(box, 0.75, 0, 0)).toEqual({ distance: -0.25, gradient: [1, 0, 0] });
    expect(at(box, -0.75, 0, 0)).toEqual({ distance: -0.25, gradient: [-1, 0, 0] });
  });

  test("no walls: nothing is near", () => {
    expect(at({ walls: [] }, 1, 2, 3)).toEqual({ distance: Infinity, gradient: [0, 0, 0] });
  });
});

test.each(Object.keys(fields))(`%s: a unit gradient that differences agree with, the way back to the wall (seed ${seed})`, (name) => {
  const field = fields[name]!;
  const random = createRandom(seed);
  for (let k = 0; k < 200; k++) {
    const p = [2 * random() - 1, 2 * random() - 1, 2 * random() - 1];
    const { distance, gradient } = at(field, ...p);
    expect(gradient.reduce((sum, g) => sum + g * g, 0)).toBeCloseTo(1, 12);
    // the foot lies on a wall, when no other wall stands around the point
    if (distance > 0 || field.walls.length === 1)
      expect(Math.abs(at(field, ...p.map((v, r) => v - distance * (gradient[r] as number))).distance)).toBeLessThan(1e-12);
    const h = 1e-6;
    const slopes = p.map((_, r) => {
      const moved = (s: number) => at(field, ...p.map((v, q) => v + (q === r ? s * h : 0)));
      return { slope: (moved(1).distance - moved(-1).distance) / (2 * h), smooth: moved(1).gradient, other: moved(-1).gradient };
    });
    // where two faces or walls are equally near there is no gradient
    const turn = Math.max(...slopes.flatMap((s) => s.smooth.map((v, q) => Math.abs(v - (s.other[q] as number)))));
    if (turn < 1e-3) for (const [r, s] of slopes.entries()) expect(s.slope).toBeCloseTo(gradient[r] as number, 6);
  }
});

describe("a grid", () => {
  const counts = [9, 8, 7] as const;
  const grid = (of: (x: number, y: number, z: number) => number): DistanceField => {
    const values = new Float64Array(counts[0] * counts[1] * counts[2]);
    for (let x = 0; x < 9; x++)
      for (let y = 0; y < 8; y++) for (let z = 0; z < 7; z++) values[56 * x + 7 * y + z] = of(1 + 0.5 * x, 0.5 * y, 0.5 * z - 2);
    return { walls: [{ kind: "grid", origin: [1, 0, -2], step: 0.5, counts, values }] };
  };

  test("a function linear in each coordinate is given back exactly, with its gradient", () => {
    const field = grid((x, y, z) => 1 + 2 * x - y + 0.5 * z + 0.1 * x * y - 0.2 * y * z + 0.3 * x * y * z);
    const [x, y, z] = [2.37, 1.81, -0.66];
    const { distance, gradient } = at(field, x, y, z);
    expect(distance).toBeCloseTo(1 + 2 * x - y + 0.5 * z + 0.1 * x * y - 0.2 * y * z + 0.3 * x * y * z, 12);
    expect(gradient[0]).toBeCloseTo(2 + 0.1 * y + 0.3 * y * z, 12);
    expect(gradient[1]).toBeCloseTo(-1 + 0.1 * x - 0.2 * z + 0.3 * x * z, 12);
    expect(gradient[2]).toBeCloseTo(0.5 - 0.2 * y + 0.3 * x * y, 12);
  });

  test("beyond its edge the way to it is added", () => {
    const field = grid(() => 0.25);
    expect(at(field, 5 + 0.3, 1, 1 + 0.4)).toEqual({
      distance: expect.closeTo(0.75, 12),
      gradient: [expect.closeTo(0.6, 12), 0, expect.closeTo(0.8, 12)],
    });
  });
});
