/**
 * A tree of boxes over triangles, flat and in double precision.
 *
 * Split by binned surface area (MacDonald and Booth 1990; bins after Wald 2007), in place, n log n. A node's left child
 * follows it; leaves hold runs of triangles whose corners lie in leaf order, so that a leaf is read in one sweep.
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
  const order = new Int32Array(count);
  for (let k = 0; k < count; k++) order[k] = k;
  const build = createBuild(corners, order);
  growTree(build, count);
  const sorted = new Float64Array(corners.length);
  for (let k = 0; k < count; k++) {
    const from = 9 * order[k]!;
    for (let i = 0; i < 9; i++) sorted[9 * k + i] = corners[from + i]!;
  }
  return { count, corners: sorted, order, box: build.box.slice(0, 6 * build.nodes), link: build.link.slice(0, 2 * build.nodes) };
}

interface Build {
  readonly corners: Float64Array;
  readonly order: Int32Array;
  box: Float64Array;
  link: Int32Array;
  nodes: number;
  readonly loose: number;
  /** [6] box of the triangle last looked at */
  readonly one: Float64Array;
  /** [6] box of the middles of a node's triangles (twice their value) */
  readonly middle: Float64Array;
  /** [axis, bin, 6] */
  readonly binBox: Float64Array;
  /** [axis, bin] */
  readonly binCount: Int32Array;
  /** [bin] area to the right of a cut, m^2 */
  readonly rightArea: Float64Array;
  /** result of the search for a cut: its axis (-1: none worth it) and the last bin on the left */
  cutAxis: number;
  cutBin: number;
}

function createBuild(corners: Float64Array, order: Int32Array): Build {
  let extent = 0;
  for (let k = 0; k < corners.length; k++) {
    const size = Math.abs(corners[k]!);
    if (size > extent) extent = size;
  }
  const capacity = Math.max(1, Math.ceil(order.length / 2));
  return {
    corners,
    order,
    box: new Float64Array(6 * capacity),
    link: new Int32Array(2 * capacity),
    nodes: 0,
    loose: looseness * extent,
    one: new Float64Array(6),
    middle: new Float64Array(6),
    binBox: new Float64Array(3 * bins * 6),
    binCount: new Int32Array(3 * bins),
    rightArea: new Float64Array(bins),
    cutAxis: -1,
    cutBin: 0,
  };
}

/** Opens nodes depth first; the stack holds first, count, depth and the node whose right child this is (-1: none). */
function growTree(build: Build, count: number): void {
  if (count === 0) return;
  const stack = new Int32Array(4 * stackSize);
  let top = 0;
  const push = (first: number, n: number, depth: number, parent: number): void => {
    stack[top++] = first;
    stack[top++] = n;
    stack[top++] = depth;
    stack[top++] = parent;
  };
  push(0, count, 0, -1);
  while (top > 0) {
    const parent = stack[--top]!;
    const depth = stack[--top]!;
    const n = stack[--top]!;
    const first = stack[--top]!;
    const node = takeNode(build);
    if (parent >= 0) build.link[2 * parent] = node;
    boundNode(build, node, first, n);
    const left = n <= 1 ? 0 : splitNode(build, node, first, n, depth);
    if (left === 0) {
      build.link[2 * node] = first;
      build.link[2 * node + 1] = n;
      continue;
    }
    build.link[2 * node + 1] = 0;
    push(first + left, n - left, depth + 1, node);
    push(first, left, depth + 1, -1);
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

/** Writes the node's box and the box of its triangles' middles. */
function boundNode(build: Build, node: number, first: number, n: number): void {
  const { box, order, one, middle, loose } = build;
  const at = 6 * node;
  for (let i = 0; i < 3; i++) {
    box[at + i] = middle[i] = Infinity;
    box[at + 3 + i] = middle[3 + i] = -Infinity;
  }
  for (let k = first; k < first + n; k++) {
    boundTriangle(build, order[k]!);
    for (let i = 0; i < 3; i++) {
      const low = one[i]!;
      const high = one[3 + i]!;
      if (low < box[at + i]!) box[at + i] = low;
      if (high > box[at + 3 + i]!) box[at + 3 + i] = high;
      const twice = low + high;
      if (twice < middle[i]!) middle[i] = twice;
      if (twice > middle[3 + i]!) middle[3 + i] = twice;
    }
  }
  for (let i = 0; i < 3; i++) {
    box[at + i] = box[at + i]! - loose;
    box[at + 3 + i] = box[at + 3 + i]! + loose;
  }
}

function boundTriangle(build: Build, triangle: number): void {
  const { corners, one } = build;
  const at = 9 * triangle;
  for (let i = 0; i < 3; i++) {
    const a = corners[at + i]!;
    const b = corners[at + 3 + i]!;
    const c = corners[at + 6 + i]!;
    one[i] = a < b ? (a < c ? a : c) : b < c ? b : c;
    one[3 + i] = a > b ? (a > c ? a : c) : b > c ? b : c;
  }
}

/** @returns how many of the node's triangles, now in front, go left; 0 for a leaf */
function splitNode(build: Build, node: number, first: number, n: number, depth: number): number {
  if (depth < depthMost) {
    fillBins(build, first, n);
    findCut(build, node, n);
    if (build.cutAxis >= 0) return partition(build, first, n);
  }
  return n <= leafMost ? 0 : n >> 1;
}

function fillBins(build: Build, first: number, n: number): void {
  const { order, one, middle, binBox, binCount } = build;
  binCount.fill(0);
  for (let k = 0; k < binBox.length; k += 6) {
    for (let i = 0; i < 3; i++) {
      binBox[k + i] = Infinity;
      binBox[k + 3 + i] = -Infinity;
    }
  }
  for (let k = first; k < first + n; k++) {
    boundTriangle(build, order[k]!);
    for (let axis = 0; axis < 3; axis++) {
      const slot = axis * bins + binOf(one[axis]! + one[3 + axis]!, middle[axis]!, middle[3 + axis]!);
      binCount[slot] = binCount[slot]! + 1;
      const at = 6 * slot;
      for (let i = 0; i < 3; i++) {
        if (one[i]! < binBox[at + i]!) binBox[at + i] = one[i]!;
        if (one[3 + i]! > binBox[at + 3 + i]!) binBox[at + 3 + i] = one[3 + i]!;
      }
    }
  }
}

function binOf(value: number, low: number, high: number): number {
  if (!(high > low)) return 0;
  const bin = Math.floor((bins * (value - low)) / (high - low));
  return bin < 0 ? 0 : bin >= bins ? bins - 1 : bin;
}

/** Sets `cutAxis` and `cutBin` to the cheapest cut, `cutAxis` to -1 where a leaf is cheaper or no cut parts the triangles. */
function findCut(build: Build, node: number, n: number): void {
  const { box, binBox, binCount, rightArea, one } = build;
  const whole = halfArea(box, 6 * node);
  let least = n <= leafMost ? n : Infinity;
  build.cutAxis = -1;
  for (let axis = 0; axis < 3; axis++) {
    emptyBox(one);
    for (let bin = bins - 1; bin > 0; bin--) {
      growBox(one, binBox, 6 * (axis * bins + bin));
      rightArea[bin] = halfArea(one, 0);
    }
    emptyBox(one);
    let left = 0;
    for (let bin = 0; bin + 1 < bins; bin++) {
      left += binCount[axis * bins + bin]!;
      growBox(one, binBox, 6 * (axis * bins + bin));
      if (left === 0 || left === n) continue;
      const cost = boxCost * 2 + (left * halfArea(one, 0) + (n - left) * rightArea[bin + 1]!) / whole;
      // a flat or tiny node has no area: any cut will do
      if (cost < least || (build.cutAxis < 0 && least === Infinity)) {
        least = cost;
        build.cutAxis = axis;
        build.cutBin = bin;
      }
    }
  }
}

function emptyBox(box: Float64Array): void {
  for (let i = 0; i < 3; i++) {
    box[i] = Infinity;
    box[3 + i] = -Infinity;
  }
}

function growBox(box: Float64Array, by: Float64Array, at: number): void {
  for (let i = 0; i < 3; i++) {
    if (by[at + i]! < box[i]!) box[i] = by[at + i]!;
    if (by[at + 3 + i]! > box[3 + i]!) box[3 + i] = by[at + 3 + i]!;
  }
}

/** Half the surface of a box, 0 for an empty one. */
function halfArea(box: Float64Array, at: number): number {
  const x = box[at + 3]! - box[at]!;
  const y = box[at + 4]! - box[at + 1]!;
  const z = box[at + 5]! - box[at + 2]!;
  return x < 0 ? 0 : x * y + y * z + z * x;
}

/** Brings the triangles left of the cut to the front. */
function partition(build: Build, first: number, n: number): number {
  const { order, one, middle, cutAxis, cutBin } = build;
  let low = first;
  let high = first + n - 1;
  while (low <= high) {
    boundTriangle(build, order[low]!);
    if (binOf(one[cutAxis]! + one[3 + cutAxis]!, middle[cutAxis]!, middle[3 + cutAxis]!) <= cutBin) {
      low++;
      continue;
    }
    const other = order[high]!;
    order[high--] = order[low]!;
    order[low] = other;
  }
  return low - first;
}
