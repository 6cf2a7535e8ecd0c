/**
 * A way pulled taut: as short as its passages allow with the needed room, bends or no bends. What no curve along these
 * passages can undercut.
 */
import { type SpaceModel, sampleSpace } from "../space/index.ts";
import type { RouteWork } from "./route-state.ts";
import { wayAt, wayLength } from "./smooth-model.ts";

const batch = 512;
/** Sweeps, those of them that are over-relaxed, and by how much. */
export const tautSweeps = 400;
const swift = 340;
const over = 1.85;
/** No point moves further in a sweep than this share of the need, so that none is pulled through a wall. */
const mostMove = 0.4;

/**
 * The way by even pieces, about half the need long (at most 400), to be pulled taut.
 *
 * @param way  [k, 3] corners, m, free for the need
 */
export function tautStart(way: readonly number[], need: number): number[] {
  return evenly(way, Math.min(400, Math.max(16, Math.ceil(wayLength(way) / (0.5 * need)))));
}

/**
 * One sweep; the ends stay.
 *
 * @param line  [n, 3] m, overwritten
 * @param need  free radius to keep, m
 * @param sweep  number of this sweep, from 0; it is taut after `tautSweeps`
 */
export function sweepTaut(space: SpaceModel, line: number[], need: number, sweep: number, work: RouteWork): void {
  for (let i = 3; i + 3 < line.length; i += 3) {
    const move = [0, 1, 2].map((k) => 0.5 * (line[i - 3 + k]! + line[i + 3 + k]!) - line[i + k]!);
    const size = Math.sqrt(move[0]! ** 2 + move[1]! ** 2 + move[2]! ** 2);
    const scale = Math.min(sweep < swift ? over : 1, (mostMove * need) / Math.max(1e-15, size));
    for (let k = 0; k < 3; k += 1) line[i + k]! += scale * move[k]!;
  }
  keepOff(space, line, need, work);
  keepOff(space, line, need, work);
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
