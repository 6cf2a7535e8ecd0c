/** Lines of sight against closed forms, and against the rays of a library of its own (three-mesh-bvh). */
import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from "three";
import { MeshBVH } from "three-mesh-bvh";
import { describe, expect, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { type Body, createSpace, seePlace, sightSpace, surfaceAt } from "../../src/space/index.ts";

const identity = { at: [0, 0, 0] as const, rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1] };

function box(name: string, at: readonly [number, number, number], size: readonly [number, number, number], standOff = 0): Body {
  return { name, touch: { kind: "never", standOff }, placement: { ...identity, at }, shape: { kind: "box", size } };
}

function pillar(at: readonly [number, number, number], radius: number): Body {
  return { name: "pillar", touch: { kind: "free" }, placement: { ...identity, at }, shape: { kind: "cylinder", radius, length: 2 } };
}

/** A floor whose upper face is the plane z = 0, with a stand-off that sight does not heed. */
const floor = box("floor", [0, 0, -0.05], [1, 1, 0.1], 0.01);

describe("a plane", () => {
  const space = sightSpace(createSpace([floor]));
  test.each([0, 20, 45, 60, 80])("seen %d degrees off its normal from 60 mm: that angle, and room d cos(angle)", (degrees) => {
    const a = (degrees * Math.PI) / 180;
    const viewer = [0.06 * Math.sin(a), 0, 0.06 * Math.cos(a)] as const;
    const { at, away, body, normal } = surfaceAt(space, [0, 0, 0], viewer);
    expect([away, body]).toEqual([0, 0]);
    expect(Math.acos((normal[0] * viewer[0] + normal[2] * viewer[2]) / 0.06)).toBeCloseTo(a, 6);
    const sight = seePlace(space, viewer, at);
    expect(sight.cut).toBe(false);
    // never more than the true room, and less by no more than the stride of the walk
    const room = 0.06 * Math.cos(a);
    expect(sight.room).toBeLessThanOrEqual(room * (1 + 1e-9));
    expect(sight.room).toBeGreaterThan(0.94 * room);
  });
  test("a place 2 mm above it is looked for on it", () => {
    const { at, away } = surfaceAt(space, [0.01, 0.02, 0.002], [0, 0, 0.1]);
    expect(away).toBeCloseTo(0.002, 12);
    expect(at[2]).toBeCloseTo(0, 12);
  });
});

test("a wall between: cut, by that wall, at its near face", () => {
  const space = sightSpace(createSpace([floor, box("wall", [0, 0, 0.03], [0.02, 0.02, 0.002])]));
  const sight = seePlace(space, [0, 0, 0.06], [0, 0, 0]);
  expect(sight).toMatchObject({ cut: true, room: 0, body: 1 });
  expect(sight.place[2]).toBeCloseTo(0.031, 4);
  // thin as a sheet of paper it is not passed over either
  const paper = sightSpace(createSpace([floor, box("paper", [0, 0, 0.03], [0.02, 0.02, 1e-6])]));
  expect(seePlace(paper, [0, 0, 0.06], [0, 0, 0]).cut).toBe(true);
});

test("a pillar beside the line: cut when it stands in it, else room as a search along the line finds it", () => {
  for (const aside of [0.004, 0.0049, 0.0052, 0.006, 0.01, 0.02]) {
    const space = sightSpace(createSpace([pillar([0.04, aside, -1], 0.005)]));
    const sight = seePlace(space, [0.1, 0, 0], [0, 0, 0]);
    expect(sight.cut).toBe(aside < 0.005);
    if (sight.cut) continue;
    let share = Number.POSITIVE_INFINITY;
    for (let s = 0.1; s > 1e-4; s -= 1e-6) share = Math.min(share, (Math.sqrt(aside ** 2 + (s - 0.04) ** 2) - 0.005) / s);
    expect(sight.room).toBeLessThanOrEqual(0.1 * share * (1 + 1e-9));
    expect(sight.room).toBeGreaterThan(0.94 * 0.1 * share - 0.5e-3 * 0.1);
  }
});

test("seed 7: 300 lines through 200 triangles are cut where rays of three-mesh-bvh hit", () => {
  const random = createRandom(7);
  const side = (): number => 2 * random() - 1;
  const corners = new Float64Array(1800);
  for (let k = 0; k < 200; k++) {
    const centre = [side(), side(), side()];
    for (let i = 0; i < 9; i++) corners[9 * k + i] = 0.1 * (centre[i % 3]! + 0.2 * side());
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(Float32Array.from(corners), 3));
  const oracle = new MeshBVH(geometry);
  // the same corners, rounded as the library holds them
  const shape = { kind: "mesh" as const, corners: Float64Array.from(Float32Array.from(corners)), unit: 1 };
  const space = sightSpace(createSpace([{ name: "shards", touch: { kind: "free" }, placement: identity, shape }]));
  let cuts = 0;
  let close = 0;
  for (let k = 0; k < 300; k++) {
    const from = [0.15 * side(), 0.15 * side(), 0.15 * side()] as const;
    const to = [0.15 * side(), 0.15 * side(), 0.15 * side()] as const;
    const line = new Vector3(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
    const length = line.length();
    const hit = oracle.raycastFirst(new Ray(new Vector3(...from), line.normalize()), DoubleSide, 0, length * (1 - 1e-3));
    const sight = seePlace(space, from, to);
    // a line that a thousandth of its length would cut counts as cut: the library knows only hit and miss
    if (sight.cut !== (hit !== null)) {
      expect(sight.cut).toBe(true);
      close++;
    }
    if (hit !== null) cuts++;
  }
  expect(cuts).toBeGreaterThan(60);
  expect(cuts).toBeLessThan(240);
  expect(close).toBeLessThan(6);
});
