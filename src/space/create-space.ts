/** Bodies -> a space that answers distances. */
import { refuse } from "../base/index.ts";
import { pieceSize } from "./bore.ts";
import { checkBodies } from "./check-bodies.ts";
import type { Body, MeshShape, PipeShape, Placement, Shape } from "./description.ts";
import { findOpenings } from "./find-openings.ts";
import { isPipe, layPipe } from "./lay-pipe.ts";
import { partKind, type SpaceModel, type SpacePart } from "./model.ts";
import { createTriangleTree, type TriangleTree } from "./triangle-tree.ts";
import { layVanes, spanOfVanes } from "./vanes.ts";

/** Shapes told by a few numbers in their own frame. */
type SizedShape = Exclude<Shape, MeshShape | PipeShape>;

/** Boxes are this much wider than their bodies, relative, so that rounding in a distance cannot undercut them. */
const looseness = 1e-12;

/**
 * @param before  a space made earlier: meshes that are in it too, with the same corners, unit and placement, are not built again
 * @throws InputError `space.name`, `space.placement`, `space.dimension`, `space.mesh`, `space.join`, with every fault
 */
export function createSpace(bodies: readonly Body[], before?: SpaceModel): SpaceModel {
  refuse(checkBodies(bodies));
  return gather(
    bodies,
    bodies.map((_, k) => createPart(bodies, k, before)),
  );
}

/** A space of some of a space's bodies, as they are: open where they were open. */
export function pickBodies(space: SpaceModel, which: readonly number[]): SpaceModel {
  return gather(
    which.map((k) => space.bodies[k]!),
    which.map((k) => space.parts[k]!),
  );
}

function gather(bodies: readonly Body[], parts: readonly SpacePart[]): SpaceModel {
  const bounds = emptyBounds();
  for (const { box } of parts) widen(bounds, box);
  return { bodies, bounds, parts };
}

/** @returns the body's index, -1 where none has that name */
export function bodyIndexByName(space: SpaceModel, name: string): number {
  return space.bodies.findIndex((body) => body.name === name);
}

/** [12] rotation row-major, then place */
export function frameOf({ rotation, at }: Placement): Float64Array {
  return Float64Array.of(...rotation, ...at);
}

/** The corners of a mesh in the world, [triangle, 9], m. */
export function placeCorners({ corners, unit }: MeshShape, placement: Placement): Float64Array {
  const placed = new Float64Array(corners.length);
  const [r0, r1, r2, r3, r4, r5, r6, r7, r8, ax, ay, az] = frameOf(placement) as unknown as number[] as [
    number, number, number, number, number, number, number, number, number, number, number, number,
  ]; // biome-ignore format: one row
  for (let k = 0; k < corners.length; k += 3) {
    const x = corners[k]! * unit;
    const y = corners[k + 1]! * unit;
    const z = corners[k + 2]! * unit;
    placed[k] = r0 * x + r1 * y + r2 * z + ax;
    placed[k + 1] = r3 * x + r4 * y + r5 * z + ay;
    placed[k + 2] = r6 * x + r7 * y + r8 * z + az;
  }
  return placed;
}

function createPart(bodies: readonly Body[], k: number, before: SpaceModel | undefined): SpacePart {
  const body = bodies[k]!;
  const { shape, placement, touch } = body;
  const keep = (touch.kind === "never" ? touch.standOff : 0) + (shape.kind === "mesh" ? (shape.tolerance ?? 0) : 0);
  const frame = frameOf(placement);
  const none = createTriangleTree(new Float64Array(0));
  if (shape.kind === "mesh") {
    const tree = findTree(body, before) ?? createTriangleTree(placeCorners(shape, placement));
    return { kind: partKind.mesh, keep, box: tree.box.slice(0, 6), frame, size: new Float64Array(0), tree, openings: [] };
  }
  if (isPipe(shape)) {
    const { pieces } = layPipe(shape, frame);
    const { openings } = findOpenings(bodies, k);
    return { kind: partKind.bore, keep, box: boxOfPieces(pieces), frame, size: pieces, tree: none, openings };
  }
  return { kind: partKind[shape.kind], keep, box: boxOfSized(shape, frame), frame, size: sizeOf(shape), tree: none, openings: [] };
}

function findTree(body: Body, before: SpaceModel | undefined): TriangleTree | undefined {
  const { shape, placement } = body;
  if (before === undefined || shape.kind !== "mesh") return undefined;
  const frame = frameOf(placement);
  const k = before.bodies.findIndex((other, i) => {
    const { shape: old } = other;
    return (
      old.kind === "mesh" &&
      old.corners === shape.corners &&
      old.unit === shape.unit &&
      before.parts[i]!.frame.every((value, j) => value === frame[j])
    );
  });
  return k < 0 ? undefined : before.parts[k]!.tree;
}

/** The numbers that `nearestOnDrawn` reads. */
function sizeOf(shape: SizedShape): Float64Array {
  switch (shape.kind) {
    case "box":
      return Float64Array.from(shape.size, (edge) => edge / 2);
    case "cylinder":
      return Float64Array.of(shape.radius, shape.length);
    case "sphere":
      return Float64Array.of(shape.radius);
    case "vanes":
      return layVanes(shape);
    case "ring":
      return Float64Array.of(shape.radius, shape.bar);
    case "plate":
      return Float64Array.of(shape.size[0] / 2, shape.size[1] / 2, shape.thickness, shape.holeRadius);
    case "tubes": {
      const places = [...shape.places].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
      return Float64Array.of(shape.radius, shape.length, places.length, ...places.map((p) => p[0]), ...places.map((p) => p[1]));
    }
  }
}

function boxOfPieces(pieces: Float64Array): Float64Array {
  const box = emptyBounds();
  for (let at = 0; at < pieces.length; at += pieceSize) widen(box, pieces.subarray(at + 18, at + 24));
  return box;
}

/** Tight: a disc of radius r about the unit vector n reaches r sqrt(1 - n_i^2) along axis i. */
function boxOfSized(shape: SizedShape, frame: Float64Array): Float64Array {
  const box = Float64Array.of(0, 0, 0, 0, 0, 0);
  for (let i = 0; i < 3; i++) {
    const [x, y, z] = [frame[3 * i]!, frame[3 * i + 1]!, frame[3 * i + 2]!];
    const [low, high] = spanOf(shape, x, y, z);
    const loose = looseness * (Math.abs(frame[9 + i]!) + high - low);
    box[i] = frame[9 + i]! + low - loose;
    box[3 + i] = frame[9 + i]! + high + loose;
  }
  return box;
}

/** From where to where a body reaches along a direction given in its own frame, m. */
function spanOf(shape: SizedShape, x: number, y: number, z: number): [number, number] {
  const disc = Math.sqrt(x * x + y * y);
  switch (shape.kind) {
    case "box": {
      const half = 0.5 * (Math.abs(x) * shape.size[0] + Math.abs(y) * shape.size[1] + Math.abs(z) * shape.size[2]);
      return [-half, half];
    }
    case "cylinder": {
      const side = disc * shape.radius;
      return [Math.min(0, z * shape.length) - side, Math.max(0, z * shape.length) + side];
    }
    case "sphere":
      return [-shape.radius, shape.radius];
    case "vanes":
      return spanOfVanes(layVanes(shape), x, y, z);
    case "ring": {
      const half = disc * shape.radius + shape.bar;
      return [-half, half];
    }
    case "plate": {
      const side = 0.5 * (Math.abs(x) * shape.size[0] + Math.abs(y) * shape.size[1]);
      return [Math.min(0, z * shape.thickness) - side, Math.max(0, z * shape.thickness) + side];
    }
    case "tubes": {
      let low = Infinity;
      let high = -Infinity;
      for (const place of shape.places) {
        const middle = x * place[0] + y * place[1];
        low = Math.min(low, middle);
        high = Math.max(high, middle);
      }
      const side = disc * shape.radius;
      return [low - side + Math.min(0, z * shape.length), high + side + Math.max(0, z * shape.length)];
    }
  }
}

function emptyBounds(): Float64Array {
  return Float64Array.of(Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity);
}

function widen(bounds: Float64Array, by: Float64Array): void {
  for (let i = 0; i < 3; i++) {
    bounds[i] = Math.min(bounds[i]!, by[i]!);
    bounds[3 + i] = Math.max(bounds[3 + i]!, by[3 + i]!);
  }
}
