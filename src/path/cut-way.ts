/**
 * A cut across a way: what of the plane square to it can be seen from the way, past what the body cannot pass. A way that
 * has to keep off the cut passes on the far side of something.
 */
import { type CellTree, type SpaceModel, sampleSpace } from "../space/index.ts";
import { sideways } from "./find-ends.ts";
import type { RouteWork } from "./route-state.ts";
import { wayAt, wayLength } from "./smooth-model.ts";

/** Rays about the place of a cut. */
const rays = 360;
const batch = 512;
/** Share of the need at which a string counts as stopped: ways lie at the need itself. */
export const seenShare = 0.9;

/** Plain data. */
export interface Cut {
  /** [3] place on the way, m */
  readonly at: readonly [number, number, number];
  /** [3] unit vectors: along the way, and two across it */
  readonly along: readonly [number, number, number];
  readonly across: readonly [number, number, number];
  readonly up: readonly [number, number, number];
  /** [ray] how far the cut goes, counted from `across` towards `up`, m */
  readonly reach: readonly number[];
}

/**
 * The cut at an arc length of a way. It ends at walls, at the fence, and where another part of the way is nearer.
 *
 * @param way  [k, 3] corners, m
 * @param arc  m along it
 */
export function cutWay(space: SpaceModel, tree: CellTree, way: readonly number[], arc: number, work: RouteWork): Cut {
  const total = wayLength(way);
  const { need } = tree;
  // a ray stops where no cell that may be free can lie, or a way would squeeze in between its end and the wall
  const least = need - 0.52 * Math.sqrt(3) * (tree.edge / 2 ** tree.levels);
  const place = [0, 0, 0];
  const ahead = [0, 0, 0];
  const back = [0, 0, 0];
  wayAt(way, arc, place);
  wayAt(way, Math.min(total, arc + 2 * need), ahead);
  wayAt(way, Math.max(0, arc - 2 * need), back);
  const along = unit([ahead[0]! - back[0]!, ahead[1]! - back[1]!, ahead[2]! - back[2]!]);
  const [across, up] = sideways(along);
  const pieces = Math.min(400, Math.max(8, Math.ceil(total / (0.5 * need))));
  const points: number[] = [];
  const corner = [0, 0, 0];
  for (let i = 0; i <= pieces; i += 1) {
    wayAt(way, (total * i) / pieces, corner);
    points.push(...corner);
  }
  /** Whether another part of the way is nearer to a point of the plane at distance `far` from the place. */
  const isElsewhere = (x: number, y: number, z: number, far: number): boolean => {
    let best = far * far;
    let nearest = -1;
    for (let i = 0; i <= pieces; i += 1) {
      const d = (points[3 * i]! - x) ** 2 + (points[3 * i + 1]! - y) ** 2 + (points[3 * i + 2]! - z) ** 2;
      if (d < best) {
        best = d;
        nearest = i;
      }
    }
    return nearest >= 0 && Math.abs((total * nearest) / pieces - arc) > 1.5 * far + 2 * need;
  };
  const reach = new Array<number>(rays).fill(0);
  let open = Array.from({ length: rays }, (_, k) => k);
  const sample = work.cells;
  while (open.length > 0) {
    const next: number[] = [];
    for (let first = 0; first < open.length; first += batch) {
      const n = Math.min(batch, open.length - first);
      for (let i = 0; i < n; i += 1) {
        const ray = open[first + i]!;
        const c = reach[ray]! * Math.cos((2 * Math.PI * ray) / rays);
        const s = reach[ray]! * Math.sin((2 * Math.PI * ray) / rays);
        for (let k = 0; k < 3; k += 1) sample.points[3 * i + k] = place[k]! + c * across[k]! + s * up[k]!;
      }
      sampleSpace(space, sample.points, n, 6 * need, sample.answer, sample.space);
      for (let i = 0; i < n; i += 1) {
        const ray = open[first + i]!;
        const [x, y, z] = [sample.points[3 * i]!, sample.points[3 * i + 1]!, sample.points[3 * i + 2]!];
        const d = sample.answer.distance[i]!;
        if (d < least || outside(tree.box, x, y, z) || isElsewhere(x, y, z, reach[ray]!)) continue;
        reach[ray] = reach[ray]! + Math.max(0.1 * need, d - least);
        next.push(ray);
      }
    }
    open = next;
  }
  return { at: [place[0]!, place[1]!, place[2]!], along, across, up, reach };
}

/** Whether the straight line from a to b goes through one of the cuts. */
export function crossesCut(cuts: readonly Cut[], ax: number, ay: number, az: number, bx: number, by: number, bz: number): boolean {
  for (const { at, along, across, up, reach } of cuts) {
    const before = (ax - at[0]) * along[0] + (ay - at[1]) * along[1] + (az - at[2]) * along[2];
    const after = (bx - at[0]) * along[0] + (by - at[1]) * along[1] + (bz - at[2]) * along[2];
    if (before < 0 === after < 0) continue;
    const t = before / (before - after);
    const x = ax + t * (bx - ax) - at[0];
    const y = ay + t * (by - ay) - at[1];
    const z = az + t * (bz - az) - at[2];
    const c = x * across[0] + y * across[1] + z * across[2];
    const s = x * up[0] + y * up[1] + z * up[2];
    const turn = ((Math.atan2(s, c) / (2 * Math.PI) + 1) % 1) * reach.length;
    const ray = Math.floor(turn) % reach.length;
    const far = Math.max(reach[ray]!, reach[(ray + 1) % reach.length]!);
    if (c * c + s * s < far * far) return true;
  }
  return false;
}

/** Whether a way [k, 3] goes through one of the cuts. */
export function wayCrosses(cuts: readonly Cut[], way: readonly number[]): boolean {
  for (let i = 0; i + 5 < way.length; i += 3)
    if (crossesCut(cuts, way[i]!, way[i + 1]!, way[i + 2]!, way[i + 3]!, way[i + 4]!, way[i + 5]!)) return true;
  return false;
}

/**
 * Where a way may be cut with use, m along it, the most promising first: where it passes something closest.
 *
 * @param most  no more places than this
 */
export function cutPlaces(space: SpaceModel, tree: CellTree, way: readonly number[], most: number, work: RouteWork): number[] {
  const total = wayLength(way);
  const { need } = tree;
  const n = Math.min(batch, Math.max(8, Math.ceil(total / (0.5 * need))));
  const place = [0, 0, 0];
  const { points, answer } = work.cells;
  for (let i = 0; i < n; i += 1) {
    wayAt(way, (total * (i + 0.5)) / n, place);
    points.set(place, 3 * i);
  }
  sampleSpace(space, points, n, 8 * need, answer, work.cells.space);
  const near = Array.from(answer.distance.subarray(0, n));
  const order = near
    .map((d, i) => ({ d, i }))
    .filter(({ d, i }) => d < 8 * need && d <= (near[i - 1] ?? d) + 1e-12 && d <= (near[i + 1] ?? d) + 1e-12)
    .map(({ d, i }) => ({ d, arc: (total * (i + 0.5)) / n }))
    .filter(({ arc }) => arc > 2 * need && arc < total - 2 * need)
    .sort((a, b) => a.d - b.d || a.arc - b.arc);
  const apart = Math.max(4 * need, total / (3 * most));
  const chosen: number[] = [];
  for (const { arc } of order) {
    if (chosen.length >= most) break;
    if (chosen.every((other) => Math.abs(other - arc) >= apart)) chosen.push(arc);
  }
  return chosen;
}

function outside(box: readonly number[], x: number, y: number, z: number): boolean {
  return x < box[0]! || y < box[1]! || z < box[2]! || x > box[3]! || y > box[4]! || z > box[5]!;
}

function unit(v: readonly [number, number, number]): [number, number, number] {
  const size = Math.sqrt(v[0] ** 2 + v[1] ** 2 + v[2] ** 2);
  return size > 0 ? [v[0] / size, v[1] / size, v[2] / size] : [0, 0, 1];
}
