/** How far it is from each point of a batch to the nearest surface, which body's it is, and where. */
import { assert } from "../base/index.ts";
import { nearestOnBore } from "./bore.ts";
import { partKind, type SpaceAnswer, type SpaceModel } from "./model.ts";
import { nearestOnDrawn } from "./nearest-drawn.ts";
import { nearestOnOpened, rimScratch } from "./nearest-opened.ts";
import { nearestTriangle } from "./nearest-triangle.ts";
import { stackSize } from "./triangle-tree.ts";

/** Scratch of `sampleSpace`; one a thread. What it remembers makes answers faster, never different. */
export interface SpaceWork {
  /** [4] the point and the squared distance that matters, m, m^2 */
  readonly ask: Float64Array;
  /** [4] closest point and squared distance, m, m^2 */
  readonly hit: Float64Array;
  readonly trial: Float64Array;
  /** [4] the point in a body's own frame, m */
  readonly local: Float64Array;
  /** [12] for the rims of openings */
  readonly rim: Float64Array;
  readonly pile: Int32Array;
  readonly bound: Float64Array;
  /** [body] the triangle that was nearest last, -1 for none */
  readonly last: Int32Array;
  /** [1] the body that was nearest last, -1 for none */
  readonly near: Int32Array;
  /** [body] squared distance to its box, m^2; Infinity once it was asked */
  readonly away: Float64Array;
}

export function createSpaceWork(space: SpaceModel): SpaceWork {
  return {
    ask: new Float64Array(4),
    hit: new Float64Array(4),
    trial: new Float64Array(4),
    local: new Float64Array(4),
    rim: new Float64Array(rimScratch),
    pile: new Int32Array(stackSize),
    bound: new Float64Array(stackSize),
    last: new Int32Array(space.parts.length).fill(-1),
    near: new Int32Array(1).fill(-1),
    away: new Float64Array(space.parts.length),
  };
}

/** @param n  points in the largest batch */
export function createSpaceAnswer(n: number): SpaceAnswer {
  return { distance: new Float64Array(n), body: new Int32Array(n).fill(-1), closest: new Float64Array(3 * n) };
}

/**
 * Exact and unsigned. Where two bodies are equally near, the one listed first counts; where two triangles are, the one that
 * came first in its file: no batch, order or earlier question changes an answer.
 *
 * @param points  [>= n, 3] m, world, all finite
 * @param reach   nothing farther than this matters, m, may be Infinity; the smaller, the faster
 * @param answer  rows 0 to n - 1 are overwritten: distance = min(true distance - the body's keep, reach)
 * @param work    made from this space
 */
export function sampleSpace(space: SpaceModel, points: Float64Array, n: number, reach: number, answer: SpaceAnswer, work: SpaceWork): void {
  assert(points.length >= 3 * n && answer.distance.length >= n, "points and answer hold n rows");
  assert(work.last.length === space.parts.length && !Number.isNaN(reach), "work of this space and a reach");
  let bad = 0;
  for (let k = 0; k < 3 * n; k++) bad += points[k]! - points[k]!;
  assert(bad === 0, "every point is finite");
  answer.distance.fill(reach, 0, n);
  for (let k = 0; k < n; k++) samplePoint(space, points, k, answer, work);
}

/** `answer.distance[k]` holds the reach beforehand: a number passed along would be put on the heap. */
function samplePoint(space: SpaceModel, points: Float64Array, k: number, answer: SpaceAnswer, work: SpaceWork): void {
  const { parts } = space;
  const { ask, hit, near, last, local, away } = work;
  const { distance, body, closest } = answer;
  const x = points[3 * k]!;
  const y = points[3 * k + 1]!;
  const z = points[3 * k + 2]!;
  let best = distance[k]!;
  let found = -1;
  let qx = x;
  let qy = y;
  let qz = z;
  ask[0] = x;
  ask[1] = y;
  ask[2] = z;
  let mostKeep = 0;
  for (let b = 0; b < parts.length; b++) {
    const { box, keep } = parts[b]!;
    const dx = x < box[0]! ? box[0]! - x : x > box[3]! ? x - box[3]! : 0;
    const dy = y < box[1]! ? box[1]! - y : y > box[4]! ? y - box[4]! : 0;
    const dz = z < box[2]! ? box[2]! - z : z > box[5]! ? z - box[5]! : 0;
    away[b] = dx * dx + dy * dy + dz * dz;
    if (keep > mostKeep) mostKeep = keep;
  }
  // the body that was nearest last goes first: it is likely to be so again; then the nearest boxes, until none can hold anything nearer
  for (let b = near[0]!; ; b = -1) {
    if (b < 0) {
      let least = Infinity;
      for (let j = 0; j < parts.length; j++) {
        if (away[j]! < least) {
          least = away[j]!;
          b = j;
        }
      }
      if (b < 0) break;
      const farthest = best + mostKeep + 4e-16 * (Math.abs(best) + mostKeep);
      if (farthest < 0 || least > farthest * farthest * (1 + 1e-14)) break;
    }
    const there = away[b]!;
    away[b] = Infinity;
    const part = parts[b]!;
    const keep = part.keep;
    const limit = best + keep + 4e-16 * (Math.abs(best) + keep);
    if (limit < 0) continue;
    const most = limit * limit * (1 + 1e-14);
    if (there > most) continue;
    ask[3] = most;
    if (part.kind === partKind.mesh) {
      const triangle = nearestTriangle(part.tree, ask, last[b]!, hit, work.trial, work.pile, work.bound);
      if (triangle < 0) continue;
      last[b] = triangle;
    } else if (part.kind === partKind.bore) {
      if (part.openings.length === 0) {
        if (!nearestOnBore(part.size, ask, hit)) continue;
      } else if (!nearestOnOpened(part.size, part.openings, ask, hit, work.trial, work.rim)) continue;
    } else {
      intoBody(part.frame, ask, local);
      nearestOnDrawn(part.kind, part.size, local, hit);
      intoWorld(part.frame, hit);
    }
    const d = Math.sqrt(hit[3]!) - keep;
    if (d < best || (d === best && b < found)) {
      best = d;
      found = b;
      qx = hit[0]!;
      qy = hit[1]!;
      qz = hit[2]!;
    }
  }
  if (found >= 0) near[0] = found;
  distance[k] = best;
  body[k] = found;
  closest[3 * k] = qx;
  closest[3 * k + 1] = qy;
  closest[3 * k + 2] = qz;
}

/** local = R^T (world - at) */
function intoBody(frame: Float64Array, world: Float64Array, local: Float64Array): void {
  const x = world[0]! - frame[9]!;
  const y = world[1]! - frame[10]!;
  const z = world[2]! - frame[11]!;
  local[0] = frame[0]! * x + frame[3]! * y + frame[6]! * z;
  local[1] = frame[1]! * x + frame[4]! * y + frame[7]! * z;
  local[2] = frame[2]! * x + frame[5]! * y + frame[8]! * z;
}

/** world = R local + at, in place */
function intoWorld(frame: Float64Array, p: Float64Array): void {
  const x = p[0]!;
  const y = p[1]!;
  const z = p[2]!;
  p[0] = frame[0]! * x + frame[1]! * y + frame[2]! * z + frame[9]!;
  p[1] = frame[3]! * x + frame[4]! * y + frame[5]! * z + frame[10]!;
  p[2] = frame[6]! * x + frame[7]! * y + frame[8]! * z + frame[11]!;
}
