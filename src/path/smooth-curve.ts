/**
 * Bends the way into a curve: least bending, gentle change of bending, some liking for room, subject to clearance,
 * curvature, length and the freedom of the end. Augmented Lagrangian: each inner problem is a sum of squares solved by
 * damped Gauss-Newton with exact distance gradients over a banded matrix.
 *
 * @see docs/sources.md#augmented-lagrangian
 */
import { type CellTree, type SpaceModel, sampleSpace } from "../space/index.ts";
import { sideways } from "./find-ends.ts";
import type { RouteRequest } from "./model.ts";
import { neededRoom, type RouteWork, roomAtEnd } from "./route-state.ts";
import { controlUnknown, createSmoothWork, halfBand, placeEnds, type SmoothState, type SmoothWork, unknowns } from "./smooth-model.ts";
import { solveBand } from "./solve-band.ts";
import { curvatureOf } from "./spline.ts";

/** Weights of the parts, 1: bending has 1. */
const weight = { variation: 0.03, speed: 0.5, shortness: 0.03, liking: 0.25 } as const;
/** Free radius that the curve likes to have, as a multiple of the needed. */
const likedRoom = 1.6;
const innerMost = 12;
const outerMost = 40;
const tries = 5;
/** Violations below this share of a limit are left to the tightening of the limits. */
const good = 3e-4;

/** Sum of squares at the measured shape, filling matrix and gradient when asked. */
interface Sum {
  merit: number;
}

/** One damped step (up to five trials), and the multipliers when the inner problem is solved. `state.phase` says when it is over. */
export function stepSmooth(space: SpaceModel, tree: CellTree, request: RouteRequest, state: SmoothState, routeWork: RouteWork): void {
  const work = smoothWork(state, routeWork);
  measure(space, tree, request, state, work, routeWork);
  const n = unknowns(state.spans);
  const before = addUp(request, state, work, true).merit;
  let after = before;
  for (let attempt = 0; attempt < tries; attempt += 1) {
    for (let i = 0; i < n; i += 1) work.step[i] = -work.gradient[i]!;
    if (!solveBand(work.matrix, n, halfBand, state.damping, work.factor, work.step)) {
      state.damping *= 8;
      continue;
    }
    const kept = {
      control: state.control.slice(),
      lead: state.lead,
      tail: state.tail,
      standOff: state.standOff,
      direction: state.direction,
    };
    takeStep(request, state, work);
    measure(space, tree, request, state, work, routeWork);
    const merit = addUp(request, state, work, false).merit;
    if (merit < before) {
      after = merit;
      state.damping = Math.max(1e-7, state.damping / 4);
      break;
    }
    Object.assign(state, kept);
    state.damping = Math.min(1e8, state.damping * 5);
  }
  state.inner += 1;
  if (before - after < 1e-4 * Math.abs(before) || state.inner >= innerMost) setPress(space, tree, request, state, work, routeWork);
}

/** Sets the multipliers from the violations, and judges whether to go on. */
function setPress(
  space: SpaceModel,
  tree: CellTree,
  request: RouteRequest,
  state: SmoothState,
  work: SmoothWork,
  routeWork: RouteWork,
): void {
  measure(space, tree, request, state, work, routeWork);
  const need = neededRoom(request);
  const stations = state.clearPress.length;
  let fault = 0;
  let length = 0;
  let energy = 0;
  for (let j = 0; j < stations; j += 1) {
    const d = work.shape.subarray(12 * j, 12 * j + 12);
    const clear = (work.distance[j]! - state.room) / need;
    const curvature = curvatureOf(d);
    const bend = 1 - curvature * state.bend * bendTight;
    fault = Math.max(fault, -clear, -bend);
    state.clearPress[j] = Math.max(0, state.clearPress[j]! - state.penalty * clear);
    state.bendPress[j] = Math.max(0, state.bendPress[j]! - state.penalty * bend);
    const share = (j === 0 || j === stations - 1 ? 0.5 : 1) / state.dense;
    const speed = Math.sqrt(d[3]! * d[3]! + d[4]! * d[4]! + d[5]! * d[5]!);
    length += share * speed;
    energy += share * speed * curvature * curvature * state.bend;
  }
  for (let i = 0; i < state.endPress.length; i += 1) {
    const clear = endClear(request, state, work, i);
    fault = Math.max(fault, -clear);
    state.endPress[i] = Math.max(0, state.endPress[i]! - state.penalty * clear);
  }
  if (state.length < Number.POSITIVE_INFINITY) {
    const over = (length + state.straight) / (state.length * 0.999) - 1;
    state.over = over;
    fault = Math.max(fault, over);
    state.lengthPress = Math.max(0, state.lengthPress + Math.min(0.3 * state.penalty, 100) * over);
  }
  state.outer += 1;
  state.inner = 0;
  if (fault < good && Math.abs(energy - state.energy) < 0.01 * energy + 1e-6) state.phase = 1;
  else if (state.outer >= outerMost || (state.outer > 18 && fault > 0.05)) state.phase = fault < good ? 1 : 2;
  if (fault > 0.5 * state.fault && fault >= good) state.penalty = Math.min(1e6, 2.5 * state.penalty);
  state.fault = fault;
  state.energy = energy;
  state.speed = length / state.spans;
  state.damping = Math.min(state.damping, 1e-2);
}

/** The curvature limit is kept with this factor to spare. */
const bendTight = 1.003;

/** Clearance less the wanted one on the straight end, station i from the tool point back, 1: needed room. */
function endClear(request: RouteRequest, state: SmoothState, work: SmoothWork, i: number): number {
  const back = (state.straight * i) / (state.endPress.length - 1);
  const wanted = roomAtEnd(request, state.standOff + back);
  return (work.distance[state.clearPress.length + i]! - wanted * (state.room / neededRoom(request))) / neededRoom(request);
}

/** Shape, distance and distance gradient at all stations. */
function measure(
  space: SpaceModel,
  tree: CellTree,
  request: RouteRequest,
  state: SmoothState,
  work: SmoothWork,
  routeWork: RouteWork,
): void {
  const { row, span, shape, points } = work;
  const { control } = state;
  const stations = state.clearPress.length;
  const ends = state.endPress.length;
  for (let j = 0; j < stations; j += 1) {
    for (let q = 0; q < 4; q += 1) {
      let x = 0;
      let y = 0;
      let z = 0;
      for (let k = 0; k < 4; k += 1) {
        const b = row[16 * j + 4 * q + k]!;
        const c = 3 * (span[j]! + k);
        x += b * control[c]!;
        y += b * control[c + 1]!;
        z += b * control[c + 2]!;
      }
      shape[12 * j + 3 * q] = x;
      shape[12 * j + 3 * q + 1] = y;
      shape[12 * j + 3 * q + 2] = z;
    }
    for (let k = 0; k < 3; k += 1) points[3 * j + k] = shape[12 * j + k]!;
  }
  for (let i = 0; i < ends; i += 1) {
    const back = state.standOff + (state.straight * i) / (ends - 1);
    for (let k = 0; k < 3; k += 1) points[3 * (stations + i) + k] = request.target[k]! - back * state.direction[k]!;
  }
  const total = stations + ends;
  sampleSpace(space, points, total, likedRoom * 1.05 * neededRoom(request), work.answer, routeWork.cells.space);
  for (let j = 0; j < total; j += 1) {
    let d = work.answer.distance[j]!;
    let nx = 0;
    let ny = 0;
    let nz = 0;
    if (work.answer.body[j]! >= 0) {
      nx = points[3 * j]! - work.answer.closest[3 * j]!;
      ny = points[3 * j + 1]! - work.answer.closest[3 * j + 1]!;
      nz = points[3 * j + 2]! - work.answer.closest[3 * j + 2]!;
      const size = Math.sqrt(nx * nx + ny * ny + nz * nz);
      const scale = size > 1e-12 ? 1 / size : 0;
      nx *= scale;
      ny *= scale;
      nz *= scale;
    }
    for (let face = 0; face < 6; face += 1) {
      const axis = face % 3;
      const room = (face < 3 ? points[3 * j + axis]! - tree.box[face]! : tree.box[face]! - points[3 * j + axis]!) + neededRoom(request);
      if (room >= d) continue;
      const sign = face < 3 ? 1 : -1;
      d = room;
      nx = axis === 0 ? sign : 0;
      ny = axis === 1 ? sign : 0;
      nz = axis === 2 ? sign : 0;
    }
    work.distance[j] = d;
    work.normal[3 * j] = nx;
    work.normal[3 * j + 1] = ny;
    work.normal[3 * j + 2] = nz;
  }
}

/** The merit of the measured shape; matrix and gradient (Gauss-Newton) as well when `full`. */
function addUp(request: RouteRequest, state: SmoothState, work: SmoothWork, full: boolean): Sum {
  const need = neededRoom(request);
  const { bend, speed: v, penalty, dense, spans } = state;
  const stations = state.clearPress.length;
  const { shape, row, span, distance, normal } = work;
  const sum: Sum = { merit: 0 };
  const builder = full ? createRowAdder(request, state, work) : null;
  const bendScale = bend / (v * v);
  const twistScale = (bend * bend) / (v * v * v);
  // gradient of one residual: [value, first, second, third derivative][3]
  const g = new Float64Array(12);
  for (let j = 0; j < stations; j += 1) {
    const share = ((j === 0 || j === stations - 1 ? 0.5 : 1) * v) / dense / bend;
    const at = 12 * j;
    const basis = 16 * j;
    const add = (r: number, w: number): void => {
      sum.merit += 0.5 * w * r * r;
      if (builder !== null) builder(span[j]!, row, basis, g, r, w);
    };
    for (let k = 0; k < 3; k += 1) {
      g.fill(0);
      g[6 + k] = bendScale;
      add(bendScale * shape[at + 6 + k]!, share);
      g.fill(0);
      g[3 + k] = 1 / v;
      add(shape[at + 3 + k]! / v, (weight.shortness + state.lengthPress) * share);
    }
    if (j % dense === dense >> 1) {
      for (let k = 0; k < 3; k += 1) {
        g.fill(0);
        g[9 + k] = twistScale;
        add(twistScale * shape[at + 9 + k]!, (weight.variation * v) / bend);
      }
    }
    const ax = shape[at + 3]!;
    const ay = shape[at + 4]!;
    const az = shape[at + 5]!;
    const aa = ax * ax + ay * ay + az * az;
    g.fill(0);
    g[3] = (2 * ax) / (v * v);
    g[4] = (2 * ay) / (v * v);
    g[5] = (2 * az) / (v * v);
    add(aa / (v * v) - 1, weight.speed * share);
    // clearance, liked and required
    for (let k = 0; k < 3; k += 1) g[k] = -normal[3 * j + k]! / need;
    g.fill(0, 3);
    const liked = (likedRoom * need - distance[j]!) / need;
    if (liked > 0) add(liked, weight.liking * share);
    const clear = state.clearPress[j]! / penalty - (distance[j]! - state.room) / need;
    if (clear > 0) add(clear, penalty * share);
    // curvature
    const bx = shape[at + 6]!;
    const by = shape[at + 7]!;
    const bz = shape[at + 8]!;
    const nx = ay * bz - az * by;
    const ny = az * bx - ax * bz;
    const nz = ax * by - ay * bx;
    const nn = Math.sqrt(nx * nx + ny * ny + nz * nz);
    const a = Math.sqrt(aa);
    const curvature = nn / (a * aa);
    const scale = bend * bendTight;
    const tooSharp = state.bendPress[j]! / penalty - (1 - curvature * scale);
    if (tooSharp > 0 && nn > 1e-30) {
      const f = scale / (nn * a * aa);
      const h = (3 * curvature * scale) / aa;
      g.fill(0);
      g[3] = f * (by * nz - bz * ny) - h * ax;
      g[4] = f * (bz * nx - bx * nz) - h * ay;
      g[5] = f * (bx * ny - by * nx) - h * az;
      g[6] = f * (ny * az - nz * ay);
      g[7] = f * (nz * ax - nx * az);
      g[8] = f * (nx * ay - ny * ax);
      add(tooSharp, penalty * share);
    }
  }
  const endShare = Math.max(state.straight / state.endPress.length, v / dense) / bend;
  for (let i = 0; i < state.endPress.length; i += 1) {
    const r = state.endPress[i]! / penalty - endClear(request, state, work, i);
    if (r <= 0) continue;
    const w = penalty * endShare;
    sum.merit += 0.5 * w * r * r;
    if (full) addEndRow(request, state, work, i, r, w);
  }
  if (full) holdEnd(request, state, work, spans);
  return sum;
}

/** Adds residual rows given by derivatives of value and first to third derivative of the curve at one station. */
function createRowAdder(
  request: RouteRequest,
  state: SmoothState,
  work: SmoothWork,
): (span: number, row: Float64Array, basis: number, g: Float64Array, r: number, w: number) => void {
  const { matrix, gradient } = work;
  matrix.fill(0);
  gradient.fill(0);
  const { spans, direction: d, standOff, straight, tail } = state;
  const [e1, e2] = endFrame(request, state);
  const start = request.startDirection;
  const end = 1 + 3 * (spans - 1);
  const local = new Float64Array(halfBand + 4);
  return (span, row, basis, g, r, w) => {
    const low = span < 2 ? 0 : controlUnknown(span);
    local.fill(0);
    for (let k = 0; k < 4; k += 1) {
      const control = span + k;
      if (control === 0) continue;
      const b0 = row[basis + k]!;
      const b1 = row[basis + 4 + k]!;
      const b2 = row[basis + 8 + k]!;
      const b3 = row[basis + 12 + k]!;
      const x = b0 * g[0]! + b1 * g[3]! + b2 * g[6]! + b3 * g[9]!;
      const y = b0 * g[1]! + b1 * g[4]! + b2 * g[7]! + b3 * g[10]!;
      const z = b0 * g[2]! + b1 * g[5]! + b2 * g[8]! + b3 * g[11]!;
      if (control === 1) local[0] = local[0]! + x * start[0] + y * start[1] + z * start[2];
      else if (control <= spans) {
        const at = controlUnknown(control) - low;
        local[at] = local[at]! + x;
        local[at + 1] = local[at + 1]! + y;
        local[at + 2] = local[at + 2]! + z;
      } else {
        const at = end - low;
        const along = x * d[0] + y * d[1] + z * d[2];
        const arm = standOff + straight + (control === spans + 1 ? tail : 0);
        if (control === spans + 1) local[at] = local[at]! - along;
        local[at + 1] = local[at + 1]! - along;
        local[at + 2] = local[at + 2]! - arm * (x * e1[0] + y * e1[1] + z * e1[2]);
        local[at + 3] = local[at + 3]! - arm * (x * e2[0] + y * e2[1] + z * e2[2]);
      }
    }
    const size = Math.min(halfBand + 1, gradient.length - low);
    for (let i = 0; i < size; i += 1) {
      const li = local[i]!;
      if (li === 0) continue;
      const wi = w * li;
      gradient[low + i] = gradient[low + i]! + wi * r;
      const base = (halfBand + 1) * (low + i) + i;
      for (let k = 0; k <= i; k += 1) matrix[base - k] = matrix[base - k]! + wi * local[k]!;
    }
  };
}

/** Adds the row of one station on the straight end: only the end's unknowns move it. */
function addEndRow(request: RouteRequest, state: SmoothState, work: SmoothWork, i: number, r: number, w: number): void {
  const need = neededRoom(request);
  const back = state.standOff + (state.straight * i) / (state.endPress.length - 1);
  const at = 3 * (state.clearPress.length + i);
  const [e1, e2] = endFrame(request, state);
  const d = state.direction;
  const x = work.normal[at]!;
  const y = work.normal[at + 1]!;
  const z = work.normal[at + 2]!;
  // r falls as the distance grows; the tool moves against `direction` as the stand-off grows
  const slope = (roomAtEnd(request, back + 1e-6) - roomAtEnd(request, back)) / 1e-6;
  const g = [
    (x * d[0] + y * d[1] + z * d[2] + slope) / need,
    (back * (x * e1[0] + y * e1[1] + z * e1[2])) / need,
    (back * (x * e2[0] + y * e2[1] + z * e2[2])) / need,
  ];
  const first = 2 + 3 * (state.spans - 1);
  for (let a = 0; a < 3; a += 1) {
    work.gradient[first + a] = work.gradient[first + a]! + w * r * g[a]!;
    for (let b = 0; b <= a; b += 1) {
      const place = (halfBand + 1) * (first + a) + a - b;
      work.matrix[place] = work.matrix[place]! + w * g[a]! * g[b]!;
    }
  }
}

/** Fixes end unknowns that stand at their bounds and are pressed outwards. */
function holdEnd(request: RouteRequest, state: SmoothState, work: SmoothWork, spans: number): void {
  const { gradient } = work;
  const first = 2 + 3 * (spans - 1);
  const hold = (unknown: number): void => {
    gradient[unknown] = 0;
    for (let k = 1; k <= halfBand; k += 1) {
      if (unknown - k >= 0) work.matrix[(halfBand + 1) * unknown + k] = 0;
      if (unknown + k < gradient.length) work.matrix[(halfBand + 1) * (unknown + k) + k] = 0;
    }
    work.matrix[(halfBand + 1) * unknown] = 1;
  };
  const [least, most] = request.standOff;
  if ((state.standOff <= least + 1e-9 && gradient[first]! > 0) || (state.standOff >= most - 1e-9 && gradient[first]! < 0)) hold(first);
  if (request.cone < 1e-6) {
    hold(first + 1);
    hold(first + 2);
  } else if (tilt(request, state.direction) >= request.cone - 1e-7 && gradient[first + 1]! < 0) hold(first + 1);
}

/** Moves the unknowns by the solved step, no further than half the needed room, and back within the bounds of the end. */
function takeStep(request: RouteRequest, state: SmoothState, work: SmoothWork): void {
  const { step } = work;
  const { spans } = state;
  const end = 1 + 3 * (spans - 1);
  const arm = state.standOff + state.straight;
  let most = Math.max(Math.abs(step[0]!), Math.abs(step[end]!), Math.abs(step[end + 1]!));
  most = Math.max(most, arm * Math.abs(step[end + 2]!), arm * Math.abs(step[end + 3]!));
  for (let i = 1; i < end; i += 3) most = Math.max(most, Math.sqrt(step[i]! ** 2 + step[i + 1]! ** 2 + step[i + 2]! ** 2));
  const limit = 0.5 * neededRoom(request);
  const scale = most > limit ? limit / most : 1;
  const control = state.control.slice();
  for (let i = 1; i < end; i += 1) control[i + 5] = control[i + 5]! + scale * step[i]!;
  const [e1, e2] = endFrame(request, state);
  const d: [number, number, number] = [0, 0, 0];
  for (let k = 0; k < 3; k += 1) d[k] = state.direction[k]! + scale * (step[end + 2]! * e1[k]! + step[end + 3]! * e2[k]!);
  state.control = control;
  state.direction = intoCone(request, d);
  state.lead = Math.max(0.05 * state.speed, state.lead + scale * step[0]!);
  state.tail = Math.max(0.05 * state.speed, state.tail + scale * step[end]!);
  state.standOff = Math.min(request.standOff[1], Math.max(request.standOff[0], state.standOff + scale * step[end + 1]!));
  placeEnds(request, state);
}

/** Unit vectors across the end direction: the first away from the middle of the cone. */
function endFrame(request: RouteRequest, state: SmoothState): [[number, number, number], [number, number, number]] {
  const { direction: d } = state;
  const { aim } = request;
  const along = d[0] * aim[0] + d[1] * aim[1] + d[2] * aim[2];
  const out: [number, number, number] = [along * d[0] - aim[0], along * d[1] - aim[1], along * d[2] - aim[2]];
  const size = Math.sqrt(out[0] ** 2 + out[1] ** 2 + out[2] ** 2);
  if (size < 1e-6) return sideways(d);
  const p: [number, number, number] = [out[0] / size, out[1] / size, out[2] / size];
  return [p, [d[1] * p[2] - d[2] * p[1], d[2] * p[0] - d[0] * p[2], d[0] * p[1] - d[1] * p[0]]];
}

/** The nearest unit vector within the cone. */
function intoCone(request: RouteRequest, vector: readonly [number, number, number]): [number, number, number] {
  const size = Math.sqrt(vector[0] ** 2 + vector[1] ** 2 + vector[2] ** 2);
  const d: [number, number, number] = [vector[0] / size, vector[1] / size, vector[2] / size];
  if (request.cone < 1e-6) return [...request.aim];
  const angle = tilt(request, d);
  if (angle <= request.cone) return d;
  const { aim } = request;
  const along = d[0] * aim[0] + d[1] * aim[1] + d[2] * aim[2];
  const across = [d[0] - along * aim[0], d[1] - along * aim[1], d[2] - along * aim[2]];
  const wide = Math.sqrt(across[0]! ** 2 + across[1]! ** 2 + across[2]! ** 2);
  if (wide < 1e-12) return d;
  const limit = request.cone - 1e-9;
  const c = Math.cos(limit);
  const s = Math.sin(limit) / wide;
  return [c * aim[0] + s * across[0]!, c * aim[1] + s * across[1]!, c * aim[2] + s * across[2]!];
}

/** Angle of a unit vector from the middle of the cone, rad. */
function tilt(request: RouteRequest, d: readonly [number, number, number]): number {
  return Math.acos(Math.min(1, Math.max(-1, d[0] * request.aim[0] + d[1] * request.aim[1] + d[2] * request.aim[2])));
}

/** The memory for this shape of problem. */
function smoothWork(state: SmoothState, work: RouteWork): SmoothWork {
  const old = work.smooth;
  if (old === null || old.spans !== state.spans || old.dense !== state.dense || old.ends !== state.endPress.length) {
    work.smooth = createSmoothWork(state);
  }
  return work.smooth!;
}
