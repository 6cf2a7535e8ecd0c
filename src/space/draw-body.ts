/** A body as triangles to look at. Distances never come from these: they are chords of the true surfaces. */
import { createBore, pieceSize } from "./bore.ts";
import { frameOf, placeCorners } from "./create-space.ts";
import type { Body, PlateShape } from "./description.ts";

/** Chords leave their arcs by no more than this each way, so surfaces by no more than 0.2 mm; unless the body would take too many triangles. m */
const chordError = 0.1e-3;
const sidesLeast = 12;
const sidesMost = 180;
const trianglesMost = 300_000;

/** Where triangles go: [triangle, 9], body frame or world. */
type Triangles = number[];

/** @returns [triangle, 9] m, world; neighbours share corners to the last bit, solid bodies are closed */
export function drawBody(body: Body): Float64Array {
  const { shape, placement } = body;
  if (shape.kind === "mesh") return placeCorners(shape, placement);
  const frame = frameOf(placement);
  const out: Triangles = [];
  if (shape.kind === "bore") {
    drawBore(createBore(shape, frame), out);
    return Float64Array.from(out);
  }
  if (shape.kind === "box") drawBox(shape.size, out);
  else if (shape.kind === "cylinder") drawCylinder(shape.radius, shape.length, 0, 0, sidesOf(shape.radius), out);
  else if (shape.kind === "ring") drawRing(shape.radius, shape.bar, out);
  else if (shape.kind === "plate") drawPlate(shape, out);
  else {
    // four triangles a side
    const most = Math.max(6, Math.floor(trianglesMost / (4 * shape.places.length)));
    const sides = Math.min(sidesOf(shape.radius), most);
    for (const [x, y] of shape.places) drawCylinder(shape.radius, shape.length, x, y, sides, out);
  }
  return placeCorners({ kind: "mesh", corners: Float64Array.from(out), unit: 1 }, placement);
}

/** Sides of a polygon whose middle leaves its circle by no more than the chord error; a multiple of four. */
function sidesOf(radius: number): number {
  const half = radius > chordError ? Math.acos(1 - chordError / radius) : Math.PI / 4;
  return 4 * Math.ceil(Math.min(sidesMost, Math.max(sidesLeast, Math.PI / half)) / 4);
}

/** [side] points of the unit circle; the last is not the first again. */
function circle(sides: number): [number, number][] {
  return Array.from({ length: sides }, (_, k) => {
    const angle = (2 * Math.PI * k) / sides;
    return [Math.cos(angle), Math.sin(angle)];
  });
}

type Point = readonly [number, number, number];

function quad(a: Point, b: Point, c: Point, d: Point, out: Triangles): void {
  out.push(...a, ...b, ...c, ...a, ...c, ...d);
}

function drawBox(size: readonly [number, number, number], out: Triangles): void {
  const [x, y, z] = [size[0] / 2, size[1] / 2, size[2] / 2];
  const at = (k: number): Point => [k & 1 ? x : -x, k & 2 ? y : -y, k & 4 ? z : -z];
  const faces = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]] as const; // biome-ignore format: one row
  for (const [a, b, c, d] of faces) quad(at(a), at(b), at(c), at(d), out);
}

function drawCylinder(radius: number, length: number, x: number, y: number, sides: number, out: Triangles): void {
  const ring = circle(sides);
  const at = (k: number, z: number): Point => [x + radius * ring[k % sides]![0], y + radius * ring[k % sides]![1], z];
  for (let k = 0; k < sides; k++) {
    quad(at(k, 0), at(k + 1, 0), at(k + 1, length), at(k, length), out);
    out.push(x, y, 0, ...at(k + 1, 0), ...at(k, 0));
    out.push(x, y, length, ...at(k, length), ...at(k + 1, length));
  }
}

function drawRing(radius: number, bar: number, out: Triangles): void {
  const round = circle(sidesOf(radius + bar));
  const section = circle(sidesOf(bar));
  const at = (k: number, j: number): Point => {
    const [c, s] = round[k % round.length]!;
    const [o, h] = section[j % section.length]!;
    const r = radius + bar * o;
    return [r * c, r * s, bar * h];
  };
  for (let k = 0; k < round.length; k++) {
    for (let j = 0; j < section.length; j++) quad(at(k, j), at(k + 1, j), at(k + 1, j + 1), at(k, j + 1), out);
  }
}

/** The faces are strips between the hole and the rim, cut along rays; the rays to the plate's corners are among them. */
function drawPlate({ size, thickness, holeRadius }: PlateShape, out: Triangles): void {
  const [x, y] = [size[0] / 2, size[1] / 2];
  const corner = Math.atan2(y, x);
  const angles = circle(sidesOf(holeRadius)).map((_, k, all) => (2 * Math.PI * k) / all.length);
  angles.push(corner, Math.PI - corner, Math.PI + corner, 2 * Math.PI - corner);
  const rays = [...new Set(angles)].sort((a, b) => a - b).map((angle) => [Math.cos(angle), Math.sin(angle)] as const);
  const hole = (k: number, z: number): Point => [holeRadius * rays[k % rays.length]![0], holeRadius * rays[k % rays.length]![1], z];
  const rim = (k: number, z: number): Point => {
    const [c, s] = rays[k % rays.length]!;
    const t = Math.min(x / Math.abs(c), y / Math.abs(s));
    return [t * c, t * s, z];
  };
  for (let k = 0; k < rays.length; k++) {
    quad(hole(k, thickness), rim(k, thickness), rim(k + 1, thickness), hole(k + 1, thickness), out);
    quad(hole(k, 0), hole(k + 1, 0), rim(k + 1, 0), rim(k, 0), out);
    quad(rim(k, 0), rim(k + 1, 0), rim(k + 1, thickness), rim(k, thickness), out);
    quad(hole(k, 0), hole(k, thickness), hole(k + 1, thickness), hole(k + 1, 0), out);
  }
}

/**
 * Rings of points along the line, each with the same number of sides; a direction across is carried from ring to ring, so that
 * neighbours meet without twist. Bends are cut so that their outer side is within the chord error.
 */
function drawBore(pieces: Float64Array, out: Triangles): void {
  let widest = 0;
  for (let at = 0; at < pieces.length; at += pieceSize)
    widest = Math.max(widest, pieces[at] === 0 ? Math.max(pieces[at + 8]!, pieces[at + 9]!) : pieces[at + 14]!);
  const ring = circle(sidesOf(widest));
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
      if (at === 0) add(from, along, pieces[at + 8]!);
      add([from[0] + length * along[0], from[1] + length * along[1], from[2] + length * along[2]], along, pieces[at + 9]!);
      continue;
    }
    const [centre, e, f, bend, radius, turn] = [vector(1), vector(4), vector(7), pieces[at + 13]!, pieces[at + 14]!, pieces[at + 17]!];
    const steps = Math.max(2, Math.ceil((turn * sidesOf(bend + radius)) / (2 * Math.PI)));
    for (let k = at === 0 ? 0 : 1; k <= steps; k++) {
      const [c, s] = [Math.cos((turn * k) / steps), Math.sin((turn * k) / steps)];
      const middle = [0, 1, 2].map((i) => centre[i]! + bend * (c * e[i]! + s * f[i]!)) as unknown as Point;
      add(middle, [0, 1, 2].map((i) => c * f[i]! - s * e[i]!) as unknown as Point, radius);
    }
  }
}

function strip(before: readonly Point[], next: readonly Point[], k: number, out: Triangles): void {
  const after = (k + 1) % next.length;
  quad(before[k]!, before[after]!, next[after]!, next[k]!, out);
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
