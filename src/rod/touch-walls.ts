/**
 * Walls that push: a one-sided spring at every corner of the rims that is in a wall, k/2 depth^2 in the loads' potential, with the
 * exact gradient and the second derivative of body and wall. Corners are fixed to the body, so the potential's slope is continuous.
 *
 * A distance says nothing of the side. Each rim keeps the plane of the wall it was nearest to at the last balance; where its corners
 * are behind that plane and the field leads them further on, they have gone through, and are led back.
 */
import { sampleField, sampleWall } from "../math/index.ts";
import { applyForce, at, force } from "./dead-force.ts";
import type { Walls } from "./model.ts";
import { cornersOfRim, type RodWork } from "./work.ts";

/** offsets in `work.scratch` */
const depth = 24; // of a corner, m, and [3] the way out
const row = 30; // [3, 6] motion along the way out and two ways across, a unit motion of the vertebra

const around = Float64Array.from({ length: 2 * cornersOfRim }, (_, k) => {
  const angle = (2 * Math.PI * (k >> 1)) / cornersOfRim;
  return k % 2 === 0 ? Math.cos(angle) : Math.sin(angle);
});

/** m: how far aside a wall's bend is felt for, and the most a gradient may turn over it: more is an edge, not a bend. */
const aside = 1e-6;
const mostTurn = 1e-2;

/** Cosine of the way out of a wall with that of its other side: less than this leads on through it; 0 is a face beside, round an edge. */
const back = -0.5;

/** Adds the walls' potential to the loads'; writes `work.contact`. The frames must be placed. */
export function touchWalls(walls: Walls, work: RodWork): void {
  work.contact.fill(0);
  work.pressed.fill(0);
  work.pressedAt.fill(0);
  if (walls.friction !== undefined) rub(work);
  placeRims(walls, work);
  const count = placeCorners(work);
  if (count === 0) return;
  // each wall by itself: where two meet in a corner, both push
  for (let k = 0; k < walls.field.walls.length; k++) pressWall(walls, k, count, work);
}

function pressWall(walls: Walls, k: number, count: number, work: RodWork): void {
  sampleCorners(walls, k, count, work);
  let pressing = 0;
  for (let c = 0; c < count; c++) if (isIn(c, work)) pressing = feelAside(c, pressing, work);
  if (pressing === 0) return;
  sampleWall(walls.field, k, work.asidePoint, 2 * pressing, work.asideDistance, work.asideGradient, work.sampleWall);
  pressing = 0;
  for (let c = 0; c < count; c++) if (isIn(c, work)) press(walls, c, pressing++, work);
}

/** Friction as it stands in `work.drag`. */
function rub(work: RodWork): void {
  const { drag, rubAt, scratch: w } = work;
  const parts = rubAt.length / 3;
  for (let i = work.firstFree + 1; i < parts; i++) {
    for (let k = 0; k < 3; k++) {
      w[force + k] = drag[3 * (parts + i) + k] as number;
      w[at + k] = rubAt[3 * i + k] as number;
    }
    applyForce(work, Math.min(i, parts - 2));
  }
}

/**
 * Friction on each vertebra and the tool at the shape as it was evaluated last: the coefficient times all that presses them, along
 * their own axis and against the way they slide.
 *
 * @param out [vertebra + 1, 3] written at `o`, N, world
 */
export function findFriction(walls: Walls, out: Float64Array, o: number, work: RodWork): void {
  const { frame, pressed, pressedAt, rubAt } = work;
  if (walls.friction === undefined) return;
  const scale = walls.friction.coefficient * (walls.friction.way === "in" ? -1 : 1);
  rubAt.set(pressedAt);
  for (let i = work.firstFree + 1; i < pressed.length; i++) {
    const v = Math.min(i, pressed.length - 2);
    for (let k = 0; k < 3; k++) out[o + 3 * i + k] = scale * (pressed[i] as number) * (frame[12 * v + 3 * k + 2] as number);
  }
}

/** Middles of all rims past the guide, with distance and gradient on the side they are on. */
export function placeRims(walls: Walls, work: RodWork): void {
  const { frame, rimVertebra, rimHeight, rimPoint, rimDistance, rimGradient, rimWall, side, scratch: w } = work;
  const rims = rimVertebra.length;
  const first = 2 * work.firstFree;
  for (let r = first; r < rims; r++) {
    const o = 12 * (rimVertebra[r] as number);
    const z = rimHeight[r] as number;
    for (let k = 0; k < 3; k++) rimPoint[3 * r + k] = (frame[o + 9 + k] as number) + z * (frame[o + 3 * k + 2] as number);
  }
  if (first > 0) rimPoint.copyWithin(0, 3 * first);
  sampleField(walls.field, rimPoint, rims - first, rimDistance, rimGradient, rimWall);
  if (first > 0) {
    rimPoint.copyWithin(3 * first, 0);
    rimDistance.copyWithin(first, 0);
    rimWall.copyWithin(first, 0);
    rimGradient.copyWithin(3 * first, 0);
  }
  for (let r = first; r < rims; r++) {
    sideOf(side, r, rimWall[r] as number, rimPoint, rimDistance, rimGradient, r, w);
    rimDistance[r] = w[depth] as number;
    for (let k = 0; k < 3; k++) rimGradient[3 * r + k] = w[depth + 1 + k] as number;
  }
}

/** Distance and gradient of a point sampled of a wall, on the side that rim r keeps of it: into w[depth] and the three after it. */
export function sideOf(
  side: Float64Array,
  r: number,
  wall: number,
  points: Float64Array,
  distance: Float64Array,
  gradient: Float64Array,
  i: number,
  w: Float64Array,
): void {
  const nx = side[5 * r] as number;
  const ny = side[5 * r + 1] as number;
  const nz = side[5 * r + 2] as number;
  const gx = gradient[3 * i] as number;
  const gy = gradient[3 * i + 1] as number;
  const gz = gradient[3 * i + 2] as number;
  const plane =
    nx * (points[3 * i] as number) + ny * (points[3 * i + 1] as number) + nz * (points[3 * i + 2] as number) - (side[5 * r + 3] as number);
  const d = distance[i] as number;
  const through = wall === side[5 * r + 4] && plane < 0 && nx * gx + ny * gy + nz * gz < back;
  // past a sheet the distance grows again; past the middle of a solid the kept plane is all that leads back
  const sheet = -Math.abs(d) < plane;
  w[depth] = through ? (sheet ? -Math.abs(d) : plane) : d;
  w[depth + 1] = through ? (sheet ? (d > 0 ? -gx : gx) : nx) : gx;
  w[depth + 2] = through ? (sheet ? (d > 0 ? -gy : gy) : ny) : gy;
  w[depth + 3] = through ? (sheet ? (d > 0 ? -gz : gz) : nz) : gz;
}

/** Corners of the rims that are near enough to touch; returns how many. */
export function placeCorners(work: RodWork): number {
  const { frame, rimVertebra, rimHeight, rimRadius, rimDistance, cornerRim, cornerAt, cornerPoint } = work;
  let count = 0;
  for (let r = 2 * work.firstFree; r < rimVertebra.length; r++) {
    const radius = rimRadius[r] as number;
    if (radius < 0 || (rimDistance[r] as number) >= radius) continue;
    const corners = radius === 0 ? 1 : cornersOfRim;
    const o = 12 * (rimVertebra[r] as number);
    for (let k = 0; k < corners; k++, count++) {
      const x = radius * (around[2 * k] as number);
      const y = radius * (around[2 * k + 1] as number);
      const z = rimHeight[r] as number;
      cornerRim[count] = r;
      cornerAt[3 * count] = x;
      cornerAt[3 * count + 1] = y;
      cornerAt[3 * count + 2] = z;
      for (let s = 0; s < 3; s++) {
        const f = o + 3 * s;
        cornerPoint[3 * count + s] =
          (frame[o + 9 + s] as number) + x * (frame[f] as number) + y * (frame[f + 1] as number) + z * (frame[f + 2] as number);
      }
    }
  }
  return count;
}

/** Distances and gradients of the corners, of wall k alone, on the side their rims keep. */
export function sampleCorners(walls: Walls, k: number, count: number, work: RodWork): void {
  const { cornerRim, cornerPoint, cornerDistance, cornerGradient, side, scratch: w } = work;
  sampleWall(walls.field, k, cornerPoint, count, cornerDistance, cornerGradient, work.sampleWall);
  for (let c = 0; c < count; c++) {
    const kept = cornerRim[c] as number;
    const r = kept < 0 ? -1 - kept : kept;
    sideOf(side, r, k, cornerPoint, cornerDistance, cornerGradient, c, w);
    // a bend is felt for on the side the field itself is on
    const flipped =
      (w[depth + 1] as number) * (cornerGradient[3 * c] as number) +
        (w[depth + 2] as number) * (cornerGradient[3 * c + 1] as number) +
        (w[depth + 3] as number) * (cornerGradient[3 * c + 2] as number) <
      0;
    cornerDistance[c] = w[depth] as number;
    for (let s = 0; s < 3; s++) cornerGradient[3 * c + s] = w[depth + 1 + s] as number;
    cornerRim[c] = flipped ? -1 - r : r;
  }
}

function isIn(c: number, work: RodWork): boolean {
  return (work.cornerDistance[c] as number) < 0;
}

/** Two places a little aside of corner c, across its way out; returns the next free pair. */
function feelAside(c: number, pair: number, work: RodWork): number {
  const { cornerGradient, cornerPoint, asidePoint, scratch: w } = work;
  across(cornerGradient, 3 * c, w);
  for (let k = 0; k < 3; k++) {
    const p = cornerPoint[3 * c + k] as number;
    asidePoint[6 * pair + k] = p + aside * (w[row + 6 + k] as number);
    asidePoint[6 * pair + 3 + k] = p + aside * (w[row + 12 + k] as number);
  }
  return pair + 1;
}

/** Two units across a direction, into w[row + 6] and w[row + 12] (three each). */
function across(gradient: Float64Array, o: number, w: Float64Array): void {
  const x = gradient[o] as number;
  const y = gradient[o + 1] as number;
  const z = gradient[o + 2] as number;
  const size = Math.sqrt(x * x + y * y + z * z);
  const nx = size > 0 ? x / size : 1;
  const ny = size > 0 ? y / size : 0;
  const nz = size > 0 ? z / size : 0;
  // the axis least along it, made square to it
  const least = Math.abs(nx) <= Math.abs(ny) && Math.abs(nx) <= Math.abs(nz) ? 0 : Math.abs(ny) <= Math.abs(nz) ? 1 : 2;
  const dot = least === 0 ? nx : least === 1 ? ny : nz;
  const ax = (least === 0 ? 1 : 0) - dot * nx;
  const ay = (least === 1 ? 1 : 0) - dot * ny;
  const az = (least === 2 ? 1 : 0) - dot * nz;
  const scale = 1 / Math.sqrt(ax * ax + ay * ay + az * az);
  w[row + 6] = scale * ax;
  w[row + 7] = scale * ay;
  w[row + 8] = scale * az;
  w[row + 12] = scale * (ny * az - nz * ay);
  w[row + 13] = scale * (nz * ax - nx * az);
  w[row + 14] = scale * (nx * ay - ny * ax);
}

/** The push of corner c: force, stiffness along the way out, and what the wall's own bend does across it. */
function press(walls: Walls, c: number, pair: number, work: RodWork): void {
  const { cornerRim, cornerAt, cornerPoint, cornerDistance, cornerGradient, asideGradient, contact, loadCurvature, scratch: w } = work;
  const kept = cornerRim[c] as number;
  const r = kept < 0 ? -1 - kept : kept;
  const v = work.rimVertebra[r] as number;
  const sunk = -(cornerDistance[c] as number);
  const stiffness = walls.stiffness * work.wallShare;
  const size = stiffness * sunk;
  let reach = 0;
  for (let k = 0; k < 3; k++) {
    const f = size * (cornerGradient[3 * c + k] as number);
    w[force + k] = f;
    w[at + k] = cornerAt[3 * c + k] as number;
    reach += f * (cornerPoint[3 * c + k] as number);
    const o = 3 * (1 + (r >> 1)) + k;
    contact[o] = (contact[o] as number) + f;
  }
  const part = 1 + (r >> 1);
  const before = work.pressed[part] as number;
  const share = size / (before + size);
  work.pressed[part] = before + size;
  for (let k = 0; k < 3; k++) {
    const mean = work.pressedAt[3 * part + k] as number;
    work.pressedAt[3 * part + k] = mean + share * ((w[at + k] as number) - mean);
  }
  applyForce(work, v);
  // instead of a force that is kept: a spring
  work.energy += reach + 0.5 * size * sunk;
  // how much the gradient turns across itself, a unit way aside
  across(cornerGradient, 3 * c, w);
  const sign = kept < 0 ? -1 : 1;
  let h00 = 0;
  let h01 = 0;
  let h11 = 0;
  let turn = 0;
  for (let k = 0; k < 3; k++) {
    const g = sign * (cornerGradient[3 * c + k] as number);
    const d0 = (asideGradient[6 * pair + k] as number) - g;
    const d1 = (asideGradient[6 * pair + 3 + k] as number) - g;
    turn = Math.max(turn, Math.abs(d0), Math.abs(d1));
    h00 += d0 * (w[row + 6 + k] as number);
    h01 += 0.5 * (d0 * (w[row + 12 + k] as number) + d1 * (w[row + 6 + k] as number));
    h11 += d1 * (w[row + 12 + k] as number);
  }
  const bend = turn < mostTurn ? (-sign * size) / aside : 0;
  for (let k = 0; k < 3; k++) w[row + k] = cornerGradient[3 * c + k] as number;
  for (let q = 0; q < 3; q++) motionRow(work, v, row + 6 * q);
  for (let a = 0; a < 6; a++) {
    const n = w[row + a] as number;
    const s = w[row + 6 + a] as number;
    const t = w[row + 12 + a] as number;
    const alongN = stiffness * n;
    const alongS = bend * (h00 * s + h01 * t);
    const alongT = bend * (h01 * s + h11 * t);
    for (let b = 0; b < 6; b++) {
      const h = 36 * v + 6 * a + b;
      loadCurvature[h] =
        (loadCurvature[h] as number) +
        alongN * (w[row + b] as number) +
        alongS * (w[row + 6 + b] as number) +
        alongT * (w[row + 12 + b] as number);
    }
  }
}

/** A world direction at w[o] (3) -> how far the point at w[at] goes along it a unit motion of vertebra v, [6] at w[o]. */
function motionRow(work: RodWork, v: number, o: number): void {
  const { frame, scratch: w } = work;
  const f = 12 * v;
  const x = w[o] as number;
  const y = w[o + 1] as number;
  const z = w[o + 2] as number;
  const a = (frame[f] as number) * x + (frame[f + 3] as number) * y + (frame[f + 6] as number) * z;
  const b = (frame[f + 1] as number) * x + (frame[f + 4] as number) * y + (frame[f + 7] as number) * z;
  const c = (frame[f + 2] as number) * x + (frame[f + 5] as number) * y + (frame[f + 8] as number) * z;
  const px = w[at] as number;
  const py = w[at + 1] as number;
  const pz = w[at + 2] as number;
  w[o] = py * c - pz * b;
  w[o + 1] = pz * a - px * c;
  w[o + 2] = px * b - py * a;
  w[o + 3] = a;
  w[o + 4] = b;
  w[o + 5] = c;
}
