/** Refines the octree where a way wants to go. */
import { type CellTree, cellEdge, cellKind, faceNeighbours, type SpaceModel, splitBatch, splitCells } from "../space/index.ts";
import type { RouteWork } from "./route-state.ts";
import { walkCells } from "./walk-cells.ts";

/** Rings of mixed cells about the way that are split with it while they are larger than this share of the need. */
const rings = 4;
const largeShare = 0.8;
/** Most cells split at once. */
const mostSplit = 192;

/**
 * Splits the mixed cells on a way, and those children on it that still are mixed. Where the cells are large, those about
 * them are split as well: a wall is not refuted at one place, and large cells are few. Returns how many were on the way.
 */
export function splitAlong(space: SpaceModel, way: readonly number[], tree: CellTree, work: RouteWork): number {
  const on = mixedAlong(way, tree, work);
  if (on.length === 0) return 0;
  const found = new Set(on);
  let ring = on;
  for (let turn = 0; turn < rings && found.size < mostSplit; turn += 1) {
    const next: number[] = [];
    for (const cell of ring) {
      if (cellEdge(tree, cell) < largeShare * tree.need) continue;
      const n = faceNeighbours(tree, cell, work.cells);
      for (let i = 0; i < n; i += 1) {
        const other = work.cells.neighbour[i]!;
        if (tree.kind[other] !== cellKind.mixed || tree.level[other]! > tree.level[cell]! || found.has(other)) continue;
        found.add(other);
        next.push(other);
      }
    }
    ring = next;
  }
  splitAll(space, [...found].slice(0, mostSplit), tree, work);
  splitAll(space, mixedAlong(way, tree, work).slice(0, mostSplit), tree, work);
  return on.length;
}

/** The mixed leaves that a way crosses. */
function mixedAlong(way: readonly number[], tree: CellTree, work: RouteWork): number[] {
  const found = new Set<number>();
  for (let i = 0; i + 5 < way.length; i += 3) {
    const n = walkCells(tree, way[i]!, way[i + 1]!, way[i + 2]!, way[i + 3]!, way[i + 4]!, way[i + 5]!, work.walk);
    for (let k = 0; k < n; k += 1) {
      const leaf = work.walk.leaf[k]!;
      if (tree.kind[leaf] === cellKind.mixed) found.add(leaf);
    }
  }
  return [...found];
}

function splitAll(space: SpaceModel, cells: readonly number[], tree: CellTree, work: RouteWork): void {
  for (let at = 0; at < cells.length; at += splitBatch) {
    const batch = Int32Array.from(cells.slice(at, at + splitBatch));
    splitCells(tree, batch, batch.length, space, work.cells);
  }
}
