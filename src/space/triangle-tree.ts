/**
 * A tree of boxes over triangles, flat and in double precision.
 *
 * Split by surface area in bins along the longest side of the middles (MacDonald and Booth 1990; bins after Wald 2007), in
 * place, n log n. A node's left child follows it; leaves hold runs of triangles whose corners lie in leaf order, so that a leaf
 * is read in one sweep.
 */

export interface TriangleTree {
  /** number of triangles */
  readonly count: number;
  /** [triangle, 9] corners in leaf order, m, world */
  readonly corners: Float64Array;
  /** [triangle] the index each had before */
  readonly order: Int32Array;
  /** [node, 6] min x, y, z, max x, y, z, m, world; wider than the triangles by `looseness` times their extent */
  readonly box: Float64Array;
  /** [node, 2] inner node: right child, 0; leaf: first triangle, how many (> 0) */
  readonly link: Int32Array;
}

/**
 * Boxes are this much wider than their triangles (times the extent of all), so that no rounding in a triangle's distance
 * takes it below its box's: the answer cannot depend on the order in which boxes are opened.
 */
const looseness = 1e-12;
const leafMost = 4;
const bins = 16;
/** From this depth on nodes are halved by count: no arrangement makes a tree deeper than this + 31. */
const depthMost = 48;
/** Enough for any tree: one open node a level. */
export const stackSize = depthMost + 64;
/** Cost of opening a box, in tests of a triangle. */
const boxCost = 0.6;

/** @param corners  [triangle, 9] m, world, all finite; kept by nobody */
export function createTriangleTree(corners: Float64Array): TriangleTree {
  const count = corners.length / 9;
  const build = createBuild(corners);
  growTree(build, count);
  const { order } = build;
  const sorted = new Float64Array(corners.length);
  for (let k = 0; k < count; k++) {
    const from = 9 * order[k]!;
    const at = 9 * k;
    for (let i = 0; i < 9; i++) sorted[at + i] = corners[from + i]!;
  }
  return { count, corners: sorted, order, box: build.box.slice(0, 6 * build.nodes), link: build.link.slice(0, 2 * build.nodes) };
}

interface Build {
  /** [triangle] in the order of the leaves so far */
  readonly order: Int32Array;
  /** [triangle, 6] box of each, in the same order */
  readonly one: Float64Array;
  box: Float64Array;
  link: Int32Array;
  nodes: number;
  readonly loose: number;
  /** [bin, 6] box of the triangles whose middle lies in a bin */
  readonly binBox: Float64Array;
  /** [bin] */
  readonly binCount: Int32Array;
  /** [bin] cost of what lies right of a cut before this bin */
  readonly rightCost: Float64Array;
  /** [6] scratch */
  readonly grown: Float64Array;
}

function createBuild(corners: Float64Array): Build {
  const count = corners.length / 9;
  const order = new Int32Array(count);
  const one = new Float64Array(6 * count);
  let extent = 0;
  for (let k = 0; k < count; k++) {
    order[k] = k;
    for (let i = 0; i < 3; i++) {
      const a = corners[9 * k + i]!;
      const b = corners[9 * k + 3 + i]!;
      const c = corners[9 * k + 6 + i]!;
      const low = a < b ? (a < c ? a : c) : b < c ? b : c;
      const high = a > b ? (a > c ? a : c) : b > c ? b : c;
      one[6 * k + i] = low;
      one[6 * k + 3 + i] = high;
      if (high > extent) extent = high;
      if (-low > extent) extent = -low;
    }
  }
  const capacity = Math.max(1, Math.ceil(count / 2));
  return {
    order,
    one,
    box: new Float64Array(6 * capacity),
    link: new Int32Array(2 * capacity),
    nodes: 0,
    loose: looseness * extent,
    binBox: new Float64Array(bins * 6),
    binCount: new Int32Array(bins),
    rightCost: new Float64Array(bins),
    grown: new Float64Array(6),
  };
}

/** Opens nodes depth first; the stack holds first, count, depth and the node whose right child this is (-1: none). */
function growTree(build: Build, count: number): void {
  if (count === 0) return;
  const stack = new Int32Array(4 * stackSize);
  stack.set([0, count, 0, -1]);
  let top = 4;
  while (top > 0) {
    const parent = stack[--top]!;
    const depth = stack[--top]!;
    const n = stack[--top]!;
    const first = stack[--top]!;
    const node = takeNode(build);
    if (parent >= 0) build.link[2 * parent] = node;
    const left = splitNode(build, node, first, n, depth);
    if (left === 0) {
      build.link[2 * node] = first;
      build.link[2 * node + 1] = n;
      continue;
    }
    build.link[2 * node + 1] = 0;
    stack[top++] = first + left;
    stack[top++] = n - left;
    stack[top++] = depth + 1;
    stack[top++] = node;
    stack[top++] = first;
    stack[top++] = left;
    stack[top++] = depth + 1;
    stack[top++] = -1;
  }
}

function takeNode(build: Build): number {
  if (6 * build.nodes >= build.box.length) {
    const box = new Float64Array(2 * build.box.length);
    box.set(build.box);
    build.box = box;
    const link = new Int32Array(2 * build.link.length);
    link.set(build.link);
    build.link = link;
  }
  return build.nodes++;
}

/** Writes the node's box. @returns how many of its triangles, now in front, go left; 0 for a leaf */
function splitNode(build: Build, node: number, first: number, n: number, depth: number): number {
  const { one, box, loose } = build;
  let [x0, y0, z0, x1, y1, z1] = [Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity];
  // twice the middles
  let [u0, v0, w0, u1, v1, w1] = [Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity];
  for (let at = 6 * first; at < 6 * (first + n); at += 6) {
    const lx = one[at]!;
    const ly = one[at + 1]!;
    const lz = one[at + 2]!;
    const hx = one[at + 3]!;
    const hy = one[at + 4]!;
    const hz = one[at + 5]!;
    if (lx < x0) x0 = lx;
    if (ly < y0) y0 = ly;
    if (lz < z0) z0 = lz;
    if (hx > x1) x1 = hx;
    if (hy > y1) y1 = hy;
    if (hz > z1) z1 = hz;
    const u = lx + hx;
    const v = ly + hy;
    const w = lz + hz;
    if (u < u0) u0 = u;
    if (u > u1) u1 = u;
    if (v < v0) v0 = v;
    if (v > v1) v1 = v;
    if (w < w0) w0 = w;
    if (w > w1) w1 = w;
  }
  const at = 6 * node;
  box[at] = x0 - loose;
  box[at + 1] = y0 - loose;
  box[at + 2] = z0 - loose;
  box[at + 3] = x1 + loose;
  box[at + 4] = y1 + loose;
  box[at + 5] = z1 + loose;
  if (n === 1) return 0;
  const axis = u1 - u0 >= v1 - v0 && u1 - u0 >= w1 - w0 ? 0 : v1 - v0 >= w1 - w0 ? 1 : 2;
  const low = axis === 0 ? u0 : axis === 1 ? v0 : w0;
  const wide = axis === 0 ? u1 - u0 : axis === 1 ? v1 - v0 : w1 - w0;
  const scale = bins / wide;
  // all in one place, or too fine to tell apart: by count
  if (depth >= depthMost || !(wide > 0 && scale < Infinity)) return n <= leafMost ? 0 : n >> 1;
  fillBins(build, first, n, axis, low, scale);
  const area = (x1 - x0) * (y1 - y0) + (y1 - y0) * (z1 - z0) + (z1 - z0) * (x1 - x0);
  const cut = findCut(build, n, area);
  if (cut < 0) return 0;
  return partition(build, first, n, axis, low, scale, cut);
}

function fillBins(build: Build, first: number, n: number, axis: number, low: number, scale: number): void {
  const { one, binBox, binCount } = build;
  for (let bin = 0; bin < bins; bin++) {
    binCount[bin] = 0;
    emptyBox(binBox, 6 * bin);
  }
  for (let at = 6 * first; at < 6 * (first + n); at += 6) {
    let bin = ((one[at + axis]! + one[at + axis + 3]! - low) * scale) | 0;
    if (bin >= bins) bin = bins - 1;
    binCount[bin] = binCount[bin]! + 1;
    growBox(binBox, 6 * bin, one, at);
  }
}

/** @returns the last bin left of the cheapest cut; -1 where a leaf is cheaper. The first and last bin are never empty. */
function findCut(build: Build, n: number, area: number): number {
  const { binBox, binCount, rightCost, grown } = build;
  emptyBox(grown, 0);
  let many = 0;
  for (let bin = bins - 1; bin > 0; bin--) {
    growBox(grown, 0, binBox, 6 * bin);
    many += binCount[bin]!;
    rightCost[bin] = many * halfArea(grown);
  }
  emptyBox(grown, 0);
  many = 0;
  let cut = -1;
  let least = Infinity;
  for (let bin = 0; bin + 1 < bins; bin++) {
    growBox(grown, 0, binBox, 6 * bin);
    many += binCount[bin]!;
    const cost = many * halfArea(grown) + rightCost[bin + 1]!;
    if (cost < least) {
      least = cost;
      cut = bin;
    }
  }
  return n <= leafMost && (n - 2 * boxCost) * area <= least ? -1 : cut;
}

function emptyBox(box: Float64Array, at: number): void {
  box[at] = box[at + 1] = box[at + 2] = Infinity;
  box[at + 3] = box[at + 4] = box[at + 5] = -Infinity;
}

function growBox(box: Float64Array, at: number, by: Float64Array, from: number): void {
  if (by[from]! < box[at]!) box[at] = by[from]!;
  if (by[from + 1]! < box[at + 1]!) box[at + 1] = by[from + 1]!;
  if (by[from + 2]! < box[at + 2]!) box[at + 2] = by[from + 2]!;
  if (by[from + 3]! > box[at + 3]!) box[at + 3] = by[from + 3]!;
  if (by[from + 4]! > box[at + 4]!) box[at + 4] = by[from + 4]!;
  if (by[from + 5]! > box[at + 5]!) box[at + 5] = by[from + 5]!;
}

function halfArea(box: Float64Array): number {
  const x = box[3]! - box[0]!;
  const y = box[4]! - box[1]!;
  const z = box[5]! - box[2]!;
  return x * y + y * z + z * x;
}

/** Brings the triangles left of the cut to the front, their boxes with them. */
function partition(build: Build, first: number, n: number, axis: number, low: number, scale: number, cut: number): number {
  const { order, one } = build;
  let left = first;
  let right = first + n - 1;
  while (left <= right) {
    let bin = ((one[6 * left + axis]! + one[6 * left + axis + 3]! - low) * scale) | 0;
    if (bin >= bins) bin = bins - 1;
    if (bin <= cut) {
      left++;
      continue;
    }
    const triangle = order[right]!;
    order[right] = order[left]!;
    order[left] = triangle;
    for (let i = 0; i < 6; i++) {
      const value = one[6 * right + i]!;
      one[6 * right + i] = one[6 * left + i]!;
      one[6 * left + i] = value;
    }
    right--;
  }
  return left - first;
}
