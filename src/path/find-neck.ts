/**
 * The widest way there is, whatever the body needs: of all ways from the port to the target the one whose narrowest place
 * is widest, and that place. Best first by an upper bound of the clearance in a cell (distance at its centre and its
 * half-diagonal); a cell whose bound is what counts is split when it is taken up, so that only what may hold the neck
 * is ever refined.
 */
import {
  cellCentre,
  cellEdge,
  cellKind,
  cellReach,
  faceNeighbours,
  fenceRoom,
  locateCell,
  type SpaceModel,
  sampleSpace,
  splitCells,
} from "../space/index.ts";
import { clearSearch, goalBound } from "./find-way.ts";
import { popHeap, pushHeap } from "./heap.ts";
import type { RouteRequest } from "./model.ts";
import type { RouteState, RouteWork, SearchState } from "./route-state.ts";

/** Most cells the octree may grow to for this. */
const mostCells = 500_000;
/** Any way wider than this multiple of the need is as good as another: those are sought straight towards the goals. */
const wideEnough = 1.02;

/** Cells are split down to this share of the need; the neck itself is then measured exactly. */
const finestShare = 0.4;
/** Cells split in one batch. */
const together = 24;

/** A place of a passage. */
export interface Passage {
  /** [3] m */
  readonly place: readonly [number, number, number];
  /** free radius there, m */
  readonly free: number;
  /** body that makes it, -1 for none */
  readonly body: number;
}

/** The narrowest place of the widest way. */
export interface Neck extends Passage {
  /** [3] unit vector along the way there */
  readonly along: readonly [number, number, number];
  /** [k, 3] the way from the start to the neck, and on from it to the goal, m */
  readonly before: readonly number[];
  readonly after: readonly number[];
  /** nothing wider than this exists, m */
  readonly bound: number;
}

/** Below this free radius two sides count as walled off from one another, m. */
export function closedBelow(state: RouteState): number {
  return Math.max(1.4 * state.resolution, 0.5 * finestShare * Math.sqrt(3) * state.cells!.need);
}

/**
 * Takes up to `many` cells. `search.phase` 2: a way found, `search.bestCost` wide at most (just above the need when it is
 * wider than that); 3: none wider than `closedBelow`, or the octree is full: none wider than `search.bestCost`.
 */
export function stepFindNeck(space: SpaceModel, request: RouteRequest, state: RouteState, many: number, work: RouteWork): void {
  const tree = state.cells!;
  const search = state.search!;
  if (search.phase === 0) {
    clearSearch(search, tree, state.goals);
    const first = locateCell(tree, ...request.start);
    offer(state, first, bound(state, first), -2);
  }
  const least = closedBelow(state);
  const waiting: number[] = [];
  for (let taken = 0; taken < many; taken += 1) {
    if (search.heapCount === 0 || -search.heapKey[0]! < least || tree.count > mostCells) {
      // where nothing is left at all, nothing as wide as the finest cells can tell from nothing
      search.bestCost = search.heapCount > 0 ? search.cost[search.heapCell[0]!]! : least;
      if (waiting.length === 0) {
        search.phase = 3;
        return;
      }
      open(space, request, state, waiting, work);
      continue;
    }
    // cells of about the same width are split together
    if (waiting.length > 0 && (waiting.length >= together || search.cost[search.heapCell[0]!]! < 0.97 * search.cost[waiting[0]!]!)) {
      open(space, request, state, waiting, work);
      continue;
    }
    const cell = popHeap(search);
    if (search.mark[cell] === 3) continue;
    const width = search.cost[cell]!;
    if (unresolved(state, cell, width)) {
      search.mark[cell] = 3;
      waiting.push(cell);
      continue;
    }
    search.mark[cell] = 3;
    for (let g = 0; g < search.goalLeaf.length; g += 1) {
      if (search.goalLeaf[g] !== cell) continue;
      if (waiting.length > 0) break;
      search.bestGoal = g;
      search.bestFrom = cell;
      search.bestCost = width;
      search.phase = 2;
      return;
    }
    if (waiting.length > 0 && search.goalLeaf.includes(cell)) {
      // what waits may be wider: this goal has to wait for it
      search.mark[cell] = 1;
      pushHeap(search, keyOf(state, cell, width), cell);
      open(space, request, state, waiting, work);
      continue;
    }
    const n = faceNeighbours(tree, cell, work.cells);
    for (let i = 0; i < n; i += 1) {
      const next = work.cells.neighbour[i]!;
      if (search.mark[next] !== 3) offer(state, next, Math.min(width, bound(state, next)), cell);
    }
  }
  if (waiting.length > 0) open(space, request, state, waiting, work);
}

/** Whether a cell may be split and has to be before it is passed through: its centre may promise too much. */
function unresolved(state: RouteState, cell: number, width: number): boolean {
  const tree = state.cells!;
  if (tree.level[cell]! >= tree.levels || cellEdge(tree, cell) < finestShare * tree.need) return false;
  return tree.distance[cell]! - cellReach(tree, cell) < width || crossesFence(state, cell);
}

/** Splits cells and offers their children what lies about them. */
function open(space: SpaceModel, request: RouteRequest, state: RouteState, waiting: number[], work: RouteWork): void {
  const tree = state.cells!;
  const search = state.search!;
  const cells = Int32Array.from(waiting);
  waiting.length = 0;
  splitCells(tree, cells, cells.length, space, work.cells);
  fitSearch(search, tree.count);
  for (const cell of cells) for (let octant = 0; octant < 8; octant += 1) search.mark[tree.child[cell]! + octant] = 0;
  for (let g = 0; g < state.goals.length; g += 1) {
    const { point } = state.goals[g]!;
    if (tree.child[search.goalLeaf[g]!]! >= 0) search.goalLeaf[g] = locateCell(tree, ...point);
  }
  const first = locateCell(tree, ...request.start);
  for (const cell of cells) {
    for (let octant = 0; octant < 8; octant += 1) {
      const made = tree.child[cell]! + octant;
      if (made === first) offer(state, made, bound(state, made), -2);
      reach(state, made, work);
    }
  }
}

/** Offers a cell what the settled cells about it have. */
function reach(state: RouteState, cell: number, work: RouteWork): void {
  const search = state.search!;
  const most = bound(state, cell);
  const n = faceNeighbours(state.cells!, cell, work.cells);
  for (let i = 0; i < n; i += 1) {
    const next = work.cells.neighbour[i]!;
    if (search.mark[next] === 3) offer(state, cell, Math.min(search.cost[next]!, most), next);
  }
}

function offer(state: RouteState, cell: number, width: number, from: number): void {
  const search = state.search!;
  if (width < 0 || (search.mark[cell] === 1 && width <= search.cost[cell]!)) return;
  search.mark[cell] = 1;
  search.cost[cell] = width;
  search.from[cell] = from;
  pushHeap(search, keyOf(state, cell, width), cell);
}

/** Whether a cell lies across the fence and is too large to be judged by its centre. */
function crossesFence(state: RouteState, cell: number): boolean {
  const tree = state.cells!;
  return tree.kind[cell] === cellKind.mixed && tree.distance[cell]! - cellReach(tree, cell) >= tree.need;
}

/** Widest first; among those that are wide enough the nearest to a goal. */
function keyOf(state: RouteState, cell: number, width: number): number {
  if (width < wideEnough * state.cells!.need) return -width;
  const centre = new Float64Array(3);
  cellCentre(state.cells!, cell, centre);
  return -width - 1 / (1 + goalBound(state, centre[0]!, centre[1]!, centre[2]!));
}

/** Most free radius that a cell can hold, as far as it matters; -1 outside the fence. */
function bound(state: RouteState, cell: number): number {
  const tree = state.cells!;
  const half = cellReach(tree, cell);
  if (tree.kind[cell] === cellKind.blocked) {
    const centre = new Float64Array(3);
    cellCentre(tree, cell, centre);
    const room = fenceRoom(tree, centre[0]!, centre[1]!, centre[2]!);
    if (room + half < 0 || (room < 0 && cellEdge(tree, cell) <= tree.need)) return -1;
  }
  return Math.min(wideEnough * tree.need, tree.distance[cell]! + half);
}

function fitSearch(search: SearchState, count: number): void {
  if (search.cost.length >= count) return;
  const size = 2 * count;
  const cost = new Float64Array(size);
  cost.set(search.cost);
  search.cost = cost;
  const from = new Int32Array(size);
  from.set(search.from);
  search.from = from;
  const mark = new Uint8Array(size);
  mark.set(search.mark);
  search.mark = mark;
}

/**
 * The neck of the way found: the cell of the least bound, sharpened: across the way the widest place, along it the
 * narrowest of those.
 */
export function readNeck(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): Neck {
  const tree = state.cells!;
  const search = state.search!;
  const cells: number[] = [];
  for (let cell = search.bestFrom; cell >= 0; cell = search.from[cell]!) cells.push(cell);
  cells.reverse();
  let at = 0;
  for (let i = 1; i < cells.length; i += 1) if (tree.distance[cells[i]!]! < tree.distance[cells[at]!]!) at = i;
  const centre = new Float64Array(3);
  const place = (i: number): [number, number, number] => {
    cellCentre(tree, cells[Math.min(cells.length - 1, Math.max(0, i))]!, centre);
    return [centre[0]!, centre[1]!, centre[2]!];
  };
  const before = place(at - 3);
  const after = place(at + 3);
  const along: [number, number, number] = [after[0] - before[0], after[1] - before[1], after[2] - before[2]];
  const best = narrowestNear(space, place(at), along, 2 * state.resolution, work);
  const size = Math.sqrt(along[0] ** 2 + along[1] ** 2 + along[2] ** 2);
  const corners = cells.flatMap((_, i) => place(i));
  return {
    ...best,
    bound: search.bestCost,
    along: size > 0 ? [along[0] / size, along[1] / size, along[2] / size] : [0, 0, 1],
    before: [...request.start, ...corners.slice(0, 3 * at), ...best.place],
    after: [...best.place, ...corners.slice(3 * at + 3)],
  };
}

/** The way from the start to the place nearest to the goals that the search came to: [k, 3], m. */
export function readReached(request: RouteRequest, state: RouteState): number[] {
  const tree = state.cells!;
  const search = state.search!;
  const centre = new Float64Array(3);
  let nearest = -1;
  let least = Number.POSITIVE_INFINITY;
  for (let cell = 0; cell < tree.count; cell += 1) {
    if (search.mark[cell] !== 3 || tree.child[cell]! >= 0 || tree.distance[cell]! < 0) continue;
    cellCentre(tree, cell, centre);
    const far = goalBound(state, centre[0]!, centre[1]!, centre[2]!);
    if (far >= least) continue;
    least = far;
    nearest = cell;
  }
  const corners: number[][] = [];
  for (let cell = nearest; cell >= 0; cell = search.from[cell]!) {
    cellCentre(tree, cell, centre);
    corners.push([centre[0]!, centre[1]!, centre[2]!]);
  }
  return [...request.start, ...corners.reverse().flat()];
}

/**
 * The narrowest place of the passage about a place: across the way the widest, along it the narrowest of those.
 *
 * @param along  [3] direction of the way, of any length
 * @param first  first step of the search, m
 */
export function narrowestNear(
  space: SpaceModel,
  from: readonly [number, number, number],
  along: readonly [number, number, number],
  first: number,
  work: RouteWork,
): Passage {
  const size = Math.sqrt(along[0] ** 2 + along[1] ** 2 + along[2] ** 2);
  const way: [number, number, number] = size > 0 ? [along[0] / size, along[1] / size, along[2] / size] : [0, 0, 1];
  let p: readonly [number, number, number] = from;
  let reach = first;
  let best = widestAcross(space, p, way, reach, work);
  for (let round = 0; round < 8; round += 1) {
    let narrowest = best;
    let shift = 0;
    for (const step of [-1, 1]) {
      const q: [number, number, number] = [p[0] + step * reach * way[0], p[1] + step * reach * way[1], p[2] + step * reach * way[2]];
      const there = widestAcross(space, q, way, reach, work);
      if (there.free < narrowest.free - 1e-9) {
        narrowest = there;
        shift = step;
      }
    }
    best = narrowest;
    p = best.place;
    if (shift === 0) reach *= 0.5;
  }
  return best;
}

/** The widest place in the plane across `along`, by a shrinking pattern. */
function widestAcross(
  space: SpaceModel,
  from: readonly [number, number, number],
  along: readonly [number, number, number],
  reach: number,
  work: RouteWork,
): Passage {
  const least =
    Math.abs(along[0]) <= Math.abs(along[1]) && Math.abs(along[0]) <= Math.abs(along[2])
      ? 0
      : Math.abs(along[1]) <= Math.abs(along[2])
        ? 1
        : 2;
  const e = [0, 0, 0];
  e[least] = 1;
  const on = along[least]!;
  const u = [e[0]! - on * along[0], e[1]! - on * along[1], e[2]! - on * along[2]];
  const size = Math.sqrt(u[0]! ** 2 + u[1]! ** 2 + u[2]! ** 2);
  for (let k = 0; k < 3; k += 1) u[k]! /= size;
  const v = [along[1] * u[2]! - along[2] * u[1]!, along[2] * u[0]! - along[0] * u[2]!, along[0] * u[1]! - along[1] * u[0]!];
  const { points, answer } = work.cells;
  let place: [number, number, number] = [...from];
  let free = Number.NEGATIVE_INFINITY;
  let body = -1;
  for (let step = reach; step > 1e-3 * reach; ) {
    const n = 9;
    for (let i = 0; i < n; i += 1) {
      const angle = (2 * Math.PI * i) / 8;
      const r = i === 8 ? 0 : step;
      for (let k = 0; k < 3; k += 1) points[3 * i + k] = place[k]! + r * (Math.cos(angle) * u[k]! + Math.sin(angle) * v[k]!);
    }
    sampleSpace(space, points, n, 1e3, answer, work.cells.space);
    let best = 8;
    for (let i = 0; i < n; i += 1) if (answer.distance[i]! > answer.distance[best]! + (best === 8 ? 1e-4 * step : 0)) best = i;
    free = answer.distance[best]!;
    body = answer.body[best]!;
    if (best === 8) step *= 0.5;
    else place = [points[3 * best]!, points[3 * best + 1]!, points[3 * best + 2]!];
    if (Math.abs(place[0] - from[0]) + Math.abs(place[1] - from[1]) + Math.abs(place[2] - from[2]) > 12 * reach) break;
  }
  return { place, free, body };
}
