/** Places of a patch: on the surface, within it, and as near to each other as is said. */
import { expect, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { listPlaces } from "../../src/plan/list-places.ts";
import { type Body, createSpace, type Target } from "../../src/space/index.ts";

const identity = { at: [0, 0, 0] as const, rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1] };
const pipe: Body = {
  name: "pipe",
  touch: { kind: "never", standOff: 1e-3 },
  placement: { ...identity, at: [0, 0, -0.5] },
  shape: { kind: "cylinder", radius: 0.1, length: 1 },
};
const slab: Body = { ...pipe, name: "slab", placement: identity, shape: { kind: "box", size: [1, 1, 0.2] } };
const base = { name: "t", kind: "touch", cone: 0.1, standOff: [0.01, 0.02], tolerance: 5e-3 } as const;

test("seed 5: a disc on a slab: no place of it is farther from one that is tried than is said", () => {
  const target: Target = { ...base, place: [0.1, 0.2, 0.1], direction: [0, 0, -1], patch: { radius: 0.03 } };
  const { places, apart } = listPlaces(createSpace([slab]), target)!;
  expect(places[0]).toEqual([0.1, 0.2, 0.1]);
  const random = createRandom(5);
  let farthest = 0;
  for (let k = 0; k < 20000; k++) {
    const [r, turn] = [0.03 * Math.sqrt(random()), 2 * Math.PI * random()];
    const [x, y] = [0.1 + r * Math.cos(turn), 0.2 + r * Math.sin(turn)];
    farthest = Math.max(farthest, Math.min(...places.map((p) => Math.hypot(p[0] - x, p[1] - y))));
  }
  expect(farthest).toBeLessThanOrEqual(apart);
  for (const p of places) expect(p[2]).toBeCloseTo(0.1, 12);
});

test("a rectangle on a pipe lies on it: 40 along, 20 across", () => {
  const target: Target = { ...base, place: [0.1, 0, 0], direction: [-1, 0, 0], patch: { size: [0.04, 0.02], along: [0, 0, 1] } };
  const { places } = listPlaces(createSpace([pipe]), target)!;
  expect(places).toHaveLength(25);
  for (const p of places) expect(Math.hypot(p[0], p[1])).toBeCloseTo(0.1, 9);
  expect(Math.max(...places.map((p) => p[2]))).toBeCloseTo(0.02, 9);
  expect(Math.max(...places.map((p) => Math.atan2(p[1], p[0])))).toBeCloseTo(Math.atan2(0.01, 0.1), 9);
});

test("beyond the edge of the surface there is none to try", () => {
  const target: Target = { ...base, place: [0.49, 0, 0.1], direction: [0, 0, -1], patch: { radius: 0.03 } };
  const { places } = listPlaces(createSpace([slab]), target)!;
  for (const p of places) expect(p[0]).toBeLessThanOrEqual(0.5 + 1e-12);
});
