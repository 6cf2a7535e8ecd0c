/**
 * The wall of a bore: straights (cones, open at both ends) and round bends (sectors of a torus), one after the other.
 * Closed forms; a point's nearest point on a surface of revolution lies in the half-plane through the axis and the point.
 */
import type { BoreShape } from "./description.ts";

type Vector = readonly [number, number, number];

/**
 * [piece, 24] one straight or bend, world, m:
 * straight: 0: 0; 1-3 where it starts; 4-6 unit vector along it; 7 length; 8, 9 radius at its start and end; 10-12 a unit vector across
 * bend: 0: 1; 1-3 centre of the bend; 4-6 unit vector to its start; 7-9 unit vector along its start; 10-12 normal of its plane;
 *   13 radius of the centre line; 14 radius of the bore; 15, 16 cosine and sine of the angle it turns; 17 that angle, rad
 * 18-23 box, wider by `looseness` times its piece so that rounding in a distance cannot undercut it
 */
export const pieceSize = 24;

const looseness = 1e-12;

/** Nearer to an axis than this a direction across it cannot be told: squares vanish, m. */
export const tiny = 1e-140;

/** A corner turns less than this: the line is straight there, rad. */
export const straightAngle = 1e-9;

/** Angle by which the line turns at point j, rad; 0 at the ends. */
export function turnAt(points: BoreShape["points"], j: number): number {
  const before = points[j - 1];
  const after = points[j + 1];
  const here = points[j];
  if (before === undefined || after === undefined || here === undefined) return 0;
  const [u, v] = [unit(minus(here.at, before.at)), unit(minus(after.at, here.at))];
  const across = cross(u, v);
  return Math.atan2(Math.sqrt(dot(across, across)), dot(u, v));
}

/** Length that rounding takes off either side of corner j, m. */
export function cutAt(points: BoreShape["points"], j: number): number {
  const turn = turnAt(points, j);
  return turn < straightAngle ? 0 : points[j]!.bend * Math.tan(turn / 2);
}

/** @param frame  [12] rotation row-major, place: world = R * local + at */
export function createBore(shape: BoreShape, frame: Float64Array): Float64Array {
  const points = shape.points.map((point) => ({ ...point, at: toWorld(point.at, frame) }));
  const pieces: number[] = [];
  for (let j = 0; j + 1 < points.length; j++) {
    const [here, next] = [points[j]!, points[j + 1]!];
    const u = unit(minus(next.at, here.at));
    if (turnAt(points, j) >= straightAngle) pieces.push(...bendPiece(points, j));
    const from = plus(here.at, u, cutAt(points, j));
    const length = Math.max(0, dot(minus(next.at, from), u) - cutAt(points, j + 1));
    if (length > 1e-12 || here.radius !== next.radius) pieces.push(...straightPiece(from, u, length, here.radius, next.radius));
  }
  return Float64Array.from(pieces);
}

/** A cone's wall; with length 0 a flat ring between two radii. */
export function straightPiece(from: Vector, u: Vector, length: number, r0: number, r1: number): number[] {
  const to = plus(from, u, length);
  const loose = looseness * (length + r0 + r1 + Math.max(...from.map(Math.abs)));
  const low: number[] = [];
  const high: number[] = [];
  for (let i = 0; i < 3; i++) {
    const aside = Math.sqrt(Math.max(0, 1 - u[i]! * u[i]!));
    low.push(Math.min(from[i]! - r0 * aside, to[i]! - r1 * aside) - loose);
    high.push(Math.max(from[i]! + r0 * aside, to[i]! + r1 * aside) + loose);
  }
  return [0, ...from, ...u, length, r0, r1, ...across(u), 0, 0, 0, 0, 0, ...low, ...high];
}

function bendPiece(points: BoreShape["points"], j: number): number[] {
  const { at, bend, radius } = points[j]!;
  const turn = turnAt(points, j);
  const u = unit(minus(at, points[j - 1]!.at));
  const v = unit(minus(points[j + 1]!.at, at));
  const n = unit(cross(u, v));
  // from the centre of the bend to its start: against the side to which the line turns
  const out = unit(cross(u, n));
  const centre = plus(plus(at, u, -cutAt(points, j)), out, -bend);
  return roundPiece(centre, out, u, bend, radius, turn);
}

/**
 * @param out  unit vector from the centre of the bend to where it starts
 * @param u    unit vector along its start
 * @param turn  rad, 0 to pi
 */
export function roundPiece(centre: Vector, out: Vector, u: Vector, bend: number, radius: number, turn: number): number[] {
  const n = cross(out, u);
  const loose = looseness * (bend + radius + Math.max(...centre.map(Math.abs)));
  const low: number[] = [];
  const high: number[] = [];
  for (let i = 0; i < 3; i++) {
    const reach = (angle: number): number => bend * (out[i]! * Math.cos(angle) + u[i]! * Math.sin(angle));
    const ends = [reach(0), reach(turn)];
    const peak = Math.atan2(u[i]!, out[i]!);
    for (const angle of [peak, peak + Math.PI, peak - Math.PI]) if (angle > 0 && angle < turn) ends.push(reach(angle));
    low.push(centre[i]! + Math.min(...ends) - radius - loose);
    high.push(centre[i]! + Math.max(...ends) + radius + loose);
  }
  return [1, ...centre, ...out, ...u, ...n, bend, radius, Math.cos(turn), Math.sin(turn), turn, ...low, ...high];
}

/**
 * @param ask  [4] the point, m, world; the greatest squared distance that matters, m^2
 * @param hit  [4] result: the closest point, m; its squared distance, m^2; without meaning where nothing is as near
 * @returns whether something is
 */
export function nearestOnBore(pieces: Float64Array, ask: Float64Array, hit: Float64Array): boolean {
  const x = ask[0]!;
  const y = ask[1]!;
  const z = ask[2]!;
  let found = false;
  hit[3] = ask[3]!;
  for (let at = 0; at < pieces.length; at += pieceSize) {
    const dx = x < pieces[at + 18]! ? pieces[at + 18]! - x : x > pieces[at + 21]! ? x - pieces[at + 21]! : 0;
    const dy = y < pieces[at + 19]! ? pieces[at + 19]! - y : y > pieces[at + 22]! ? y - pieces[at + 22]! : 0;
    const dz = z < pieces[at + 20]! ? pieces[at + 20]! - z : z > pieces[at + 23]! ? z - pieces[at + 23]! : 0;
    if (dx * dx + dy * dy + dz * dz > hit[3]!) continue;
    if (nearestOnPiece(pieces, at, ask, hit)) found = true;
  }
  return found;
}

/** Writes `hit` and says true where the piece that starts at number `at` is nearer than `hit[3]`, a squared distance. */
export function nearestOnPiece(pieces: Float64Array, at: number, ask: Float64Array, hit: Float64Array): boolean {
  return pieces[at] === 0 ? nearestOnStraight(pieces, at, ask, hit) : nearestOnBend(pieces, at, ask, hit);
}

function nearestOnStraight(pieces: Float64Array, at: number, ask: Float64Array, hit: Float64Array): boolean {
  const px = ask[0]! - pieces[at + 1]!;
  const py = ask[1]! - pieces[at + 2]!;
  const pz = ask[2]! - pieces[at + 3]!;
  const ux = pieces[at + 4]!;
  const uy = pieces[at + 5]!;
  const uz = pieces[at + 6]!;
  const length = pieces[at + 7]!;
  const r0 = pieces[at + 8]!;
  const rise = pieces[at + 9]! - r0;
  const along = px * ux + py * uy + pz * uz;
  let sx = px - along * ux;
  let sy = py - along * uy;
  let sz = pz - along * uz;
  const out = Math.sqrt(sx * sx + sy * sy + sz * sz);
  if (out > tiny) {
    sx /= out;
    sy /= out;
    sz /= out;
  } else {
    sx = pieces[at + 10]!;
    sy = pieces[at + 11]!;
    sz = pieces[at + 12]!;
  }
  // in the half-plane through the axis the wall is the segment from (0, r0) to (length, r0 + rise)
  const slant = length * length + rise * rise;
  let t = slant > 0 ? (along * length + (out - r0) * rise) / slant : 0;
  t = t < 0 ? 0 : t > 1 ? 1 : t;
  const q = t * length;
  const r = r0 + t * rise;
  const d = (along - q) * (along - q) + (out - r) * (out - r);
  if (!(d < hit[3]!)) return false;
  hit[0] = pieces[at + 1]! + q * ux + r * sx;
  hit[1] = pieces[at + 2]! + q * uy + r * sy;
  hit[2] = pieces[at + 3]! + q * uz + r * sz;
  hit[3] = d;
  return true;
}

/** As `nearestOnStraight`. Beyond the sector the nearest point lies on the end circle that is nearer in angle. */
function nearestOnBend(pieces: Float64Array, at: number, ask: Float64Array, hit: Float64Array): boolean {
  const px = ask[0]! - pieces[at + 1]!;
  const py = ask[1]! - pieces[at + 2]!;
  const pz = ask[2]! - pieces[at + 3]!;
  const e = px * pieces[at + 4]! + py * pieces[at + 5]! + pz * pieces[at + 6]!;
  const f = px * pieces[at + 7]! + py * pieces[at + 8]! + pz * pieces[at + 9]!;
  const g = px * pieces[at + 10]! + py * pieces[at + 11]! + pz * pieces[at + 12]!;
  const bend = pieces[at + 13]!;
  const radius = pieces[at + 14]!;
  const cosine = pieces[at + 15]!;
  const sine = pieces[at + 16]!;
  const flat = Math.sqrt(e * e + f * f);
  // [c, s] the direction, in the bend's plane, of the section that holds the nearest point
  let c = 1;
  let s = 0;
  let beyond = true;
  if (f >= 0 && f * cosine - e * sine <= 0 && flat > tiny) {
    c = e / flat;
    s = f / flat;
    beyond = false;
  } else if (e * cosine + f * sine > e) {
    c = cosine;
    s = sine;
  }
  // in that section: out from the centre line, and how far the point is beyond the section's plane
  const o = e * c + f * s - bend;
  const w = beyond ? f * c - e * s : 0;
  const ring = Math.sqrt(o * o + g * g);
  const d = (ring - radius) * (ring - radius) + w * w;
  if (!(d < hit[3]!)) return false;
  const k = ring > 0 ? radius / ring : 0;
  const q = bend + (ring > 0 ? k * o : radius);
  const h = k * g;
  hit[0] = pieces[at + 1]! + q * (c * pieces[at + 4]! + s * pieces[at + 7]!) + h * pieces[at + 10]!;
  hit[1] = pieces[at + 2]! + q * (c * pieces[at + 5]! + s * pieces[at + 8]!) + h * pieces[at + 11]!;
  hit[2] = pieces[at + 3]! + q * (c * pieces[at + 6]! + s * pieces[at + 9]!) + h * pieces[at + 12]!;
  hit[3] = d;
  return true;
}

export function toWorld(p: Vector, frame: Float64Array): Vector {
  const row = (i: number): number => frame[3 * i]! * p[0] + frame[3 * i + 1]! * p[1] + frame[3 * i + 2]! * p[2] + frame[9 + i]!;
  return [row(0), row(1), row(2)];
}

/** A unit vector across another. */
function across(u: Vector): Vector {
  const least = [0, 1, 2].reduce((a, b) => (Math.abs(u[b]!) < Math.abs(u[a]!) ? b : a));
  return unit(cross(u, [least === 0 ? 1 : 0, least === 1 ? 1 : 0, least === 2 ? 1 : 0]));
}

function minus(a: Vector, b: Vector): Vector {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function plus(a: Vector, b: Vector, times: number): Vector {
  return [a[0] + times * b[0], a[1] + times * b[1], a[2] + times * b[2]];
}

function cross(a: Vector, b: Vector): Vector {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function dot(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function unit(a: Vector): Vector {
  const length = Math.sqrt(dot(a, a));
  return [a[0] / length, a[1] / length, a[2] / length];
}
