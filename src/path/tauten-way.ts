/**
 * A way pulled taut: as short as its passages allow with the needed room, bends or no bends. What no curve along these
 * passages can undercut.
 */
import { type SpaceModel, sampleSpace } from "../space/index.ts";
import type { RouteWork } from "./route-state.ts";
import { wayAt, wayLength } from "./smooth-model.ts";

const batch = 512;
/** Sweeps at each fineness, and the over-relaxation that speeds them. */
const sweeps = 60;
const over = 1.6;

/**
 * @param way  [k, 3] corners, m; the ends stay
 * @param need  free radius to keep, m
 * @param pieces  straight pieces of the result, a power of two times 8
 * @returns [pieces + 1, 3] m
 */
export function tautenWay(space: SpaceModel, way: readonly number[], need: number, pieces: number, work: RouteWork): number[] {
  let line = [...way];
  for (let n = Math.min(8, pieces); n <= pieces; n *= 2) {
    line = evenly(line, n);
    for (let sweep = 0; sweep < sweeps; sweep += 1) {
      for (let i = 1; i < n; i += 1) {
        for (let k = 0; k < 3; k += 1) {
          const middle = 0.5 * (line[3 * (i - 1) + k]! + line[3 * (i + 1) + k]!);
          line[3 * i + k]! += (sweep < sweeps - 10 ? over : 1) * (middle - line[3 * i + k]!);
        }
      }
      keepOff(space, line, need, work);
      keepOff(space, line, need, work);
    }
  }
  return line;
}

/** The same way by n pieces of one length. */
function evenly(way: readonly number[], n: number): number[] {
  const total = wayLength(way);
  const out: number[] = [];
  const place = [0, 0, 0];
  for (let i = 0; i <= n; i += 1) {
    wayAt(way, (total * i) / n, place);
    out.push(...place);
  }
  return out;
}

/** Moves inner points that are too near a wall straight away from it. */
function keepOff(space: SpaceModel, line: number[], need: number, work: RouteWork): void {
  const { points, answer } = work.cells;
  const count = line.length / 3;
  for (let first = 1; first < count - 1; first += batch) {
    const n = Math.min(batch, count - 1 - first);
    for (let i = 0; i < 3 * n; i += 1) points[i] = line[3 * first + i]!;
    sampleSpace(space, points, n, 1.01 * need, answer, work.cells.space);
    for (let i = 0; i < n; i += 1) {
      const short = need - answer.distance[i]!;
      if (short <= 0) continue;
      let size = 0;
      for (let k = 0; k < 3; k += 1) size += (points[3 * i + k]! - answer.closest[3 * i + k]!) ** 2;
      size = Math.sqrt(size);
      if (size < 1e-12) continue;
      for (let k = 0; k < 3; k += 1) line[3 * (first + i) + k]! += (short * (points[3 * i + k]! - answer.closest[3 * i + k]!)) / size;
    }
  }
}
