import { BufferAttribute, BufferGeometry, Vector3 } from "three";
import { MeshBVH } from "three-mesh-bvh";
import { describe, expect, test } from "vitest";
import { bumpyMesh, pointsAbout, pointsAlong, pointsNear } from "../../bench/bumpy-mesh.ts";
import { createRandom } from "../../src/base/index.ts";
import { createSpace, createSpaceAnswer, createSpaceWork, sampleSpace } from "../../src/space/index.ts";
import { ask, meshOf } from "./bodies.ts";
import { slowDistance } from "./slow-truth.ts";

/** Both find feet and edges in doubles on numbers below 1 m. */
const rounding = 1e-14;

describe("the tree", () => {
  test("agrees with triangles one by one, seed 21", () => {
    const corners = bumpyMesh(2000);
    const random = createRandom(21);
    const points = [...pointsAbout(300, random), ...pointsNear(corners, 300, 1e-3, random)];
    ask([meshOf(corners)], points).distance.forEach((d, k) => {
      expect(Math.abs(d - slowDistance(corners, points[3 * k]!, points[3 * k + 1]!, points[3 * k + 2]!))).toBeLessThan(rounding);
    });
  });

  test("agrees with three-mesh-bvh on 20 000 triangles, anywhere and near the surface, seed 22", () => {
    const corners = bumpyMesh(20_000);
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(Float32Array.from(corners), 3));
    const bvh = new MeshBVH(geometry);
    const random = createRandom(22);
    const points = [...pointsAbout(3000, random), ...pointsNear(corners, 3000, 1e-3, random)];
    const mine = ask([meshOf(corners)], points);
    const target = { point: new Vector3(), distance: 0, faceIndex: 0 };
    for (let k = 0; k < 6000; k++) {
      bvh.closestPointToPoint(new Vector3(points[3 * k]!, points[3 * k + 1]!, points[3 * k + 2]!), target);
      // The corners are exact in single precision, so both have the same triangles; the library keeps its boxes in single
      // precision: one that was rounded inwards by 2^-24 of 0.4 m could hide a triangle that is nearer by that much.
      expect(Math.abs(mine.distance[k]! - target.distance)).toBeLessThan(0.4 * 2 ** -24);
    }
  });

  test("answers to the last bit as it does without a start, whatever was asked before, seed 23", () => {
    const corners = bumpyMesh(5000);
    const random = createRandom(23);
    // corners themselves, and points over edges, are equally near to several triangles
    const points = Float64Array.from([
      ...corners.subarray(0, 900),
      ...pointsAlong(500),
      ...pointsAbout(300, random),
      ...pointsNear(corners, 500, 1e-4, random),
    ]);
    const n = points.length / 3;
    const space = createSpace([meshOf(corners)]);
    const forward = createSpaceAnswer(n);
    sampleSpace(space, points, n, Infinity, forward, createSpaceWork(space));
    const work = createSpaceWork(space);
    const one = createSpaceAnswer(1);
    for (let k = n - 1; k >= 0; k--) {
      sampleSpace(space, points.subarray(3 * k, 3 * k + 3), 1, Infinity, one, work);
      expect([one.distance[0], ...one.closest]).toEqual([forward.distance[k], ...forward.closest.subarray(3 * k, 3 * k + 3)]);
      sampleSpace(space, points.subarray(3 * k, 3 * k + 3), 1, Infinity, one, createSpaceWork(space));
      expect([one.distance[0], ...one.closest]).toEqual([forward.distance[k], ...forward.closest.subarray(3 * k, 3 * k + 3)]);
    }
  });

  test("flipped, doubled and shuffled triangles change nothing, seed 24", () => {
    const corners = bumpyMesh(1500);
    const random = createRandom(24);
    const count = corners.length / 9;
    const order = Array.from({ length: 2 * count }, (_, k) => k % count);
    for (let k = order.length - 1; k > 0; k--) {
      const j = Math.floor(random() * (k + 1));
      [order[k], order[j]] = [order[j]!, order[k]!];
    }
    const dirty = new Float64Array(9 * order.length);
    order.forEach((from, k) => {
      const first = Math.floor(random() * 3);
      const step = random() < 0.5 ? 1 : 2;
      for (let c = 0; c < 3; c++) {
        const at = 9 * from + 3 * ((first + step * c) % 3);
        dirty.set(corners.subarray(at, at + 3), 9 * k + 3 * c);
      }
    });
    const points = [...pointsAbout(500, random), ...pointsNear(corners, 500, 1e-3, random)];
    const clean = ask([meshOf(corners)], points).distance;
    ask([meshOf(dirty)], points).distance.forEach((d, k) => {
      expect(Math.abs(d - clean[k]!)).toBeLessThan(rounding);
    });
  });

  test("slivers, lines and points on the surface, and triangles split off the middle of an edge, change nothing, seed 26", () => {
    const corners = bumpyMesh(1500);
    const random = createRandom(26);
    const dirty: number[] = [];
    for (let k = 0; k < corners.length; k += 9) {
      const at = (i: number): number[] => [...corners.subarray(k + 3 * i, k + 3 * i + 3)];
      const between = (p: readonly number[], q: readonly number[], t: number): number[] => p.map((value, i) => value + t * (q[i]! - value));
      const [a, b, c] = [at(0), at(1), at(2)];
      const kind = Math.floor(5 * random());
      const middle = between(a, b, random());
      // split in two whose shared corner lies on an edge that the neighbour does not split
      if (kind === 0) dirty.push(...a, ...middle, ...c, ...middle, ...b, ...c);
      else dirty.push(...a, ...b, ...c);
      if (kind === 1) dirty.push(...a, ...middle, ...b);
      if (kind === 2) dirty.push(...c, ...c, ...c);
      if (kind === 3) dirty.push(...a, ...between(a, c, 1e-9), ...b);
    }
    const points = [...pointsAbout(500, random), ...pointsNear(corners, 500, 1e-3, random)];
    const clean = ask([meshOf(corners)], points).distance;
    // a corner put on an edge is off it by its rounding, 1e-16 of 0.4 m, and by as much again in the foot
    ask([meshOf(Float64Array.from(dirty))], points).distance.forEach((d, k) => {
      expect(Math.abs(d - clean[k]!)).toBeLessThan(1e-13);
    });
  });

  test("thousands of equal triangles make no deep tree and no wrong answer", () => {
    const one = [0, 0, 0, 1, 0, 0, 0, 1, 0];
    const corners = Float64Array.from({ length: 9 * 5000 }, (_, k) => one[k % 9]!);
    expect(ask([meshOf(corners)], [0.25, 0.25, 0.5, 2, 0, 0]).distance).toEqual([0.5, 1]);
  });

  test("triangles ever closer together make no deep tree and no wrong answer", () => {
    // the k-th lies at 2^-k: every cut in equal bins parts only a few from the rest
    const corners = Float64Array.from({ length: 9 * 900 }, (_, k) => {
      const at = 2 ** -Math.floor(k / 9);
      return k % 9 < 3 ? (k % 3 === 0 ? at : 0) : (k % 3 === 0 ? at : 0) + (k % 3 === (k % 9 < 6 ? 1 : 2) ? 1 : 0);
    });
    const points = [0.75, 0.2, 0.2, -1, 0.1, 0.1, 0.3, -0.4, 0];
    ask([meshOf(corners)], points).distance.forEach((d, k) => {
      expect(Math.abs(d - slowDistance(corners, points[3 * k]!, points[3 * k + 1]!, points[3 * k + 2]!))).toBeLessThan(rounding);
    });
  });

  test("triangles that are lines or points still are surface", () => {
    const line = Float64Array.from([0, 0, 0, 0.5, 0, 0, 1, 0, 0]);
    const dot = Float64Array.from([0, 0, 5, 0, 0, 5, 0, 0, 5]);
    const points = [0.25, 0.3, 0.4, -0.3, 0.4, 0, 1.3, 0, 0.4];
    expect(ask([meshOf(line)], points).distance.map((d) => Number(d.toFixed(15)))).toEqual([0.5, 0.5, 0.5]);
    expect(ask([meshOf(dot)], [0, 3, 1]).distance).toEqual([5]);
  });

  test("needles are as exact as their shape allows, seed 25", () => {
    // height over length 1e-5: the foot's place is known to 1e-16 * 1e5 of the way to a corner
    const random = createRandom(25);
    const corners = Float64Array.from([0, 0, 0, 1, 0.3, 0.2, 0.4, 0.12 + 1e-5, 0.08]);
    for (let k = 0; k < 500; k++) {
      const t = random();
      const p = [t + 0.01 * random(), 0.3 * t + 0.01 * random(), 0.2 * t + 0.01 * random()] as const;
      expect(Math.abs(ask([meshOf(corners)], p).distance[0]! - slowDistance(corners, ...p))).toBeLessThan(1e-11);
    }
  });

  test("a mesh whose bodies share corners, unit and placement is not built again", () => {
    const corners = bumpyMesh(500);
    const first = createSpace([meshOf(corners)]);
    const body = { ...first.bodies[0]!, touch: { kind: "never", standOff: 0.01 } as const };
    const second = createSpace([body], first);
    expect(second.parts[0]!.tree).toBe(first.parts[0]!.tree);
    expect(second.parts[0]!.keep).toBe(0.01);
    const moved = createSpace([{ ...body, placement: { ...body.placement, at: [0, 0, 1] } }], first);
    expect(moved.parts[0]!.tree).not.toBe(first.parts[0]!.tree);
    // boxes are wider than their triangles by 1e-12 of the extent
    expect(Math.abs(moved.bounds[5]! - first.bounds[5]! - 1)).toBeLessThan(2e-12);
  });
});
