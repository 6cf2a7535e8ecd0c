// One span of the sweep that factors the tangent. Same algebra as src/rod/sweep.ts and `addSpanCurvature`, two numbers at a time.
import {
  between, coefficient, flexible, free, gain, gradient, lift, loadCurvature, loadGradient, pivot, reach, scratch, shift, stiffness, strain, tail, turn, weight,
} from "./memory";

// offsets in `scratch`, in bytes, as in src/rod/sweep.ts and src/rod/span-terms.ts
const costate: usize = 128;
const curvature: usize = 176;
const pull: usize = 480;
const sums: usize = 528;
const reached: usize = 640;
const local: usize = 880;

// @ts-ignore: decorator
@inline function splat(at: usize): v128 {
  return v128.load_splat<f64>(at);
}

// @ts-ignore: decorator
@inline function mul(a: v128, b: v128): v128 {
  return f64x2.mul(a, b);
}

// @ts-ignore: decorator
@inline function add(a: v128, b: v128): v128 {
  return f64x2.add(a, b);
}

// @ts-ignore: decorator
@inline function sub(a: v128, b: v128): v128 {
  return f64x2.sub(a, b);
}

/**
 * Span i: its rods' and cables' terms stand in `scratch`, costate and curvature of what hangs on it too; both are carried down.
 *
 * @param guard lift pivots below zero
 * @returns pivots below zero
 */
export function sweepSpan(i: i32, guard: bool): i32 {
  addCurvature(i);
  return factorSpan(i, guard, load<f64>(lift));
}

/** Adds the second derivative of (wrench . motion of the upper vertebra) to the lower part of the span's own, for the cables' wrench and the costate. */
function addCurvature(i: i32): void {
  const m0 = load<f64>(scratch, pull) + load<f64>(scratch, costate);
  const m1 = load<f64>(scratch, pull + 8) + load<f64>(scratch, costate + 8);
  const m2 = load<f64>(scratch, pull + 16) + load<f64>(scratch, costate + 16);
  const f0 = load<f64>(scratch, pull + 24) + load<f64>(scratch, costate + 24);
  const f1 = load<f64>(scratch, pull + 32) + load<f64>(scratch, costate + 32);
  const f2 = load<f64>(scratch, pull + 40) + load<f64>(scratch, costate + 40);
  const l = load<f64>(flexible + 8 * i);
  const back = load<f64>(tail + 8 * i);
  const u = strain + 32 * i;
  const x = l * load<f64>(u);
  const y = l * load<f64>(u, 8);
  const z = l * load<f64>(u, 16);
  const e1 = 1 + load<f64>(u, 24);
  const k = coefficient + 64 * i;
  const b = load<f64>(k);
  const c = load<f64>(k, 8);
  const b1 = load<f64>(k, 16);
  const c1 = load<f64>(k, 24);
  const b2 = load<f64>(k, 32);
  const c2 = load<f64>(k, 40);
  const t = load<f64>(k, 56);
  // moment at the end of the flexible part
  const h0 = m0 - back * f1;
  const h1 = m1 + back * f0;
  const h2 = m2;
  const l2 = l * l;
  // rotation part
  const n0 = h1 * z - h2 * y;
  const n1 = h2 * x - h0 * z;
  const n2 = h0 * y - h1 * x;
  const g0 = 0.5 * (c1 * (n1 * z - n2 * y) - b1 * n0 - c * h0);
  const g1 = 0.5 * (c1 * (n2 * x - n0 * z) - b1 * n1 - c * h1);
  const g2 = 0.5 * (c1 * (n0 * y - n1 * x) - b1 * n2 - c * h2);
  const iso = c * (h0 * x + h1 * y + h2 * z);
  // translation part, with w = R f
  const T = turn + 72 * i;
  const w0 = load<f64>(T) * f0 + load<f64>(T, 8) * f1 + load<f64>(T, 16) * f2;
  const w1 = load<f64>(T, 24) * f0 + load<f64>(T, 32) * f1 + load<f64>(T, 40) * f2;
  const w2 = load<f64>(T, 48) * f0 + load<f64>(T, 56) * f1 + load<f64>(T, 64) * f2;
  const cross = w0 * y - w1 * x;
  const dot = w0 * x + w1 * y + w2 * z;
  const big = dot * z - t * w2;
  const k0 = w0 * z - 2 * x * w2;
  const k1 = w1 * z - 2 * y * w2;
  const k2 = w2 * z + dot - 2 * z * w2;
  const scale = e1 * l2 * l;
  const same = b1 * cross + c1 * big - 2 * c * w2;
  const outer = b2 * cross + c2 * big;
  const p0 = c1 * k0 - b1 * w1;
  const p1 = b1 * w0 + c1 * k1;
  const p2 = c1 * k2;
  const xx = l2 * (2 * g0 * x + iso) + scale * (same + (outer * x + 2 * p0) * x);
  const yy = l2 * (2 * g1 * y + iso) + scale * (same + (outer * y + 2 * p1) * y);
  const zz = l2 * (2 * g2 * z + iso) + scale * (same + (outer * z + 2 * p2) * z + 2 * c * w2);
  const xy = l2 * (g0 * y + g1 * x) + scale * (outer * x * y + p0 * y + p1 * x);
  const xz = l2 * (g0 * z + g2 * x) + scale * (outer * x * z + p0 * z + p2 * x + c * w0);
  const yz = l2 * (g1 * z + g2 * y) + scale * (outer * y * z + p1 * z + p2 * y + c * w1);
  const both = b1 * cross + c1 * big;
  const xe = l2 * (both * x - b * w1 + c * k0);
  const ye = l2 * (both * y + b * w0 + c * k1);
  const ze = l2 * (both * z + c * k2);
  // the translation of a motion lags its rotation: -1/2 (a . (u x f) + the same the other way round), at the end of the flexible part
  const B = reach + 192 * i;
  const ax = load<f64>(B);
  const ay = load<f64>(B, 8);
  const az = load<f64>(B, 16);
  const bx = load<f64>(B, 32);
  const by = load<f64>(B, 40);
  const bz = load<f64>(B, 48);
  const cx = load<f64>(B, 64);
  const cy = load<f64>(B, 72);
  const cz = load<f64>(B, 80);
  const ux = load<f64>(B, 96) - bx * back;
  const uy = load<f64>(B, 104) - by * back;
  const uz = load<f64>(B, 112) - bz * back;
  const ue = load<f64>(B, 120);
  const vx = load<f64>(B, 128) + ax * back;
  const vy = load<f64>(B, 136) + ay * back;
  const vz = load<f64>(B, 144) + az * back;
  const ve = load<f64>(B, 152);
  const sx = load<f64>(B, 160);
  const sy = load<f64>(B, 168);
  const sz = load<f64>(B, 176);
  const se = load<f64>(B, 184);
  const ox0 = vx * f2 - sx * f1;
  const ox1 = sx * f0 - ux * f2;
  const ox2 = ux * f1 - vx * f0;
  const oy0 = vy * f2 - sy * f1;
  const oy1 = sy * f0 - uy * f2;
  const oy2 = uy * f1 - vy * f0;
  const oz0 = vz * f2 - sz * f1;
  const oz1 = sz * f0 - uz * f2;
  const oz2 = uz * f1 - vz * f0;
  const oe0 = ve * f2 - se * f1;
  const oe1 = se * f0 - ue * f2;
  const oe2 = ue * f1 - ve * f0;
  const H = scratch + local + 32;
  store<f64>(H, load<f64>(H) + xx - (ax * ox0 + bx * ox1 + cx * ox2));
  store<f64>(H, load<f64>(H, 32) + xy - 0.5 * (ay * ox0 + by * ox1 + cy * ox2 + ax * oy0 + bx * oy1 + cx * oy2), 32);
  store<f64>(H, load<f64>(H, 40) + yy - (ay * oy0 + by * oy1 + cy * oy2), 40);
  store<f64>(H, load<f64>(H, 64) + xz - 0.5 * (az * ox0 + bz * ox1 + cz * ox2 + ax * oz0 + bx * oz1 + cx * oz2), 64);
  store<f64>(H, load<f64>(H, 72) + yz - 0.5 * (az * oy0 + bz * oy1 + cz * oy2 + ay * oz0 + by * oz1 + cy * oz2), 72);
  store<f64>(H, load<f64>(H, 80) + zz - (az * oz0 + bz * oz1 + cz * oz2), 80);
  store<f64>(H, load<f64>(H, 96) + xe - 0.5 * (ax * oe0 + bx * oe1 + cx * oe2), 96);
  store<f64>(H, load<f64>(H, 104) + ye - 0.5 * (ay * oe0 + by * oe1 + cy * oe2), 104);
  store<f64>(H, load<f64>(H, 112) + ze - 0.5 * (az * oe0 + bz * oe1 + cz * oe2), 112);
}

/** Column j of (curvature times reach) to `reached`, with the cables' share its product with the reach into the span's second derivative. */
// @ts-ignore: decorator
@inline function chain(B: usize, j: usize): void {
  const w = scratch;
  const P = w + curvature;
  const a0 = load<f64>(B + 8 * j);
  const a1 = load<f64>(B + 8 * j, 32);
  const a2 = load<f64>(B + 8 * j, 64);
  const v0 = load<f64>(B + 8 * j, 96);
  const v1 = load<f64>(B + 8 * j, 128);
  const v2 = load<f64>(B + 8 * j, 160);
  const g = w + local + 8 * j;
  store<f64>(g, load<f64>(g) + load<f64>(w, costate) * a0 + load<f64>(w, costate + 8) * a1 + load<f64>(w, costate + 16) * a2 + load<f64>(w, costate + 24) * v0 + load<f64>(w, costate + 32) * v1 + load<f64>(w, costate + 40) * v2);
  const A0 = f64x2.splat(a0);
  const A1 = f64x2.splat(a1);
  const A2 = f64x2.splat(a2);
  const V0 = f64x2.splat(v0);
  const V1 = f64x2.splat(v1);
  const V2 = f64x2.splat(v2);
  const x0 = add(add(add(mul(v128.load(P), A0), mul(v128.load(P, 48), A1)), add(mul(v128.load(P, 96), A2), mul(v128.load(P, 144), V0))), add(mul(v128.load(P, 192), V1), mul(v128.load(P, 240), V2)));
  const x1 = add(add(add(mul(v128.load(P, 16), A0), mul(v128.load(P, 64), A1)), add(mul(v128.load(P, 112), A2), mul(v128.load(P, 160), V0))), add(mul(v128.load(P, 208), V1), mul(v128.load(P, 256), V2)));
  const x2 = add(add(add(mul(v128.load(P, 32), A0), mul(v128.load(P, 80), A1)), add(mul(v128.load(P, 128), A2), mul(v128.load(P, 176), V0))), add(mul(v128.load(P, 224), V1), mul(v128.load(P, 272), V2)));
  const m = w + reached + 48 * j;
  v128.store(m, x0);
  v128.store(m, x1, 16);
  v128.store(m, x2, 32);
  const q00 = load<f64>(w, sums);
  const q11 = load<f64>(w, sums + 8);
  const q22 = load<f64>(w, sums + 16);
  const q01 = load<f64>(w, sums + 24);
  const q02 = load<f64>(w, sums + 32);
  const q12 = load<f64>(w, sums + 40);
  const qx = load<f64>(w, sums + 48);
  const qy = load<f64>(w, sums + 56);
  const qz = load<f64>(w, sums + 64);
  const k0 = load<f64>(w, sums + 72);
  const s0 = f64x2.extract_lane(x0, 0) + q00 * a0 + q01 * a1 + q02 * a2 + qy * v2 - qz * v1;
  const s1 = f64x2.extract_lane(x0, 1) + q01 * a0 + q11 * a1 + q12 * a2 + qz * v0 - qx * v2;
  const s2 = f64x2.extract_lane(x1, 0) + q02 * a0 + q12 * a1 + q22 * a2 + qx * v1 - qy * v0;
  const s3 = f64x2.extract_lane(x1, 1) + k0 * v0 + a1 * qz - a2 * qy;
  const s4 = f64x2.extract_lane(x2, 0) + k0 * v1 + a2 * qx - a0 * qz;
  const s5 = f64x2.extract_lane(x2, 1) + k0 * v2 + a0 * qy - a1 * qx;
  const h = w + local + 32 + 8 * j;
  for (let r = j; r < 4; r++) {
    const at = h + 32 * r;
    const R = B + 8 * r;
    store<f64>(at, load<f64>(at) + load<f64>(R) * s0 + load<f64>(R, 32) * s1 + load<f64>(R, 64) * s2 + load<f64>(R, 96) * s3 + load<f64>(R, 128) * s4 + load<f64>(R, 160) * s5);
  }
}

/** Adds the bracket of the chain to column j at `reached`. */
// @ts-ignore: decorator
@inline function bracket(B: usize, F: usize, j: usize): void {
  const w = scratch;
  const m = w + reached + 48 * j;
  const on = load<f64>(F + 8 * j);
  if (on == 0) {
    const none = f64x2.splat(0);
    v128.store(m, none);
    v128.store(m, none, 16);
    v128.store(m, none, 32);
    return;
  }
  const p0 = 0.5 * load<f64>(w, costate);
  const p1 = 0.5 * load<f64>(w, costate + 8);
  const p2 = 0.5 * load<f64>(w, costate + 16);
  const q0 = 0.5 * load<f64>(w, costate + 24);
  const q1 = 0.5 * load<f64>(w, costate + 32);
  const q2 = 0.5 * load<f64>(w, costate + 40);
  const a0 = load<f64>(B + 8 * j);
  const a1 = load<f64>(B + 8 * j, 32);
  const a2 = load<f64>(B + 8 * j, 64);
  const v0 = load<f64>(B + 8 * j, 96);
  const v1 = load<f64>(B + 8 * j, 128);
  const v2 = load<f64>(B + 8 * j, 160);
  store<f64>(m, load<f64>(m) + a1 * p2 - a2 * p1 + v1 * q2 - v2 * q1);
  store<f64>(m, load<f64>(m, 8) + a2 * p0 - a0 * p2 + v2 * q0 - v0 * q2, 8);
  store<f64>(m, load<f64>(m, 16) + a0 * p1 - a1 * p0 + v0 * q1 - v1 * q0, 16);
  store<f64>(m, load<f64>(m, 24) + a1 * q2 - a2 * q1, 24);
  store<f64>(m, load<f64>(m, 32) + a2 * q0 - a0 * q2, 32);
  store<f64>(m, load<f64>(m, 40) + a0 * q1 - a1 * q0, 40);
}

// @ts-ignore: decorator
@inline function steady(d: f64, scale: f64, on: bool, guard: bool): f64 {
  if (guard && on && d < 1e-3 * scale) return max(-d, 1e-3 * scale);
  return abs(d) < 1e-12 * scale ? 1e-12 * scale : d;
}

function factorSpan(i: i32, guard: bool, lifted: f64): i32 {
  const w = scratch;
  const B = reach + 192 * i;
  const F = free + 32 * i;
  chain(B, 0);
  chain(B, 1);
  chain(B, 2);
  chain(B, 3);
  const H = w + local + 32;
  const on0 = load<f64>(F) != 0;
  const on1 = load<f64>(F, 8) != 0;
  const on2 = load<f64>(F, 16) != 0;
  const on3 = load<f64>(F, 24) != 0;
  const G = gradient + 32 * i;
  store<f64>(G, on0 ? load<f64>(w, local) : 0);
  store<f64>(G, on1 ? load<f64>(w, local + 8) : 0, 8);
  store<f64>(G, on2 ? load<f64>(w, local + 16) : 0, 16);
  store<f64>(G, on3 ? load<f64>(w, local + 24) : 0, 24);
  const h10 = on0 && on1 ? load<f64>(H, 32) : 0;
  const h20 = on0 && on2 ? load<f64>(H, 64) : 0;
  const h21 = on1 && on2 ? load<f64>(H, 72) : 0;
  const h30 = on0 && on3 ? load<f64>(H, 96) : 0;
  const h31 = on1 && on3 ? load<f64>(H, 104) : 0;
  const h32 = on2 && on3 ? load<f64>(H, 112) : 0;
  // L D L'
  const l = load<f64>(flexible + 8 * i);
  const K = stiffness + 32 * i;
  const k0 = l * load<f64>(K) + 1e-300;
  const k1 = l * load<f64>(K, 8) + 1e-300;
  const k2 = l * load<f64>(K, 16) + 1e-300;
  const k3 = l * load<f64>(K, 24) + 1e-300;
  let negative = 0;
  let d = on0 ? load<f64>(H) + lifted * k0 : 1;
  if (d < -1e-8 * k0) negative++;
  const d0 = 1 / steady(d, k0, on0, guard);
  const l10 = h10 * d0;
  d = on1 ? load<f64>(H, 40) + lifted * k1 - h10 * l10 : 1;
  if (d < -1e-8 * k1) negative++;
  const d1 = 1 / steady(d, k1, on1, guard);
  const l20 = h20 * d0;
  const r21 = h21 - h10 * l20;
  const l21 = r21 * d1;
  d = on2 ? load<f64>(H, 80) + lifted * k2 - h20 * l20 - r21 * l21 : 1;
  if (d < -1e-8 * k2) negative++;
  const d2 = 1 / steady(d, k2, on2, guard);
  const l30 = h30 * d0;
  const r31 = h31 - h10 * l30;
  const l31 = r31 * d1;
  const r32 = h32 - h20 * l30 - r21 * l31;
  const l32 = r32 * d2;
  d = on3 ? load<f64>(H, 120) + lifted * k3 - h30 * l30 - r31 * l31 - r32 * l32 : 1;
  if (d < -1e-8 * k3) negative++;
  const d3 = 1 / steady(d, k3, on3, guard);
  const D = pivot + 128 * i;
  store<f64>(D, d0);
  store<f64>(D, l10, 32);
  store<f64>(D, d1, 40);
  store<f64>(D, l20, 64);
  store<f64>(D, l21, 72);
  store<f64>(D, d2, 80);
  store<f64>(D, l30, 96);
  store<f64>(D, l31, 104);
  store<f64>(D, l32, 112);
  store<f64>(D, d3, 120);
  const W = weight + 32 * i;
  store<f64>(W, d0);
  store<f64>(W, d1, 8);
  store<f64>(W, d2, 16);
  store<f64>(W, d3, 24);
  bracket(B, F, 0);
  bracket(B, F, 1);
  bracket(B, F, 2);
  bracket(B, F, 3);
  // L^-1 of it, then the gain; two of its six columns at a time
  const o = gain + 192 * i;
  const L10 = f64x2.splat(l10);
  const L20 = f64x2.splat(l20);
  const L21 = f64x2.splat(l21);
  const L30 = f64x2.splat(l30);
  const L31 = f64x2.splat(l31);
  const L32 = f64x2.splat(l32);
  const D0 = f64x2.splat(d0);
  const D1 = f64x2.splat(d1);
  const D2 = f64x2.splat(d2);
  const D3 = f64x2.splat(d3);
  const P = w + curvature;
  for (let k: usize = 0; k < 48; k += 16) {
    const m = w + reached + k;
    const x0 = v128.load(m);
    const x1 = sub(v128.load(m, 48), mul(L10, x0));
    const x2 = sub(sub(v128.load(m, 96), mul(L20, x0)), mul(L21, x1));
    const x3 = sub(sub(sub(v128.load(m, 144), mul(L30, x0)), mul(L31, x1)), mul(L32, x2));
    v128.store(m, x1, 48);
    v128.store(m, x2, 96);
    v128.store(m, x3, 144);
    const s0 = mul(x0, D0);
    const s1 = mul(x1, D1);
    const s2 = mul(x2, D2);
    const y3 = mul(x3, D3);
    // rows k and k + 1 of the curvature up to their diagonal: all columns done so far
    const n = w + reached;
    for (let r: usize = 0; r <= k; r += 8) {
      // its column r, rows k and k + 1, as a row by symmetry
      const at = P + 6 * r + k;
      v128.store(at, sub(v128.load(at), add(add(mul(splat(n + r), s0), mul(splat(n + r + 48), s1)), add(mul(splat(n + r + 96), s2), mul(splat(n + r + 144), y3)))));
    }
    const r = k + 8;
    const at = P + 6 * r + k;
    v128.store(at, sub(v128.load(at), add(add(mul(splat(n + r), s0), mul(splat(n + r + 48), s1)), add(mul(splat(n + r + 96), s2), mul(splat(n + r + 144), y3)))));
    const y2 = sub(s2, mul(L32, y3));
    const y1 = sub(sub(s1, mul(L21, y2)), mul(L31, y3));
    v128.store(o + k, sub(sub(sub(s0, mul(L10, y1)), mul(L20, y2)), mul(L30, y3)));
    v128.store(o + k, y1, 48);
    v128.store(o + k, y2, 96);
    v128.store(o + k, y3, 144);
  }
  // what was done above the diagonal of 2 x 2 blocks, below it too
  mirror(P, 16, 96);
  mirror(P, 32, 192);
  mirror(P, 128, 208);
  carryDown(i);
  return negative;
}

/** 2 x 2 block at `from`, turned over, to `to`; rows of six. */
// @ts-ignore: decorator
@inline function mirror(P: usize, from: usize, to: usize): void {
  const a = v128.load(P + from);
  const b = v128.load(P + from, 48);
  v128.store(P + to, v128.shuffle<f64>(a, b, 0, 2));
  v128.store(P + to, v128.shuffle<f64>(a, b, 1, 3), 48);
}

/** Costate and curvature from the upper vertebra to the lower one: A' p + loads, A' P A + loads. */
function carryDown(i: i32): void {
  const w = scratch;
  const T = turn + 72 * i;
  const S = shift + 24 * i;
  const p = w + costate;
  const g = loadGradient + 48 * i;
  const m0 = load<f64>(p);
  const m1 = load<f64>(p, 8);
  const m2 = load<f64>(p, 16);
  const f0 = load<f64>(p, 24);
  const f1 = load<f64>(p, 32);
  const f2 = load<f64>(p, 40);
  const g0 = load<f64>(T) * f0 + load<f64>(T, 8) * f1 + load<f64>(T, 16) * f2;
  const g1 = load<f64>(T, 24) * f0 + load<f64>(T, 32) * f1 + load<f64>(T, 40) * f2;
  const g2 = load<f64>(T, 48) * f0 + load<f64>(T, 56) * f1 + load<f64>(T, 64) * f2;
  const x = load<f64>(S);
  const y = load<f64>(S, 8);
  const z = load<f64>(S, 16);
  store<f64>(p, load<f64>(g) + load<f64>(T) * m0 + load<f64>(T, 8) * m1 + load<f64>(T, 16) * m2 + y * g2 - z * g1);
  store<f64>(p, load<f64>(g, 8) + load<f64>(T, 24) * m0 + load<f64>(T, 32) * m1 + load<f64>(T, 40) * m2 + z * g0 - x * g2, 8);
  store<f64>(p, load<f64>(g, 16) + load<f64>(T, 48) * m0 + load<f64>(T, 56) * m1 + load<f64>(T, 64) * m2 + x * g1 - y * g0, 16);
  store<f64>(p, load<f64>(g, 24) + g0, 24);
  store<f64>(p, load<f64>(g, 32) + g1, 32);
  store<f64>(p, load<f64>(g, 40) + g2, 40);
  const P = w + curvature;
  const Q = between;
  for (let k: usize = 0; k < 48; k += 16) pullBack(P + k, Q + 6 * k, T, S);
  for (let k: usize = 0; k < 48; k += 16) pullBack(Q + k, P + 6 * k, T, S);
  const c = loadCurvature + 288 * i;
  for (let k: usize = 0; k < 288; k += 16) v128.store(P + k, add(v128.load(P + k), v128.load(c + k)));
}

/** A' times two columns of six rows at `from`, turned over into two rows at `to`. */
// @ts-ignore: decorator
@inline function pullBack(from: usize, to: usize, T: usize, S: usize): void {
  const m0 = v128.load(from);
  const m1 = v128.load(from, 48);
  const m2 = v128.load(from, 96);
  const f0 = v128.load(from, 144);
  const f1 = v128.load(from, 192);
  const f2 = v128.load(from, 240);
  const g0 = add(add(mul(splat(T), f0), mul(splat(T + 8), f1)), mul(splat(T + 16), f2));
  const g1 = add(add(mul(splat(T + 24), f0), mul(splat(T + 32), f1)), mul(splat(T + 40), f2));
  const g2 = add(add(mul(splat(T + 48), f0), mul(splat(T + 56), f1)), mul(splat(T + 64), f2));
  const x = splat(S);
  const y = splat(S + 8);
  const z = splat(S + 16);
  const n0 = sub(add(add(add(mul(splat(T), m0), mul(splat(T + 8), m1)), mul(splat(T + 16), m2)), mul(y, g2)), mul(z, g1));
  const n1 = sub(add(add(add(mul(splat(T + 24), m0), mul(splat(T + 32), m1)), mul(splat(T + 40), m2)), mul(z, g0)), mul(x, g2));
  const n2 = sub(add(add(add(mul(splat(T + 48), m0), mul(splat(T + 56), m1)), mul(splat(T + 64), m2)), mul(x, g1)), mul(y, g0));
  v128.store(to, v128.shuffle<f64>(n0, n1, 0, 2));
  v128.store(to, v128.shuffle<f64>(n2, g0, 0, 2), 16);
  v128.store(to, v128.shuffle<f64>(g1, g2, 0, 2), 32);
  v128.store(to, v128.shuffle<f64>(n0, n1, 1, 3), 48);
  v128.store(to, v128.shuffle<f64>(n2, g0, 1, 3), 64);
  v128.store(to, v128.shuffle<f64>(g1, g2, 1, 3), 80);
}
