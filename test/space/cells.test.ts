import { describe, expect, it } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import {
  type CellTree,
  cellCentre,
  cellEdge,
  cellKind,
  cellReach,
  createCells,
  createCellWork,
  createSpace,
  faceNeighbours,
  locateCell,
  splitCells,
} from "../../src/space/index.ts";

const need = 0.01;
const box = [-0.15, -0.15, -0.1, 0.15, 0.15, 0.3];
const radius = 0.06;
const space = createSpace([
  {
    name: "post",
    shape: { kind: "cylinder", radius, length: 2 },
    placement: { at: [0, 0, -1], rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1] },
    touch: { kind: "free" },
  },
]);
const work = createCellWork(space);

/** Distance to the post's side, by itself; its ends are far away. */
function truth(p: ArrayLike<number>): number {
  return Math.abs(Math.hypot(p[0]!, p[1]!) - radius);
}

/** Splits every mixed cell down to a level. */
function splitDown(tree: CellTree, level: number): void {
  for (let l = 0; l < level; l += 1) {
    for (let cell = 0, last = tree.count; cell < last; cell += 1) {
      if (tree.child[cell]! < 0 && tree.level[cell] === l && tree.kind[cell] === cellKind.mixed) {
        splitCells(tree, Int32Array.of(cell), 1, space, work);
      }
    }
  }
}

describe("cells of a space", () => {
  const tree = createCells(box, 0.004, need, 2.6 * need, null);
  splitDown(tree, tree.levels);
  const centre = new Float64Array(3);
  const leaves = Array.from({ length: tree.count }, (_, cell) => cell).filter((cell) => tree.child[cell]! < 0);

  it("free cells are free everywhere and blocked ones nowhere (seed 11)", () => {
    const random = createRandom(11);
    let free = 0;
    let blocked = 0;
    for (let i = 0; i < 20_000; i += 1) {
      const p = [box[0]! + 0.3 * random(), box[1]! + 0.3 * random(), box[2]! + 0.4 * random()];
      const leaf = locateCell(tree, p[0]!, p[1]!, p[2]!);
      if (tree.kind[leaf] === cellKind.free) {
        free += 1;
        expect(truth(p)).toBeGreaterThanOrEqual(need - 1e-12);
      } else if (tree.kind[leaf] === cellKind.blocked) {
        blocked += 1;
        const near =
          cellEdge(tree, leaf) <= need &&
          Math.min(p[0]! - box[0]!, p[1]! - box[1]!, p[2]! - box[2]!, box[3]! - p[0]!, box[4]! - p[1]!, box[5]! - p[2]!) < need;
        if (!near) expect(truth(p)).toBeLessThan(need + 1e-12);
      } else {
        // only the finest are left undecided, and only where the surface of what is free passes through or near
        expect(tree.level[leaf]).toBe(tree.levels);
        expect(Math.abs(truth(p) - need)).toBeLessThan(2 * cellReach(tree, leaf) + 1e-12);
      }
    }
    expect(free).toBeGreaterThan(5000);
    expect(blocked).toBeGreaterThan(500);
  });

  it("are coarse where there is room", () => {
    const edges = leaves.filter((leaf) => tree.kind[leaf] === cellKind.free).map((leaf) => cellEdge(tree, leaf));
    expect(Math.max(...edges)).toBeGreaterThanOrEqual(8 * Math.min(...edges));
    const uniform = (tree.edge / cellEdge(tree, leaves.find((leaf) => tree.level[leaf] === tree.levels)!)) ** 3;
    expect(tree.count).toBeLessThan(0.25 * uniform);
  });

  it("a leaf holds its own centre, and leaves fill the root without overlap", () => {
    let volume = 0;
    for (const leaf of leaves) {
      cellCentre(tree, leaf, centre);
      expect(locateCell(tree, centre[0]!, centre[1]!, centre[2]!)).toBe(leaf);
      volume += cellEdge(tree, leaf) ** 3;
    }
    expect(volume / tree.edge ** 3).toBeCloseTo(1, 9);
    expect(locateCell(tree, tree.origin[0] - 1e-6, 0, 0)).toBe(-1);
    expect(locateCell(tree, 0, Number.NaN, 0)).toBe(-1);
  });

  it("neighbours share a face, both ways, and cover it (seed 4)", () => {
    const random = createRandom(4);
    const a = new Float64Array(3);
    const b = new Float64Array(3);
    for (let i = 0; i < 200; i += 1) {
      const leaf = leaves[Math.floor(random() * leaves.length)]!;
      cellCentre(tree, leaf, a);
      const n = faceNeighbours(tree, leaf, work);
      const found = Array.from(work.neighbour.subarray(0, n));
      expect(new Set(found).size).toBe(n);
      let face = 0;
      for (const other of found) {
        cellCentre(tree, other, b);
        const reach = 0.5 * (cellEdge(tree, leaf) + cellEdge(tree, other));
        const gaps = [0, 1, 2].map((k) => Math.abs(a[k]! - b[k]!) - reach).sort((x, y) => x - y);
        expect(Math.abs(gaps[2]!)).toBeLessThan(1e-9);
        expect(gaps[1]!).toBeLessThan(-1e-9);
        face += Math.min(cellEdge(tree, leaf), cellEdge(tree, other)) ** 2;
        const back = faceNeighbours(tree, other, work);
        expect(Array.from(work.neighbour.subarray(0, back))).toContain(leaf);
      }
      const inside = [0, 1, 2].reduce((sum, k) => {
        const low = a[k]! - 0.5 * cellEdge(tree, leaf) > tree.origin[k]! + 1e-9 ? 1 : 0;
        const high = a[k]! + 0.5 * cellEdge(tree, leaf) < tree.origin[k]! + tree.edge - 1e-9 ? 1 : 0;
        return sum + low + high;
      }, 0);
      expect(face / cellEdge(tree, leaf) ** 2).toBeCloseTo(inside, 9);
    }
  });

  it("distances do not depend on what was split together", () => {
    const one = createCells(box, 0.02, need, 2.6 * need, null);
    splitDown(one, 3);
    const all = createCells(box, 0.02, need, 2.6 * need, null);
    for (let l = 0; l < 3; l += 1) {
      const open = [];
      for (let cell = 0; cell < all.count; cell += 1)
        if (all.child[cell]! < 0 && all.level[cell] === l && all.kind[cell] === cellKind.mixed) open.push(cell);
      for (let at = 0; at < open.length; at += 32)
        splitCells(all, Int32Array.from(open.slice(at, at + 32)), Math.min(32, open.length - at), space, work);
    }
    expect(all.count).toBe(one.count);
    expect(all.distance.slice(0, all.count)).toEqual(one.distance.slice(0, one.count));
    expect(all.kind.slice(0, all.count)).toEqual(one.kind.slice(0, one.count));
  });

  it("the half-ball behind a port is shut, the room before it is not", () => {
    const shut = createCells(box, 0.004, need, 2.6 * need, { centre: [0.11, 0.1, 0], axis: [0, 0, 1], radius: 0.03 });
    splitDown(shut, shut.levels);
    expect(shut.kind[locateCell(shut, 0.11, 0.1, -0.012)]).toBe(cellKind.blocked);
    expect(shut.kind[locateCell(shut, 0.11, 0.1, 0.012)]).toBe(cellKind.free);
    expect(shut.kind[locateCell(shut, 0.11, 0.1, -0.045)]).toBe(cellKind.free);
  });
});
