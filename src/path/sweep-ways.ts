/**
 * Whether one way can be moved over into another by straight strings between them that are free: each string joins a place of
 * the one with a place of the other, and both ends only ever go on. Where it can, the two are one way, proven: a string of
 * half the body's room passes from one to the other without a touch. Where it cannot, something stands between them.
 */
import { type SpaceModel, sampleSpace } from "../space/index.ts";
import { seenShare } from "./cut-way.ts";
import type { RouteWork } from "./route-state.ts";
import { wayAt, wayLength } from "./smooth-model.ts";

/** Most places of a way; where it is so long that they lie further apart than the need, nothing is proven by a sweep. */
const mostPlaces = 400;

/** Shares of the two ways that a string joins differ by no more than this: what needs more is told as two. */
const mostLag = 0.3;

/** Plain data. */
export interface SweepState {
  /** [n, 3] and [m, 3] places of the two ways, m */
  readonly one: readonly number[];
  readonly other: readonly number[];
  /** [n * m] 0 not asked, 1 waiting, 2 free, 3 not free */
  mark: Uint8Array;
  /** pairs waiting, the nearest to the end last */
  waiting: number[];
  /** 0 running, 1 one way, 2 two ways */
  phase: number;
}

export function createSweep(one: readonly number[], other: readonly number[], need: number): SweepState {
  const a = placesOf(one, need);
  const b = placesOf(other, need);
  const mark = new Uint8Array((a.length / 3) * (b.length / 3));
  mark[0] = 1;
  return { one: a, other: b, mark, waiting: [0], phase: 0 };
}

/** Asks for up to `many` strings. */
export function stepSweep(space: SpaceModel, need: number, many: number, state: SweepState, work: RouteWork): void {
  const { one, other, mark, waiting } = state;
  const n = one.length / 3;
  const m = other.length / 3;
  for (let asked = 0; asked < many && state.phase === 0; asked += 1) {
    const pair = waiting.pop();
    if (pair === undefined) {
      state.phase = 2;
      return;
    }
    const i = Math.floor(pair / m);
    const j = pair % m;
    if (!isFree(space, one, 3 * i, other, 3 * j, need, work)) {
      mark[pair] = 3;
      continue;
    }
    mark[pair] = 2;
    if (i === n - 1 && j === m - 1) {
      state.phase = 1;
      return;
    }
    // the pair that keeps step is asked first, so it is put last
    const lags = i / n - j / m;
    const nexts =
      lags > 0
        ? [
            [i + 1, j],
            [i, j + 1],
          ]
        : [
            [i, j + 1],
            [i + 1, j],
          ];
    for (const [p, q] of nexts as [number, number][]) {
      if (p >= n || q >= m || Math.abs(p / n - q / m) > mostLag || mark[p * m + q] !== 0) continue;
      mark[p * m + q] = 1;
      waiting.push(p * m + q);
    }
  }
}

/** Places no further apart than the room that strings keep. */
function placesOf(way: readonly number[], need: number): number[] {
  const total = wayLength(way);
  const n = Math.min(mostPlaces, Math.max(2, Math.ceil(total / (seenShare * need))));
  const out: number[] = [];
  const place = [0, 0, 0];
  for (let i = 0; i <= n; i += 1) {
    wayAt(way, (total * i) / n, place);
    out.push(...place);
  }
  return out;
}

/** Steps along a string by exact distances. */
function isFree(
  space: SpaceModel,
  a: readonly number[],
  i: number,
  b: readonly number[],
  j: number,
  need: number,
  work: RouteWork,
): boolean {
  const { points, answer } = work.cells;
  const length = Math.sqrt((b[j]! - a[i]!) ** 2 + (b[j + 1]! - a[i + 1]!) ** 2 + (b[j + 2]! - a[i + 2]!) ** 2);
  const least = seenShare * need;
  // both ends lie where the body can be, in the throat of a port or before its target too: nothing fits between them
  if (length < least) return true;
  for (let at = 0; ; ) {
    const t = length > 0 ? Math.min(1, at / length) : 1;
    for (let k = 0; k < 3; k += 1) points[k] = a[i + k]! + t * (b[j + k]! - a[i + k]!);
    sampleSpace(space, points, 1, 6 * need, answer, work.cells.space);
    const d = answer.distance[0]!;
    if (d < least - 1e-9) return false;
    if (t >= 1) return true;
    at += Math.max(d - least, 0.1 * need);
  }
}
