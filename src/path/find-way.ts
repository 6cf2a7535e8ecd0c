/**
 * The cheapest way over the octree from the port to a goal, cells that may yet prove free included at a price.
 *
 * Best first with the straight distance as a bound (every cost is at least the length); a cell may be reached straight
 * from the corner its neighbour was reached from (any-angle, no staircase); sharp turns cost what the arm's bend radius
 * makes of them. The mixed cells on the way found are split and the search begins again, so that fine cells appear only
 * where a way wants to go. When no way is left over free and mixed cells together, none exists at this resolution.
 */
import { type CellTree, cellCentre, cellEdge, cellKind, faceNeighbours, locateCell } from "../space/index.ts";
import { crossesCut } from "./cut-way.ts";
import { popHeap, pushHeap } from "./heap.ts";
import type { RouteRequest } from "./model.ts";
import type { RouteState, RouteWork, SearchState } from "./route-state.ts";
import { walkCells } from "./walk-cells.ts";

/** What nearness to a wall adds to the cost of a metre, at most. */
const wallPrice = 1;
/** Costs of a metre in cells not yet known to be free. */
const mixedPrice = { centreFree: 1.8, centreNot: 2.6, tight: 3 } as const;
/** Share of bend radius x turn^2 that a turn costs. */
const turnPrice = 0.35;
const detourPrice = 6;
/** Toll of small cells, as a share of the distance from the start to the goals. */
const toll = 0.02;
/** Rounds for which cells not yet known may still promise a better way than one that is known. */
const mostRefinements = 10;
/** Weight of the straight distance while any way will do. */
const haste = 1.5;

/** A search that has not begun. */
export function createSearch(): SearchState {
  return {
    phase: 0,
    heapKey: new Float64Array(256),
    heapCell: new Int32Array(256),
    heapCount: 0,
    cost: new Float64Array(0),
    price: new Float64Array(0),
    from: new Int32Array(0),
    mark: new Uint8Array(0),
    hasGoal: new Uint8Array(0),
    goalLeaf: new Int32Array(0),
    bestGoal: -1,
    bestCost: Number.POSITIVE_INFINITY,
    bestFrom: -1,
  };
}

/** Sizes and clears a search for the tree as it stands now. */
export function clearSearch(search: SearchState, tree: CellTree, goals: RouteState["goals"]): void {
  if (search.cost.length < tree.count) {
    const size = Math.max(tree.count, Math.min(2 * tree.count, tree.level.length));
    search.cost = new Float64Array(size);
    search.price = new Float64Array(size);
    search.from = new Int32Array(size);
    search.mark = new Uint8Array(size);
    search.hasGoal = new Uint8Array(size);
  } else {
    search.mark.fill(0);
    search.hasGoal.fill(0);
    search.price.fill(0);
  }
  search.heapCount = 0;
  search.goalLeaf = Int32Array.from(goals, (goal) => locateCell(tree, goal.point[0], goal.point[1], goal.point[2]));
  for (const leaf of search.goalLeaf) if (leaf >= 0) search.hasGoal[leaf] = 1;
  search.bestGoal = -1;
  search.bestCost = Number.POSITIVE_INFINITY;
  search.bestFrom = -1;
  search.phase = 1;
}

/** Settles up to `many` cells; `search.phase` says when a way was found (2) or there is none (3). */
export function stepFindWay(request: RouteRequest, state: RouteState, many: number, work: RouteWork): void {
  const tree = state.cells!;
  const search = state.search!;
  const { start } = request;
  const scratch = new Float64Array(6);
  if (search.phase === 0) {
    clearSearch(search, tree, state.goals);
    const first = locateCell(tree, start[0], start[1], start[2]);
    search.cost[first] = 0;
    search.from[first] = -2;
    search.mark[first] = 1;
    pushHeap(search, goalBound(state, start[0], start[1], start[2]), first);
  }
  for (let settled = 0; settled < many; settled += 1) {
    if (search.heapCount === 0 || search.heapKey[0]! >= search.bestCost) {
      search.phase = search.bestGoal >= 0 ? 2 : 3;
      return;
    }
    const key = search.heapKey[0]!;
    const cell = popHeap(search);
    if (search.mark[cell] === 3) continue;
    cellCentre(tree, cell, scratch);
    const bound = goalBound(state, scratch[0]!, scratch[1]!, scratch[2]!);
    if (!state.resolved) {
      // any way will do as yet: no second look
    } else if (search.mark[cell] === 1) {
      confirmCost(request, state, cell, scratch[0]!, scratch[1]!, scratch[2]!, work);
      search.mark[cell] = 2;
      if (search.cost[cell]! + bound > key + 1e-12) {
        pushHeap(search, search.cost[cell]! + bound, cell);
        continue;
      }
    } else if (search.cost[cell]! + bound > key + 1e-12) continue;
    search.mark[cell] = 3;
    reachGoals(request, state, cell, work);
    spread(state, cell, scratch, work);
  }
}

/** Offers a settled cell's neighbours the way over it, at an estimated cost. */
function spread(state: RouteState, cell: number, scratch: Float64Array, work: RouteWork): void {
  const tree = state.cells!;
  const search = state.search!;
  const n = faceNeighbours(tree, cell, work.cells);
  const { neighbour } = work.cells;
  cellCentre(tree, cell, scratch);
  const x = scratch[0]!;
  const y = scratch[1]!;
  const z = scratch[2]!;
  const price = leafPrice(state, cell);
  for (let i = 0; i < n; i += 1) {
    const next = neighbour[i]!;
    if (search.mark[next]! >= 2) continue;
    const nextPrice = leafPrice(state, next);
    if (nextPrice === Number.POSITIVE_INFINITY) continue;
    cellCentre(tree, next, scratch);
    const dx = scratch[0]! - x;
    const dy = scratch[1]! - y;
    const dz = scratch[2]! - z;
    const cost = search.cost[cell]! + 0.5 * (price + nextPrice) * Math.sqrt(dx * dx + dy * dy + dz * dz) + tollOf(state, next);
    if (search.mark[next] === 1 && cost >= search.cost[next]!) continue;
    if (state.cuts.length > 0 && crossesCut(state.cuts, x, y, z, scratch[0]!, scratch[1]!, scratch[2]!)) continue;
    search.mark[next] = 1;
    search.cost[next] = cost;
    search.from[next] = cell;
    pushHeap(search, cost + goalBound(state, scratch[0]!, scratch[1]!, scratch[2]!), next);
  }
}

/**
 * What entering a small cell that is not known to be free costs on top, in haste: most such cells are the skin of a wall, and
 * a wall is thin. A length of the order of the detour that it would save, so that the way known to go on is tried first.
 */
function tollOf(state: RouteState, cell: number): number {
  if (state.resolved) return 0;
  const tree = state.cells!;
  const kind = tree.kind[cell]!;
  if ((kind !== cellKind.mixed && kind !== cellKind.tight) || cellEdge(tree, cell) > 2 * tree.need) return 0;
  return toll * state.goalBall.far;
}

/** Replaces an estimated cost by that of the better of two legs: from the neighbour, or from where the neighbour came. */
function confirmCost(request: RouteRequest, state: RouteState, cell: number, x: number, y: number, z: number, work: RouteWork): void {
  const search = state.search!;
  const near = search.from[cell]!;
  let best = legCost(request, state, near, x, y, z, work);
  let from = near;
  if (near >= 0) {
    const far = search.from[near]!;
    const cost = legCost(request, state, far, x, y, z, work);
    if (cost <= best) {
      best = cost;
      from = far;
    }
  }
  if (best === Number.POSITIVE_INFINITY) return;
  search.cost[cell] = best;
  search.from[cell] = from;
}

/** Cost of reaching a point straight from a settled node, its own cost included; infinite where something blocks. */
function legCost(request: RouteRequest, state: RouteState, node: number, x: number, y: number, z: number, work: RouteWork): number {
  const tree = state.cells!;
  const a = nodePoint(request, tree, node);
  const n = walkCells(tree, a[0], a[1], a[2], x, y, z, work.walk);
  if (n < 0 || (state.cuts.length > 0 && crossesCut(state.cuts, a[0], a[1], a[2], x, y, z))) return Number.POSITIVE_INFINITY;
  let cost = node >= 0 ? state.search!.cost[node]! : 0;
  const { leaf, inside } = work.walk;
  for (let i = 0; i < n; i += 1) {
    if (inside[i]! > 0) cost += inside[i]! * leafPrice(state, leaf[i]!);
  }
  return cost + turnCost(request, state, node, a, [x, y, z]);
}

/** What turning at a node costs. */
function turnCost(
  request: RouteRequest,
  state: RouteState,
  node: number,
  a: readonly [number, number, number],
  b: readonly [number, number, number],
): number {
  let before: readonly [number, number, number] = request.startDirection;
  if (node >= 0) {
    const p = nodePoint(request, state.cells!, state.search!.from[node]!);
    before = [a[0] - p[0], a[1] - p[1], a[2] - p[2]];
  }
  return turnPrice * request.bendRadius * angleBetween(before, [b[0] - a[0], b[1] - a[1], b[2] - a[2]]) ** 2;
}

/** Goals in a settled leaf: are they reached more cheaply than any before? */
function reachGoals(request: RouteRequest, state: RouteState, cell: number, work: RouteWork): void {
  const search = state.search!;
  const { goalLeaf } = search;
  if (search.hasGoal[cell] === 0) return;
  for (let g = 0; g < goalLeaf.length; g += 1) {
    if (goalLeaf[g] !== cell) continue;
    const goal = state.goals[g]!;
    const [x, y, z] = goal.point;
    for (let node = cell, twice = 0; twice < 2; twice += 1, node = search.from[cell]!) {
      const a = nodePoint(request, state.cells!, node);
      const misfit = angleBetween([x - a[0], y - a[1], z - a[2]], goal.direction);
      const cost = legCost(request, state, node, x, y, z, work) + goal.extra + 2 * turnPrice * request.bendRadius * misfit * misfit;
      if (cost < search.bestCost) {
        search.bestCost = cost;
        search.bestGoal = g;
        search.bestFrom = node;
      }
      if (node < 0) break;
    }
  }
}

/** Price of a metre in a leaf, >= 1; infinite where it is blocked. Remembered for the length of one search. */
function leafPrice(state: RouteState, leaf: number): number {
  const { price } = state.search!;
  if (price[leaf] === 0) price[leaf] = setPrice(state, leaf);
  return price[leaf]!;
}

function setPrice(state: RouteState, leaf: number): number {
  const tree = state.cells!;
  const kind = tree.kind[leaf]!;
  if (kind === cellKind.blocked || kind === cellKind.shut) return Number.POSITIVE_INFINITY;
  const d = tree.distance[leaf]!;
  // once there is a way through known cells, others are tried only for a while
  if (kind === cellKind.mixed && state.refinements > mostRefinements) return Number.POSITIVE_INFINITY;
  let price: number;
  if (kind === cellKind.mixed) price = d >= tree.need ? mixedPrice.centreFree : mixedPrice.centreNot;
  else if (kind === cellKind.tight) price = mixedPrice.tight;
  else {
    const near = Math.max(0, 1 - (d - tree.need) / (1.5 * tree.need));
    price = 1 + wallPrice * near * near;
  }
  if (state.detours.length === 0) return price;
  const centre = new Float64Array(3);
  cellCentre(tree, leaf, centre);
  for (const detour of state.detours) {
    const dx = centre[0]! - detour.at[0];
    const dy = centre[1]! - detour.at[1];
    const dz = centre[2]! - detour.at[2];
    if (dx * dx + dy * dy + dz * dz < detour.radius * detour.radius) price *= detourPrice;
  }
  return price;
}

/** Least cost that any way from here to any goal can have, m: the distance to the ball around all goals; more in haste. */
export function goalBound(state: RouteState, x: number, y: number, z: number): number {
  const { at, radius, extra } = state.goalBall;
  const weight = state.resolved ? 1 : haste;
  const dx = at[0] - x;
  const dy = at[1] - y;
  const dz = at[2] - z;
  return weight * Math.max(0, Math.sqrt(dx * dx + dy * dy + dz * dz) - radius) + extra;
}

/** The ball around all goals, the least extra cost among them, and how far its centre is from the start. */
export function boundGoals(request: RouteRequest, goals: RouteState["goals"]): RouteState["goalBall"] {
  const at: [number, number, number] = [0, 0, 0];
  for (const goal of goals) for (let k = 0; k < 3; k += 1) at[k]! += goal.point[k]! / goals.length;
  let radius = 0;
  let extra = Number.POSITIVE_INFINITY;
  for (const { point, extra: more } of goals) {
    radius = Math.max(radius, Math.sqrt((point[0] - at[0]) ** 2 + (point[1] - at[1]) ** 2 + (point[2] - at[2]) ** 2));
    extra = Math.min(extra, more);
  }
  const { start } = request;
  const far = Math.sqrt((start[0] - at[0]) ** 2 + (start[1] - at[1]) ** 2 + (start[2] - at[2]) ** 2);
  return { at, radius, extra, far };
}

/** Corners of the way found, from the start to the goal's point: [k, 3], m. */
export function readWay(request: RouteRequest, state: RouteState): number[] {
  const search = state.search!;
  const backwards: (readonly [number, number, number])[] = [state.goals[search.bestGoal]!.point];
  for (let node = search.bestFrom; node >= 0; node = search.from[node]!) backwards.push(nodePoint(request, state.cells!, node));
  backwards.push(request.start);
  return backwards.reverse().flat();
}

function nodePoint(request: RouteRequest, tree: CellTree, node: number): readonly [number, number, number] {
  if (node < 0) return request.start;
  const centre = new Float64Array(3);
  cellCentre(tree, node, centre);
  return [centre[0]!, centre[1]!, centre[2]!];
}

/** Angle between two vectors, rad; 0 where one has no length. */
export function angleBetween(a: readonly [number, number, number], b: readonly [number, number, number]): number {
  const aa = a[0] * a[0] + a[1] * a[1] + a[2] * a[2];
  const bb = b[0] * b[0] + b[1] * b[1] + b[2] * b[2];
  if (aa < 1e-24 || bb < 1e-24) return 0;
  const ab = a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  return Math.acos(Math.min(1, Math.max(-1, ab / Math.sqrt(aa * bb))));
}
