/** A body as triangles to look at. Distances never come from these: they are chords of the true surfaces. */
import { frameOf, placeCorners } from "./create-space.ts";
import type { Body, PlateShape, VanesShape } from "./description.ts";
import { circle, sidesOf } from "./draw-circle.ts";
import { drawPipe } from "./draw-pipe.ts";
import { findOpenings } from "./find-openings.ts";
import { isPipe, layPipe } from "./lay-pipe.ts";
import { layVanes, vaneFrames, vaneProfile } from "./vanes.ts";

const trianglesMost = 300_000;

/** Where triangles go: [triangle, 9], body frame or world. */
type Triangles = number[];

/**
 * @param bodies  all there are: those that the body joins open its wall
 * @returns [triangle, 9] m, world; neighbours share corners to the last bit, solid bodies are closed
 */
export function drawBody(body: Body, bodies: readonly Body[] = [body]): Float64Array {
  const { shape, placement } = body;
  if (shape.kind === "mesh") return placeCorners(shape, placement);
  const frame = frameOf(placement);
  if (isPipe(shape)) return drawPipe(layPipe(shape, frame), findOpenings(bodies, bodies.indexOf(body)).openings);
  const out: Triangles = [];
  if (shape.kind === "box") drawBox(shape.size, out);
  else if (shape.kind === "cylinder") drawCylinder(shape.radius, shape.length, 0, 0, sidesOf(shape.radius), out);
  else if (shape.kind === "ring") drawRing(shape.radius, shape.bar, out);
  else if (shape.kind === "plate") drawPlate(shape, out);
  else if (shape.kind === "sphere") drawSphere(shape.radius, out);
  else if (shape.kind === "vanes") drawVanes(shape, out);
  else {
    // four triangles a side
    const most = Math.max(6, Math.floor(trianglesMost / (4 * shape.places.length)));
    const sides = Math.min(sidesOf(shape.radius), most);
    for (const [x, y] of shape.places) drawCylinder(shape.radius, shape.length, x, y, sides, out);
  }
  return placeCorners({ kind: "mesh", corners: Float64Array.from(out), unit: 1 }, placement);
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

function drawSphere(radius: number, out: Triangles): void {
  const round = circle(sidesOf(radius));
  const rows = round.length / 2;
  const at = (row: number, k: number): Point => {
    const angle = (Math.PI * row) / rows;
    const [c, s] = round[k % round.length]!;
    // both poles are one point each
    const r = row === 0 || row === rows ? 0 : radius * Math.sin(angle);
    return [r * c, r * s, row === rows ? -radius : radius * Math.cos(angle)];
  };
  for (let k = 0; k < round.length; k++) {
    out.push(...at(0, k), ...at(1, k), ...at(1, k + 1));
    for (let row = 1; row + 1 < rows; row++) quad(at(row, k), at(row + 1, k), at(row + 1, k + 1), at(row, k + 1), out);
    out.push(...at(rows - 1, k), ...at(rows, k), ...at(rows - 1, k + 1));
  }
}

/** Each vane a strip of pairs, its two ends alike. */
function drawVanes(shape: VanesShape, out: Triangles): void {
  const size = layVanes(shape);
  const steps = shape.camber > 0 ? Math.max(4, Math.ceil((shape.camber * sidesOf(size[4]! + size[2]!)) / (2 * Math.PI))) : 1;
  const profile = vaneProfile(size, steps, Math.max(2, Math.ceil(sidesOf(size[2]!) / 4)));
  const last = profile.length - 1;
  for (let o = vaneFrames; o < size.length; o += 12) {
    const at = (k: number, below: boolean, w: number): Point => {
      const from = below && k > 0 && k < last ? 2 : 0;
      const [u, v] = [profile[k]![from]!, profile[k]![from + 1]!];
      return [0, 1, 2].map(
        (i) => size[o + 3 * i]! * u + size[o + 3 * i + 1]! * v + size[o + 3 * i + 2]! * w + size[o + 9 + i]!,
      ) as unknown as Point;
    };
    for (let k = 0; k < last; k++) {
      for (const below of [false, true])
        quad(at(k, below, 0), at(k + 1, below, 0), at(k + 1, below, shape.span), at(k, below, shape.span), out);
      for (const w of [0, shape.span]) {
        if (k > 0) out.push(...at(k, false, w), ...at(k, true, w), ...at(k + 1, true, w));
        if (k + 1 < last) out.push(...at(k, false, w), ...at(k + 1, true, w), ...at(k + 1, false, w));
      }
    }
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
