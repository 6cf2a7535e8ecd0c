/** Bodies -> walls that a loaded arm may lean on, around where it goes. */
import { assert, type Fault, refuse } from "../base/index.ts";
import type { DistanceField, Wall } from "../math/index.ts";
import { pickBodies } from "./create-space.ts";
import { fillBand } from "./fill-band.ts";
import { partKind, type SpaceModel, type SpacePart } from "./model.ts";

export interface WallRequest {
  /** which bodies of the space push; each becomes one wall, in this order */
  readonly bodies: readonly number[];
  /** [box, 6] min x, y, z, max x, y, z, m, world: where distances are wanted; they hang together */
  readonly boxes: Float64Array;
  /** [n, 3] places that are free, m, world, one of them in a box: a surface's free side is the one that is reached from them within the boxes */
  readonly free: Float64Array;
  /** edge of the grid's cubes, m, > 0, where a body has no closed form */
  readonly step: number;
}

/** Plain data. */
export interface SpaceWalls {
  /** one wall a body, known within the boxes alone where it is a grid */
  readonly field: DistanceField;
  /** [wall] the body it is */
  readonly body: Int32Array;
  /**
   * [wall] greatest difference from the exact distance seen at the middles of cubes that the surface passes, m; 0 in closed form.
   * Nowhere above half a cube's diagonal
   */
  readonly error: Float64Array;
  /**
   * [wall] edges of cubes with the surface between two free ends (a sheet that can be gone round): there the arm is held late, by up
   * to half a cube's diagonal; 0 where every surface has a free side and another
   */
  readonly twoSided: Int32Array;
}

/** Corners of cubes that one body may take. */
const mostCorners = 6e6;

/**
 * Distances of each body by itself, unsigned where they are exact and below 0 on the side that cannot be reached; a stand-off is left
 * out. A box that is met from outside and a straight tube that is never left are in closed form, all others a grid.
 *
 * @throws InputError `space.walls`
 */
export function createWalls(space: SpaceModel, request: WallRequest): SpaceWalls {
  refuse(checkRequest(space, request));
  const walls: Wall[] = [];
  const error = new Float64Array(request.bodies.length);
  const twoSided = new Int32Array(request.bodies.length);
  request.bodies.forEach((body, k) => {
    const part = space.parts[body];
    assert(part !== undefined, "the bodies of a request are there");
    const closed = boxOf(part, request) ?? tubeOf(part, request);
    if (closed !== undefined) {
      walls.push(closed);
      return;
    }
    const only = pickBodies(space, [body]);
    const bare: SpaceModel = { ...only, parts: [{ ...part, keep: 0 }] };
    const band = fillBand(bare, request.boxes, request.free, request.step);
    walls.push(band.wall);
    // leaning is found on the triangles as they are: what they may be off by is told with the error
    const shape = space.bodies[body]?.shape;
    error[k] = band.error + (shape?.kind === "mesh" ? (shape.tolerance ?? 0) : 0);
    twoSided[k] = band.twoSided;
  });
  return { field: { walls }, body: Int32Array.from(request.bodies), error, twoSided };
}

function checkRequest(space: SpaceModel, { bodies, boxes, free, step }: WallRequest): Fault[] {
  const faults: Fault[] = [];
  const add = (path: string, problem: string, hint: string): void => {
    faults.push({ code: "space.walls", path, problem, hint });
  };
  bodies.forEach((body, k) => {
    if (space.bodies[body] === undefined) add(`bodies[${k}]`, `is ${body}.`, `Give the index of a body, 0 to ${space.bodies.length - 1}.`);
  });
  if (!(step > 0 && Number.isFinite(step))) add("step", `is ${step}.`, "Give an edge above 0, m.");
  if (boxes.length % 6 !== 0 || boxes.length === 0) add("boxes", `has ${boxes.length} numbers.`, "Give six a box, one box at least.");
  else if (!boxes.every((value, k) => Number.isFinite(value) && (k % 6 < 3 || value > (boxes[k - 3] as number))))
    add("boxes", "has an edge that is not above 0.", "Give min x, y, z, then max x, y, z, m.");
  if (free.length % 3 !== 0 || free.length === 0 || !free.every(Number.isFinite))
    add("free", `has ${free.length} numbers.`, "Give three finite numbers a place, one place at least.");
  if (faults.length > 0) return faults;
  let corners = 0;
  let held = false;
  for (let k = 0; k < boxes.length; k += 6) {
    corners += [0, 1, 2].reduce((cubes, r) => cubes * (((boxes[k + 3 + r] as number) - (boxes[k + r] as number)) / step), 1);
    for (let p = 0; p < free.length; p += 3)
      held ||= [0, 1, 2].every(
        (r) => (free[p + r] as number) >= (boxes[k + r] as number) && (free[p + r] as number) <= (boxes[k + 3 + r] as number),
      );
  }
  if (!held) add("free", "has no place in any box.", "Give a free place within the boxes, so that the free side can be told.");
  if (corners > mostCorners)
    add("step", `is ${step}: the boxes hold ${corners.toExponential(1)} cubes.`, "Give a greater step or smaller boxes.");
  return faults;
}

/** A drawn box that all free places are outside of. */
function boxOf(part: SpacePart, { free }: WallRequest): Wall | undefined {
  if (part.kind !== partKind.box) return undefined;
  const { frame, size } = part;
  for (let k = 0; k < free.length; k += 3) {
    const d = [0, 1, 2].map((r) => (free[k + r] as number) - (frame[9 + r] as number));
    const inside = [0, 1, 2].every(
      (c) => Math.abs([0, 1, 2].reduce((sum, r) => sum + (frame[3 * r + c] as number) * (d[r] as number), 0)) < (size[c] as number),
    );
    if (inside) return undefined;
  }
  return { kind: "box", frame: frame.slice(), half: [size[0] as number, size[1] as number, size[2] as number] };
}

/** A bore of one straight and one radius, all free places in it, all boxes between its ends. */
function tubeOf(part: SpacePart, { free, boxes }: WallRequest): Wall | undefined {
  const { kind, size, openings } = part;
  if (kind !== partKind.bore || openings.length > 0 || size.length !== 24 || size[0] !== 0 || size[8] !== size[9]) return undefined;
  const at = [size[1], size[2], size[3]] as [number, number, number];
  const axis = [size[4], size[5], size[6]] as [number, number, number];
  const [length, radius] = [size[7] as number, size[8] as number];
  const along = (x: number, y: number, z: number): number => (x - at[0]) * axis[0] + (y - at[1]) * axis[1] + (z - at[2]) * axis[2];
  for (let k = 0; k < free.length; k += 3) {
    const [x, y, z] = [free[k], free[k + 1], free[k + 2]] as [number, number, number];
    const off = (x - at[0]) ** 2 + (y - at[1]) ** 2 + (z - at[2]) ** 2 - along(x, y, z) ** 2;
    if (!(off < radius * radius)) return undefined;
  }
  for (let k = 0; k < boxes.length; k += 6) {
    for (let corner = 0; corner < 8; corner++) {
      const [x, y, z] = [0, 1, 2].map((r) => boxes[k + r + ((corner >> r) & 1) * 3]) as [number, number, number];
      const t = along(x, y, z);
      if (!(t >= 0 && t <= length)) return undefined;
    }
  }
  return { kind: "tube", at, axis, radius };
}
