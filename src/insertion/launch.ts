/**
 * What the arm comes through before it is free: a straight guide, a guide tube that is bent, a drum. There it has the shape it is given: joints
 * turn, cables are drawn in and rub, and nothing of that depends on what the free part does.
 */
import { type ArmModel, pairOf, type Section, turnShare } from "../arm/index.ts";
import { rollFrame } from "../math/index.ts";
import type { Inspection } from "../rod/index.ts";
import { armLength } from "./arm-length.ts";
import type { InsertionModel } from "./model.ts";

/** Readonly, plain data. */
export interface Launch {
  /**
   * [piece, 3] the tube from its exit backwards: length of a straight or of a round bend, m, and its curvature about x and y of a frame that is
   * carried along the tube without twist, at the exit the port's, 1/m: positive where z turns that way on the way in
   */
  readonly tube: Float64Array;
  /** what lies further behind the exit is on the drum, m; absent where the arm comes off none */
  readonly drumFrom?: number;
  /** [span, 2] bend of each joint on the drum about the arm's x and y, rad; given with `drumFrom` */
  readonly drumBend?: Float64Array;
}

type Vector = readonly [number, number, number];

/** A tube whose centre line has rounded corners. */
export interface TubeLine {
  /** from where the arm enters to the exit; m, world; radius of the centre line round each corner, m */
  readonly points: readonly { readonly at: Vector; readonly bend: number }[];
}

/**
 * The tube of a launch.
 *
 * @param port [12] frame of its exit: z along its last straight
 */
export function layTube({ points }: TubeLine, port: Float64Array): Float64Array {
  const pieces: number[] = [];
  let [x, y] = [column(port, 0), column(port, 1)];
  let cut = 0;
  for (let k = points.length - 2; k >= 0; k--) {
    const [here, next] = [points[k] as (typeof points)[number], points[k + 1] as (typeof points)[number]];
    const after = minus(next.at, here.at);
    const whole = size(after);
    const before = k > 0 ? minus(here.at, (points[k - 1] as (typeof points)[number]).at) : after;
    const normal = cross(before, after);
    const turn = Math.atan2(size(normal), dot(before, after));
    const corner = turn < 1e-9 ? 0 : here.bend * Math.tan(turn / 2);
    pieces.push(whole - cut - corner, 0, 0);
    cut = corner;
    if (corner === 0) continue;
    const axis = normal.map((value) => value / size(normal)) as unknown as Vector;
    pieces.push(here.bend * turn, dot(axis, x) / here.bend, dot(axis, y) / here.bend);
    x = turned(x, axis, -turn);
    y = turned(y, axis, -turn);
  }
  return Float64Array.from(pieces);
}

export function tubeLength(tube: Float64Array): number {
  let length = 0;
  for (let o = 0; o < tube.length; o += 3) length += tube[o] as number;
  return length;
}

/** Least radius of a tube's bends, m; Infinity for a straight one. */
export function leastTubeRadius(tube: Float64Array): number {
  let radius = Number.POSITIVE_INFINITY;
  for (let o = 0; o < tube.length; o += 3) radius = Math.min(radius, 1 / Math.hypot(tube[o + 1] as number, tube[o + 2] as number));
  return radius;
}

/**
 * Frame of the tube's centre line so far behind its exit, without roll; further back than the tube is long: straight on.
 *
 * @param out [12]
 */
export function frameBehind(launch: Launch, port: Float64Array, behind: number, out: Float64Array): void {
  let [x, y, z] = [column(port, 0), column(port, 1), column(port, 2)];
  let at: Vector = [port[9] as number, port[10] as number, port[11] as number];
  let left = Math.max(0, behind);
  for (let o = 0; o <= launch.tube.length && left > 0; o += 3) {
    const past = o === launch.tube.length;
    const length = past ? left : Math.min(left, launch.tube[o] as number);
    const [kx, ky] = past ? [0, 0] : [launch.tube[o + 1] as number, launch.tube[o + 2] as number];
    const curvature = Math.hypot(kx, ky);
    left -= length;
    if (curvature === 0) {
      at = plus(at, z, -length);
      continue;
    }
    const axis = plus(scaled(x, kx / curvature), y, ky / curvature);
    const inwards = cross(axis, z);
    const angle = length * curvature;
    at = plus(plus(at, z, -Math.sin(angle) / curvature), inwards, (1 - Math.cos(angle)) / curvature);
    x = turned(x, axis, -angle);
    y = turned(y, axis, -angle);
    z = turned(z, axis, -angle);
  }
  for (let r = 0; r < 3; r++) {
    out[3 * r] = x[r] as number;
    out[3 * r + 1] = y[r] as number;
    out[3 * r + 2] = z[r] as number;
    out[9 + r] = at[r] as number;
  }
}

/**
 * Bend that tube and drum force on every joint, about the arm's x and y, rad; 0 for the free ones.
 *
 * @param exit distance of the exit from the arm's base, along the arm, m
 * @param out [span, 2]
 */
export function bendsBehind(arm: ArmModel, launch: Launch, exit: number, roll: number, out: Float64Array): void {
  out.fill(0);
  const [c, s] = [Math.cos(roll), Math.sin(roll)];
  const { drumFrom = Number.POSITIVE_INFINITY, drumBend } = launch;
  for (let i = 0; i < arm.spans && (arm.along[i] as number) < exit; i++) {
    const middle = exit - ((arm.along[i] as number) + (arm.along[i + 1] as number)) / 2;
    if (middle > drumFrom && drumBend !== undefined) {
      out[2 * i] = drumBend[2 * i] as number;
      out[2 * i + 1] = drumBend[2 * i + 1] as number;
      continue;
    }
    // the mean of a pair, a joint that is past the exit counted as straight
    const pair = pairOf(arm, i);
    const x = (tubeTurn(arm, launch, exit, i, 1) + tubeTurn(arm, launch, exit, pair, 1)) / 2;
    const y = (tubeTurn(arm, launch, exit, i, 2) + tubeTurn(arm, launch, exit, pair, 2)) / 2;
    out[2 * i] = (c * x + s * y) * turnShare(arm, i, 0);
    out[2 * i + 1] = (c * y - s * x) * turnShare(arm, i, 1);
  }
}

/** Turn of the tube between the vertebrae of joint i about one axis of its carried frame (1: x, 2: y), rad. */
function tubeTurn(arm: ArmModel, { tube }: Launch, exit: number, i: number, axis: 1 | 2): number {
  const far = exit - (arm.along[i] as number);
  const near = Math.max(0, exit - (arm.along[i + 1] as number));
  let turn = 0;
  let start = 0;
  for (let o = 0; o < tube.length; o += 3) {
    const end = start + (tube[o] as number);
    turn += Math.max(0, Math.min(far, end) - Math.max(near, start)) * (tube[o + axis] as number);
    start = end;
  }
  return turn;
}

/**
 * The model as it is at one depth: the cables rub in the holes that tube and drum turn, as they do in the conduit before them.
 *
 * One factor serves all cables. For those that end before the exit it is too high: they bend nothing, and their pretension is told too strong.
 */
export function atDepth(model: InsertionModel, depth: number, roll: number): InsertionModel {
  const { launch, plain = model.arm } = model;
  if (launch === undefined) return model;
  const bends = new Float64Array(2 * plain.spans);
  bendsBehind(plain, launch, armLength(model) - depth, roll, bends);
  let turning = 0;
  for (let i = 0; i < plain.spans; i++) turning += Math.hypot(bends[2 * i] as number, bends[2 * i + 1] as number);
  const conduitFriction = plain.conduitFriction.map((mu, k) => mu * plain.conduitTurn + (plain.holeFriction[k] as number) * turning);
  return { ...model, plain, arm: { ...plain, conduitFriction, conduitTurn: 1 } };
}

/**
 * What a record tells of the part that is not free: joints and strains in the tube (those on the drum have rows of their own), what the cables
 * are drawn in by there, where its vertebrae are.
 *
 * @param firstFree vertebra at the exit or past it
 * @param frames [vertebra, 12] those before `firstFree` are overwritten
 * @param work `bent` [span, 2] is written
 */
export function recordLaunch(
  model: InsertionModel,
  depth: number,
  roll: number,
  firstFree: number,
  frames: Float64Array,
  inspection: Inspection,
  work: { readonly bent: Float64Array },
): void {
  const { arm, launch, port } = model;
  if (launch === undefined) return;
  const { bent } = work;
  const exit = armLength(model) - depth;
  bendsBehind(arm, launch, exit, roll, bent);
  const frame = new Float64Array(12);
  for (let i = 0; i < arm.spans && (arm.along[i] as number) < exit; i++) {
    const [x, y] = [bent[2 * i] as number, bent[2 * i + 1] as number];
    const angle = Math.hypot(x, y);
    if (exit - 0.5 * ((arm.along[i] as number) + (arm.along[i + 1] as number)) <= (launch.drumFrom ?? Number.POSITIVE_INFINITY)) {
      inspection.jointAngle[i] = Math.max(inspection.jointAngle[i] as number, angle);
      strainBent(arm, i, x, y, inspection);
    }
    for (let c = arm.firstCable[arm.sectionOfSpan[i] as number] as number; c < arm.cables && angle > 0; c++) {
      const inner = ((arm.cableX[c] as number) * y - (arm.cableY[c] as number) * x) / angle;
      inspection.drawn[c] = (inspection.drawn[c] as number) + shorterBy(arm.flexible[i] as number, inner, angle);
    }
  }
  for (let i = 0; i < firstFree; i++) {
    frameBehind(launch, port, exit - (arm.along[i] as number), frame);
    rollFrame(frame, roll, 0, frames.subarray(12 * i, 12 * i + 12));
  }
}

/** Chord between two rims whose gap is bent to an arc, against the straight gap, m: `inner` is how far towards the inside the cable runs. */
function shorterBy(gap: number, inner: number, angle: number): number {
  return gap - (gap / angle - inner) * 2 * Math.sin(angle / 2);
}

/** Greatest strain of the rods of a joint that is bent about the arm's x and y, nothing else. */
function strainBent(arm: ArmModel, i: number, x: number, y: number, inspection: Inspection): void {
  const section = arm.description.sections[arm.sectionOfSpan[i] as number] as Section;
  const [kx, ky] = [x / section.effectiveLength, y / section.effectiveLength];
  for (const rod of section.rods) {
    const rx = arm.turned[i] === 1 ? -rod.y : rod.x;
    const ry = arm.turned[i] === 1 ? rod.x : rod.y;
    const strain = (rod.attachment === "clamped" ? Math.abs(kx * ry - ky * rx) : 0) + (Math.hypot(kx, ky) * rod.diameter) / 2;
    if (strain <= (inspection.strain[i] as number)) continue;
    inspection.strain[i] = strain;
    inspection.stress[i] = strain * rod.material.youngModulus;
  }
}

function column(frame: Float64Array, k: number): Vector {
  return [frame[k] as number, frame[3 + k] as number, frame[6 + k] as number];
}

/** `v` turned about a unit axis, by Rodrigues' formula. */
function turned(v: Vector, axis: Vector, angle: number): Vector {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return plus(plus(scaled(v, c), cross(axis, v), s), axis, (1 - c) * dot(axis, v));
}

function plus(a: Vector, b: Vector, share: number): Vector {
  return [a[0] + share * b[0], a[1] + share * b[1], a[2] + share * b[2]];
}

function minus(a: Vector, b: Vector): Vector {
  return plus(a, b, -1);
}

function scaled(a: Vector, by: number): Vector {
  return [by * a[0], by * a[1], by * a[2]];
}

function dot(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function cross(a: Vector, b: Vector): Vector {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function size(a: Vector): number {
  return Math.sqrt(dot(a, a));
}
