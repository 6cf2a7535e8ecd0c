/**
 * Whether the legs of a way are free for the body: stepping along by exact distances, which change no faster than the
 * point moves. A leg that is not is bent: its points are pushed away from the walls until they are free; a place where
 * that fails shuts its cell.
 */
import { type CellTree, cellKind, fenceRoom, locateCell, type SpaceModel, sampleSpace } from "../space/index.ts";
import type { RouteState, RouteWork } from "./route-state.ts";
import { walkCells } from "./walk-cells.ts";

const pushes = 10;

/**
 * Steps from a to b. Returns the share of the leg up to the first place that is not free, or a number above 1 when the
 * whole leg is: the distance is then nowhere less than need - grain.
 */
export function probeLine(
  space: SpaceModel,
  tree: CellTree,
  a: readonly number[],
  b: readonly number[],
  grain: number,
  work: RouteWork,
): number {
  const n = walkCells(tree, a[0]!, a[1]!, a[2]!, b[0]!, b[1]!, b[2]!, work.walk);
  if (n < 0) return 0;
  const length = Math.sqrt((b[0]! - a[0]!) ** 2 + (b[1]! - a[1]!) ** 2 + (b[2]! - a[2]!) ** 2);
  const { leaf, inside } = work.walk;
  const { points, answer } = work.cells;
  let from = 0;
  let at = 0;
  for (let i = 0; i < n; i += 1) {
    const to = from + inside[i]!;
    if (tree.kind[leaf[i]!] === cellKind.free) at = Math.max(at, to);
    while (at < to || (i === n - 1 && at <= length)) {
      const t = length > 0 ? Math.min(1, at / length) : 0;
      for (let k = 0; k < 3; k += 1) points[k] = a[k]! + t * (b[k]! - a[k]!);
      sampleSpace(space, points, 1, 3 * tree.need, answer, work.cells.space);
      const d = Math.min(answer.distance[0]!, tree.need + fenceRoom(tree, points[0]!, points[1]!, points[2]!));
      if (d < tree.need - 1e-9) return t;
      at += Math.max(d - tree.need, grain);
      if (t >= 1) break;
    }
    from = to;
  }
  return 2;
}

/**
 * Proves the leg number `state.proofLeg` of `state.way`, bending it where it must, and appends its corners to
 * `state.proven`. Returns false when it could not; the cell at fault is then shut.
 */
export function proveLeg(space: SpaceModel, state: RouteState, work: RouteWork): boolean {
  const tree = state.cells!;
  const grain = state.resolution / 16;
  const { way, proven } = state;
  const leg = 3 * state.proofLeg;
  const a = proven.slice(-3);
  const b = way.slice(leg + 3, leg + 6);
  if (probeLine(space, tree, a, b, grain, work) > 1) {
    proven.push(...b);
    return true;
  }
  const length = Math.sqrt((b[0]! - a[0]!) ** 2 + (b[1]! - a[1]!) ** 2 + (b[2]! - a[2]!) ** 2);
  const n = Math.max(1, Math.ceil(length / (0.75 * state.resolution)));
  let last = a;
  const corners: number[] = [];
  const isGoal = leg + 6 >= way.length;
  for (let i = 1; i <= n; i += 1) {
    const on = [0, 1, 2].map((k) => a[k]! + ((b[k]! - a[k]!) * i) / n);
    const pushed = isGoal && i === n ? on : pushFree(space, tree, on, 2 * state.resolution, work);
    if (pushed === null || probeLine(space, tree, last, pushed, grain, work) <= 1) {
      shutCell(state, on, last);
      return false;
    }
    corners.push(...pushed);
    last = pushed;
  }
  proven.push(...corners);
  return true;
}

/** Moves a point away from the nearest wall until it is free; null when that takes it further than `most`. */
export function pushFree(space: SpaceModel, tree: CellTree, from: readonly number[], most: number, work: RouteWork): number[] | null {
  const { points, answer } = work.cells;
  const p = [...from];
  const wanted = tree.need * 1.001;
  for (let push = 0; push < pushes; push += 1) {
    points.set(p);
    sampleSpace(space, points, 1, 2 * tree.need, answer, work.cells.space);
    const d = answer.distance[0]!;
    if (d >= tree.need && (d >= wanted || push > 3)) return p;
    const { closest } = answer;
    const nx = p[0]! - closest[0]!;
    const ny = p[1]! - closest[1]!;
    const nz = p[2]! - closest[2]!;
    const size = Math.sqrt(nx * nx + ny * ny + nz * nz);
    if (size < 1e-12) return null;
    const move = (wanted - d) / size;
    p[0]! += nx * move;
    p[1]! += ny * move;
    p[2]! += nz * move;
    if ((p[0]! - from[0]!) ** 2 + (p[1]! - from[1]!) ** 2 + (p[2]! - from[2]!) ** 2 > most * most) return null;
  }
  return null;
}

/** Shuts the cell at a place that could not be proven, or at the place before it when that one is known to be free. */
function shutCell(state: RouteState, place: readonly number[], before: readonly number[]): void {
  const tree = state.cells!;
  state.shutAt = [place[0]!, place[1]!, place[2]!];
  const n = 4;
  for (let i = n; i >= 0; i -= 1) {
    const p = [0, 1, 2].map((k) => before[k]! + ((place[k]! - before[k]!) * i) / n);
    const leaf = locateCell(tree, p[0]!, p[1]!, p[2]!);
    if (leaf < 0 || (tree.kind[leaf] !== cellKind.tight && tree.kind[leaf] !== cellKind.centre)) continue;
    tree.kind[leaf] = cellKind.shut;
    state.shut += 1;
    return;
  }
  // nothing fine lies there: the way clips the corner of coarse cells; shut the leaf at the place itself
  const leaf = locateCell(tree, place[0]!, place[1]!, place[2]!);
  tree.kind[leaf] = cellKind.shut;
  state.shut += 1;
}
