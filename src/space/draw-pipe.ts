/** A pipe's wall as triangles, open where it is open. */
import { pieceSize } from "./bore.ts";
import { circle, sidesOf } from "./draw-circle.ts";
import { type Opening, placeOnPiece, sideOfPieces } from "./find-openings.ts";
import type { Pipe } from "./lay-pipe.ts";
import { nearestOnRim, rimScratch } from "./nearest-opened.ts";

type Triangles = number[];
type Point = readonly [number, number, number];

/** Nearer than this to a rim is on it, m. */
const onRim = 1e-9;

/** @returns [triangle, 9] m, world */
export function drawPipe({ pieces, walls }: Pipe, openings: readonly Opening[]): Float64Array {
  const own = walls * pieceSize;
  const out: Triangles = [];
  for (const [from, to] of runsOf(pieces.subarray(0, own))) {
    const here = openings.filter((opening) => opening.pieces[0] < to && opening.pieces[1] > from);
    let run: Triangles = [];
    drawRun(pieces.slice(from, to), here, run);
    for (const opening of here) run = cutOpening(run, opening);
    for (const value of run) out.push(value);
  }
  if (own < pieces.length) drawShaft(pieces.subarray(own), out);
  return Float64Array.from(out);
}

/** From where to where pieces follow each other end to end. */
function runsOf(pieces: Float64Array): [number, number][] {
  const runs: [number, number][] = [];
  const w = new Float64Array(4);
  const middle = (at: number, t: number): number[] => {
    const sum = [0, 0, 0];
    for (const angle of [0, Math.PI]) {
      placeOnPiece(pieces, at, angle, t, w);
      for (let i = 0; i < 3; i++) sum[i]! += 0.5 * w[i]!;
    }
    return sum;
  };
  for (let at = 0; at < pieces.length; at += pieceSize) {
    const last = runs.at(-1);
    const apart = at > 0 ? Math.max(...middle(at, 0).map((value, i) => Math.abs(value - middle(at - pieceSize, 1)[i]!))) : Infinity;
    if (last !== undefined && apart < 1e-6) last[1] = at + pieceSize;
    else runs.push([at, at + pieceSize]);
  }
  return runs;
}

/** A closed cylinder: its mantle is the first piece. */
function drawShaft(pieces: Float64Array, out: Triangles): void {
  const mantle = pieces.subarray(0, pieceSize);
  const sides = sidesOf(mantle[8]!);
  const w = new Float64Array(4);
  const at = (k: number, t: number): Point => {
    placeOnPiece(mantle, 0, (2 * Math.PI * (k % sides)) / sides, t, w);
    return [w[0]!, w[1]!, w[2]!];
  };
  const middle = (t: number): Point => [1, 2, 3].map((i) => mantle[i]! + t * mantle[7]! * mantle[i + 3]!) as unknown as Point;
  for (let k = 0; k < sides; k++) {
    const [a, b, c, d] = [at(k, 0), at(k + 1, 0), at(k + 1, 1), at(k, 1)];
    out.push(...a, ...b, ...c, ...a, ...c, ...d, ...middle(0), ...b, ...a, ...middle(1), ...d, ...c);
  }
}

/**
 * Rings of points along the line, each with the same number of sides; a direction across is carried from ring to ring, so that
 * neighbours meet without twist. Bends are cut so that their outer side is within the chord error.
 * Where the wall is open, edges are short beside the opening.
 */
function drawRun(pieces: Float64Array, openings: readonly Opening[], out: Triangles): void {
  let widest = 0;
  for (let at = 0; at < pieces.length; at += pieceSize)
    widest = Math.max(widest, pieces[at] === 0 ? Math.max(pieces[at + 8]!, pieces[at + 9]!) : pieces[at + 14]!);
  const least = Math.min(Infinity, ...openings.flatMap(({ rims }) => rims.map(({ box }) => extentOf(box))));
  const edge = least / 12;
  const ring = circle(
    least < Infinity ? Math.min(720, Math.max(sidesOf(widest), 4 * Math.ceil((Math.PI * widest) / (2 * edge)))) : sidesOf(widest),
  );
  let side: Point | undefined;
  let last: Point[] | undefined;
  const add = (middle: Point, along: Point, radius: number): void => {
    side = across(side ?? [along[1], along[2], along[0]], along);
    const up = cross(along, side);
    const from = side;
    const next = ring.map(
      ([c, s]): Point => [
        middle[0] + radius * (c * from[0] + s * up[0]),
        middle[1] + radius * (c * from[1] + s * up[1]),
        middle[2] + radius * (c * from[2] + s * up[2]),
      ],
    );
    const before = last;
    if (before !== undefined) next.forEach((_, k) => strip(before, next, k, out));
    last = next;
  };
  for (let at = 0; at < pieces.length; at += pieceSize) {
    const vector = (k: number): Point => [pieces[at + k]!, pieces[at + k + 1]!, pieces[at + k + 2]!];
    if (pieces[at] === 0) {
      const [from, along, length] = [vector(1), vector(4), pieces[at + 7]!];
      const rise = pieces[at + 9]! - pieces[at + 8]!;
      for (const t of [...(at === 0 ? [0] : []), ...stationsOf(from, along, length, openings, edge), 1]) {
        const q = t * length;
        add(
          [from[0] + q * along[0], from[1] + q * along[1], from[2] + q * along[2]],
          along,
          t === 1 ? pieces[at + 9]! : pieces[at + 8]! + t * rise,
        );
      }
      continue;
    }
    const [centre, e, f, bend, radius, turn] = [vector(1), vector(4), vector(7), pieces[at + 13]!, pieces[at + 14]!, pieces[at + 17]!];
    const fine = least < Infinity ? (turn * (bend + radius)) / edge : 0;
    const steps = Math.max(2, Math.ceil((turn * sidesOf(bend + radius)) / (2 * Math.PI)), Math.min(400, Math.ceil(fine)));
    for (let k = at === 0 ? 0 : 1; k <= steps; k++) {
      const [c, s] = [Math.cos((turn * k) / steps), Math.sin((turn * k) / steps)];
      const middle = [0, 1, 2].map((i) => centre[i]! + bend * (c * e[i]! + s * f[i]!)) as unknown as Point;
      add(middle, [0, 1, 2].map((i) => c * f[i]! - s * e[i]!) as unknown as Point, radius);
    }
  }
}

/** Where along a straight rings are wanted, 0 to 1: close together where it is open. */
function stationsOf(from: Point, along: Point, length: number, openings: readonly Opening[], edge: number): number[] {
  let [low, high] = [Infinity, -Infinity];
  for (const { rims } of openings) {
    for (const { points } of rims) {
      for (let k = 0; k < points.length; k += 3) {
        const t = [0, 1, 2].reduce((sum, i) => sum + (points[k + i]! - from[i]!) * along[i]!, 0) / length;
        low = Math.min(low, t);
        high = Math.max(high, t);
      }
    }
  }
  const step = edge / length;
  [low, high] = [Math.max(0, low - 2 * step), Math.min(1, high + 2 * step)];
  if (!(high > low)) return [];
  const count = Math.min(400, Math.max(1, Math.ceil((high - low) / step)));
  return Array.from({ length: count + 1 }, (_, k) => low + ((high - low) * k) / count).filter((t) => t > 0 && t < 1);
}

/** The longest edge of a rim's own box, m. */
function extentOf(box: Float64Array): number {
  return Math.max(box[3]! - box[0]!, box[4]! - box[1]!, box[5]! - box[2]!);
}

/** What of each triangle lies outside the other pipe. Cuts are made on edges, the same for both neighbours, and lie on the rim. */
function cutOpening(triangles: readonly number[], { within, rims }: Opening): number[] {
  const w = new Float64Array(rimScratch);
  const side = (p: Point): number => {
    w.set(p);
    sideOfPieces(within, w);
    return w[3]!;
  };
  const ask = new Float64Array(4);
  const hit = new Float64Array(4);
  const cut = (a: Point, b: Point): Point => {
    const [p, q] = comesFirst(a, b) ? [a, b] : [b, a];
    const inside = side(p) < -onRim;
    let [low, high] = [0, 1];
    const at = (t: number): Point => [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1]), p[2] + t * (q[2] - p[2])];
    for (let turn = 0; turn < 50; turn++) {
      const middle = 0.5 * (low + high);
      if (side(at(middle)) < -onRim === inside) low = middle;
      else high = middle;
    }
    const found = at(0.5 * (low + high));
    ask.set(found);
    hit[3] = (0.5 * distanceBetween(a, b)) ** 2;
    for (const rim of rims) if (nearestOnRim(rim, ask, hit, w)) return [hit[0]!, hit[1]!, hit[2]!];
    return found;
  };
  const out: number[] = [];
  for (let k = 0; k < triangles.length; k += 9) {
    const corners = [0, 3, 6].map((i) => [triangles[k + i]!, triangles[k + i + 1]!, triangles[k + i + 2]!] as Point);
    const kept: Point[] = [];
    corners.forEach((corner, i) => {
      const next = corners[(i + 1) % 3]!;
      const [here, there] = [side(corner) >= -onRim, side(next) >= -onRim];
      if (here) kept.push(corner);
      if (here !== there) kept.push(cut(corner, next));
    });
    for (let i = 2; i < kept.length; i++) {
      const [a, b, c] = [kept[0]!, kept[i - 1]!, kept[i]!];
      if (distanceBetween(a, b) > onRim && distanceBetween(b, c) > onRim && distanceBetween(c, a) > onRim) out.push(...a, ...b, ...c);
    }
  }
  return out;
}

function comesFirst(a: Point, b: Point): boolean {
  const i = a[0] !== b[0] ? 0 : a[1] !== b[1] ? 1 : 2;
  return a[i] < b[i];
}

function distanceBetween(a: Point, b: Point): number {
  return Math.sqrt((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2);
}

function strip(before: readonly Point[], next: readonly Point[], k: number, out: Triangles): void {
  const after = (k + 1) % next.length;
  const [a, b, c, d] = [before[k]!, before[after]!, next[after]!, next[k]!];
  out.push(...a, ...b, ...c, ...a, ...c, ...d);
}

/** The unit vector nearest to `v` that is square to the unit vector `along`. */
function across(v: Point, along: Point): Point {
  const d = v[0] * along[0] + v[1] * along[1] + v[2] * along[2];
  let w: Point = [v[0] - d * along[0], v[1] - d * along[1], v[2] - d * along[2]];
  let length = Math.sqrt(w[0] ** 2 + w[1] ** 2 + w[2] ** 2);
  if (length < 1e-6) {
    const least = [0, 1, 2].reduce((a, b) => (Math.abs(along[b]!) < Math.abs(along[a]!) ? b : a));
    w = cross(along, [least === 0 ? 1 : 0, least === 1 ? 1 : 0, least === 2 ? 1 : 0]);
    length = Math.sqrt(w[0] ** 2 + w[1] ** 2 + w[2] ** 2);
  }
  return [w[0] / length, w[1] / length, w[2] / length];
}

function cross(a: Point, b: Point): Point {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}
