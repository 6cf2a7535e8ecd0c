/** What the smooth curve minimises: a sum of weighted squares, with its Gauss-Newton matrix over the unknowns. */
import { endFrame, tilt } from "./end-freedom.ts";
import { bendTight, endClear, likedRoom } from "./measure-curve.ts";
import type { RouteRequest } from "./model.ts";
import { neededRoom, roomAtEnd } from "./route-state.ts";
import { controlUnknown, halfBand, type SmoothState, type SmoothWork } from "./smooth-model.ts";

/** Weights of the parts, 1: bending has 1. */
const weight = { variation: 0.03, speed: 0.5, shortness: 0.03, liking: 0.25 } as const;

/** The merit of the measured shape; matrix and gradient (Gauss-Newton) as well when `full`. */
export function addUp(request: RouteRequest, state: SmoothState, work: SmoothWork, full: boolean): number {
  const need = neededRoom(request);
  const { bend, speed: v, penalty, dense, spans } = state;
  const stations = state.clearPress.length;
  const { shape, row, span, distance, normal } = work;
  const sum = { merit: 0 };
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
  return sum.merit;
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
