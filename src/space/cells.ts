/**
 * An octree over a box whose cells exact distances call free, blocked or mixed for a body of a given need.
 *
 * A distance is known at every cell's centre; it changes no faster than the point moves, so with the half-diagonal h
 * a cell is wholly free where d - h >= need and wholly blocked where d + h < need. Anything else is mixed and may be
 * split, down to the finest edge, where a cell is `centre` (its centre is free) or `tight` (somewhere in it may be).
 * Cells are split only on request, many in one batch: coarse where free space is large, fine where a search insists.
 *
 * A **fence** shuts out what is outside the box and, optionally, a half-ball (the back of a port): there the axis of the
 * body may not go, whatever the distance.
 */
import type { SpaceAnswer, SpaceModel } from "./model.ts";
import { createSpaceAnswer, createSpaceWork, type SpaceWork, sampleSpace } from "./sample-space.ts";

/** `shut`: a finest cell that may be free, but through which no way could be shown (set by a search). */
export const cellKind = { mixed: 0, free: 1, blocked: 2, centre: 3, tight: 4, shut: 5 } as const;

/** The points x with |x - centre| <= radius and (x - centre) . axis <= 0 are shut out. */
export interface HalfBall {
  /** [3] m */
  readonly centre: readonly [number, number, number];
  /** [3] unit vector, out of the flat side */
  readonly axis: readonly [number, number, number];
  /** m */
  readonly radius: number;
}

/** Plain data; grows as cells are split. Cell 0 is the root cube. */
export interface CellTree {
  /** [6] the fence: min x, y, z, max x, y, z, m */
  readonly box: readonly number[];
  readonly halfBall: HalfBall | null;
  /** [3] least corner of the root cube, m */
  readonly origin: readonly [number, number, number];
  /** edge of the root cube, m */
  readonly edge: number;
  /** times the root may be split; the finest edge is edge / 2^levels */
  readonly levels: number;
  /** free radius that the body needs, m */
  readonly need: number;
  /** distances are told apart up to here at least, m */
  readonly cap: number;
  count: number;
  /** [cell, 3] least corner, in finest edges from the origin */
  place: Int32Array;
  /** [cell] 0 for the root */
  level: Uint8Array;
  /** [cell] first of eight children in a row (x fastest), -1 for a leaf */
  child: Int32Array;
  /** [cell] distance at the centre, m; capped */
  distance: Float64Array;
  /** [cell] nearest body, -1 for none */
  body: Int32Array;
  /** [cell] one of `cellKind`; says nothing of a cell that has children */
  kind: Uint8Array;
}

export interface CellWork {
  readonly points: Float64Array;
  readonly answer: SpaceAnswer;
  readonly space: SpaceWork;
  /** [n] result of `faceNeighbours`; grows */
  neighbour: Int32Array;
  readonly stack: Int32Array;
}

/** Most cells that one call of `splitCells` takes. */
export const splitBatch = 64;

/**
 * A tree of one mixed root cell.
 *
 * @param box  [6] min x, y, z, max x, y, z, m
 * @param finest  edge of the finest cells, m, > 0 (rounded down to fit the root)
 * @param need  free radius that the body needs, m
 */
export function createCells(box: readonly number[], finest: number, need: number, cap: number, halfBall: HalfBall | null): CellTree {
  const span = Math.max(box[3]! - box[0]!, box[4]! - box[1]!, box[5]! - box[2]!);
  const levels = Math.min(20, Math.max(1, Math.ceil(Math.log2(span / finest))));
  const edge = finest * 2 ** levels >= span ? finest * 2 ** levels : span;
  const middle = (axis: number): number => 0.5 * (box[axis]! + box[axis + 3]!);
  const capacity = 1024;
  const tree: CellTree = {
    box: [...box],
    halfBall,
    origin: [middle(0) - 0.5 * edge, middle(1) - 0.5 * edge, middle(2) - 0.5 * edge],
    edge,
    levels,
    need,
    cap,
    count: 1,
    place: new Int32Array(3 * capacity),
    level: new Uint8Array(capacity),
    child: new Int32Array(capacity).fill(-1),
    distance: new Float64Array(capacity),
    body: new Int32Array(capacity).fill(-1),
    kind: new Uint8Array(capacity),
  };
  return tree;
}

export function createCellWork(space: SpaceModel): CellWork {
  return {
    points: new Float64Array(3 * 8 * splitBatch),
    answer: createSpaceAnswer(8 * splitBatch),
    space: createSpaceWork(space),
    neighbour: new Int32Array(256),
    stack: new Int32Array(8 * 32),
  };
}

/** Edge of a cell, m. */
export function cellEdge(tree: CellTree, cell: number): number {
  return tree.edge / (1 << tree.level[cell]!);
}

/** Half the diagonal of a cell, m. */
export function cellReach(tree: CellTree, cell: number): number {
  return 0.5 * Math.sqrt(3) * cellEdge(tree, cell);
}

/** Writes the centre of a cell to `out[0..2]`, m. */
export function cellCentre(tree: CellTree, cell: number, out: Float64Array): void {
  const unit = tree.edge / (1 << tree.levels);
  const half = 0.5 * cellEdge(tree, cell);
  out[0] = tree.origin[0] + tree.place[3 * cell]! * unit + half;
  out[1] = tree.origin[1] + tree.place[3 * cell + 1]! * unit + half;
  out[2] = tree.origin[2] + tree.place[3 * cell + 2]! * unit + half;
}

/** The leaf that holds a point, -1 outside the root. */
export function locateCell(tree: CellTree, x: number, y: number, z: number): number {
  const { child, origin, levels } = tree;
  const last = 1 << levels;
  const scale = last / tree.edge;
  const i = Math.floor((x - origin[0]) * scale);
  const j = Math.floor((y - origin[1]) * scale);
  const k = Math.floor((z - origin[2]) * scale);
  if (!(i >= 0 && j >= 0 && k >= 0 && i < last && j < last && k < last)) return -1;
  let cell = 0;
  let bit = levels - 1;
  while (child[cell]! >= 0) {
    cell = child[cell]! + ((i >> bit) & 1) + 2 * ((j >> bit) & 1) + 4 * ((k >> bit) & 1);
    bit -= 1;
  }
  return cell;
}

/**
 * Splits leaves above the finest level and samples all their children in one batch.
 *
 * @param cells  [n] distinct leaves, each above the finest level
 * @param n  1 to `splitBatch`
 */
export function splitCells(tree: CellTree, cells: Int32Array, n: number, space: SpaceModel, work: CellWork): void {
  makeRoom(tree, tree.count + 8 * n);
  const { points, answer } = work;
  const first = tree.count;
  const centre = new Float64Array(3);
  let widest = 0;
  for (let a = 0; a < n; a += 1) {
    const cell = cells[a]!;
    const level = tree.level[cell]! + 1;
    const size = 2 ** (tree.levels - level);
    tree.child[cell] = tree.count;
    for (let octant = 0; octant < 8; octant += 1) {
      const made = tree.count;
      tree.count += 1;
      tree.level[made] = level;
      tree.child[made] = -1;
      tree.place[3 * made] = tree.place[3 * cell]! + (octant & 1) * size;
      tree.place[3 * made + 1] = tree.place[3 * cell + 1]! + ((octant >> 1) & 1) * size;
      tree.place[3 * made + 2] = tree.place[3 * cell + 2]! + ((octant >> 2) & 1) * size;
      cellCentre(tree, made, centre);
      points.set(centre, 3 * (made - first));
    }
    widest = Math.max(widest, cellReach(tree, tree.child[cell]!));
  }
  const reach = Math.max(tree.cap, (widest + tree.need) * 1.0001);
  sampleSpace(space, points, 8 * n, reach, answer, work.space);
  for (let made = first; made < tree.count; made += 1) judgeCell(tree, made, made - first, points, answer);
}

/**
 * Gives a freshly sampled cell its distance, body and kind. A cell across the fence is mixed until its edge is no longer
 * than the need; then its centre decides for all of it: the fence is a convenience, not a wall to be resolved.
 */
function judgeCell(tree: CellTree, cell: number, row: number, points: Float64Array, answer: SpaceAnswer): void {
  const half = cellReach(tree, cell);
  const d = Math.min(answer.distance[row]!, Math.max(tree.cap, (half + tree.need) * 1.0001));
  const room = fenceRoom(tree, points[3 * row]!, points[3 * row + 1]!, points[3 * row + 2]!);
  const last = tree.level[cell]! >= tree.levels;
  const small = last || cellEdge(tree, cell) <= tree.need;
  tree.distance[cell] = d;
  tree.body[cell] = answer.body[row]!;
  if (d + half < tree.need || room + half < 0 || (small && room < 0)) tree.kind[cell] = cellKind.blocked;
  else if (d - half >= tree.need && (small || room - half >= 0)) tree.kind[cell] = cellKind.free;
  else if (!last) tree.kind[cell] = cellKind.mixed;
  else tree.kind[cell] = d >= tree.need ? cellKind.centre : cellKind.tight;
}

/** How far inside the fence a point is, m; negative outside it. Changes no faster than the point moves. */
export function fenceRoom(tree: CellTree, x: number, y: number, z: number): number {
  const { box, halfBall } = tree;
  let room = Math.min(x - box[0]!, y - box[1]!, z - box[2]!, box[3]! - x, box[4]! - y, box[5]! - z);
  if (halfBall !== null) {
    const dx = x - halfBall.centre[0];
    const dy = y - halfBall.centre[1];
    const dz = z - halfBall.centre[2];
    const ahead = dx * halfBall.axis[0] + dy * halfBall.axis[1] + dz * halfBall.axis[2];
    room = Math.min(room, Math.max(Math.sqrt(dx * dx + dy * dy + dz * dz) - halfBall.radius, ahead));
  }
  return room;
}

/** Writes all leaves that share a face with a leaf to `work.neighbour` and returns how many. */
export function faceNeighbours(tree: CellTree, cell: number, work: CellWork): number {
  const { place, level, child, levels } = tree;
  const size = 1 << (levels - level[cell]!);
  const last = 1 << levels;
  let found = 0;
  for (let face = 0; face < 6; face += 1) {
    const axis = face >> 1;
    const up = (face & 1) === 1;
    const x = place[3 * cell]! + (axis === 0 ? (up ? size : -size) : 0);
    const y = place[3 * cell + 1]! + (axis === 1 ? (up ? size : -size) : 0);
    const z = place[3 * cell + 2]! + (axis === 2 ? (up ? size : -size) : 0);
    if (x < 0 || y < 0 || z < 0 || x >= last || y >= last || z >= last) continue;
    let other = 0;
    let bit = levels - 1;
    while (child[other]! >= 0 && level[other]! < level[cell]!) {
      other = child[other]! + ((x >> bit) & 1) + 2 * ((y >> bit) & 1) + 4 * ((z >> bit) & 1);
      bit -= 1;
    }
    // descend to the leaves on the near side: low side of `axis` when going up, high side when going down
    const { stack } = work;
    let top = 0;
    stack[top++] = other;
    while (top > 0) {
      const here = stack[--top]!;
      const below = child[here]!;
      if (below < 0) {
        if (found >= work.neighbour.length) work.neighbour = widen(work.neighbour, 2 * found);
        work.neighbour[found++] = here;
        continue;
      }
      for (let octant = 0; octant < 8; octant += 1) {
        if (((octant >> axis) & 1) === (up ? 0 : 1)) stack[top++] = below + octant;
      }
    }
  }
  return found;
}

/** Leaves room for `count` cells. */
function makeRoom(tree: CellTree, count: number): void {
  const capacity = tree.level.length;
  if (count <= capacity) return;
  const size = Math.max(count, 2 * capacity);
  tree.place = widen(tree.place, 3 * size);
  tree.level = widen(tree.level, size);
  tree.child = widen(tree.child, size);
  tree.distance = widen(tree.distance, size);
  tree.body = widen(tree.body, size);
  tree.kind = widen(tree.kind, size);
}

/** A longer copy, zeros at the end. */
function widen<T extends Int32Array | Uint8Array | Float64Array>(short: T, length: number): T {
  const long = new (short.constructor as new (n: number) => T)(length);
  long.set(short);
  return long;
}
