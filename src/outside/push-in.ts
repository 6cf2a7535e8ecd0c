/** What the carriage has to push against while the arm goes in. */
import type { ArmModel } from "../arm/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { Push } from "./model.ts";

export interface PushRequest {
  readonly arm: ArmModel;
  /** [3] m/s^2, world */
  readonly gravity: readonly [number, number, number];
  /** [3] where the arm becomes free, m, and unit vector inwards there, world */
  readonly exit: readonly [number, number, number];
  readonly axis: readonly [number, number, number];
  /** coefficient on the walls, 1, and in guide and tube, 1 */
  readonly wallFriction: number;
  readonly guideFriction: number;
  /** length of the straight guide, m; 0 for none */
  readonly guideLength: number;
  /** all bends of the guide tube added up, rad */
  readonly tubeTurn: number;
}

type Vector = readonly [number, number, number];

/**
 * Statics of the part past the exit. The guide carries what acts across its axis and the moment, by two forces at its ends: V + 2 M / length
 * in all at the most; a tube's bends raise what goes through them by exp(friction x turn) (Euler-Eytelwein). Left out: lift and drag of a
 * fluid, the weight of what lies in guide and tube, what a drum needs to turn, and conduits that are dragged along.
 *
 * @see docs/sources.md#room-outside
 */
export function pushIn(request: PushRequest, record: DepthRecord): Push {
  const { arm, axis, exit, gravity, guideFriction, guideLength } = request;
  const sum = { force: [0, 0, 0] as number[], moment: [0, 0, 0] as number[] };
  const add = (place: Vector, force: Vector): void => {
    const r = minus(place, exit);
    const m = cross(r, force);
    for (let i = 0; i < 3; i++) {
      sum.force[i] = (sum.force[i] as number) + (force[i] as number);
      sum.moment[i] = (sum.moment[i] as number) + (m[i] as number);
    }
  };
  const { frames } = record;
  for (let i = record.firstFree; i <= arm.spans; i++) add(placeAt(frames, 12 * i + 9), scaled(gravity, arm.mass[i] as number));
  add(toolCentre(arm, frames), scaled(gravity, arm.description.tool.mass));
  const weight = -dot(sum.force as unknown as Vector, axis);
  let walls = 0;
  const { contact } = record;
  for (let k = 0; contact !== undefined && k < contact.body.length; k++) {
    const force = placeAt(contact.force, 3 * k);
    add(placeAt(contact.place, 3 * k), force);
    walls += request.wallFriction * Math.sqrt(dot(force, force)) - dot(force, axis);
  }
  const force = sum.force as unknown as Vector;
  const moment = sum.moment as unknown as Vector;
  const aside = size(minus(force, scaled(axis, dot(force, axis))));
  const turning = size(minus(moment, scaled(axis, dot(moment, axis))));
  const guide = guideLength > 0 ? guideFriction * (aside + (2 * turning) / guideLength) : 0;
  const before = weight + walls + guide;
  // what hangs into the machine pulls itself in: then the tube holds back, and nothing is pushed
  const tube = Math.max(0, before) * (Math.exp(guideFriction * request.tubeTurn) - 1);
  return { depth: record.depth, weight, walls, guide, tube, total: Math.max(0, before) + tube };
}

function toolCentre(arm: ArmModel, frames: Float64Array): Vector {
  const f = 12 * arm.spans;
  const [x, y, z] = arm.description.tool.centre;
  const at = (r: number): number =>
    (frames[f + 9 + r] as number) +
    (frames[f + 3 * r] as number) * x +
    (frames[f + 3 * r + 1] as number) * y +
    (frames[f + 3 * r + 2] as number) * z;
  return [at(0), at(1), at(2)];
}

function placeAt(values: Float64Array, at: number): Vector {
  return [values[at] as number, values[at + 1] as number, values[at + 2] as number];
}

function scaled(a: Vector, by: number): Vector {
  return [by * a[0], by * a[1], by * a[2]];
}

function minus(a: Vector, b: Vector): Vector {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function cross(a: Vector, b: Vector): Vector {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function dot(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function size(a: Vector): number {
  return Math.sqrt(dot(a, a));
}
