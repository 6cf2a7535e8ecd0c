// Columns two by two: one in each lane. Same algebra as src/rod/solve-columns.ts.
import { bendWeight, between, cableRate, cables, column, columnBase, columnEnd, columnFoot, columnTip, free, gain, motion, passing, pivot, reach, shift, spans, turn, weight } from "./memory";

// @ts-ignore: decorator
@inline function two(a: usize, b: usize): v128 {
  return v128.load_lane<f64>(b, v128.load_zero<f64>(a), 1);
}

// @ts-ignore: decorator
@inline function put(a: usize, b: usize, v: v128): void {
  v128.store_lane<f64>(a, v, 0);
  v128.store_lane<f64>(b, v, 1);
}

// @ts-ignore: decorator
@inline function mul(at: usize, v: v128): v128 {
  return f64x2.mul(v128.load_splat<f64>(at), v);
}

// @ts-ignore: decorator
@inline function splat(at: usize): v128 {
  return v128.load_splat<f64>(at);
}

// @ts-ignore: decorator
@inline function add(a: v128, b: v128): v128 {
  return f64x2.add(a, b);
}

// @ts-ignore: decorator
@inline function sub(a: v128, b: v128): v128 {
  return f64x2.sub(a, b);
}

/** Reduces `count` columns from `from` on, over their spans down to `first`, as `reduceColumn` does. */
export function reduceColumns(from: i32, count: i32, first: i32): void {
  for (let k = 0; k < count; k += 2) reduceTwo(from + k, from + (k + 1 < count ? k + 1 : k), first);
}

/** Returns `count` columns from `from` on, from span `first` to the tip, as `returnColumn` does. */
export function returnColumns(from: i32, count: i32, first: i32): void {
  for (let k = 0; k < count; k += 2) returnTwo(from + k, from + (k + 1 < count ? k + 1 : k), first);
}

/** Zeros from a column's end on; returns the end. */
// @ts-ignore: decorator
@inline function cut(c: i32): i32 {
  const end = load<i32>(columnEnd + 4 * c);
  memory.fill(column + 32 * (spans * c + end), 0, 32 * (spans - end));
  return end;
}

function reduceTwo(a: i32, b: i32, first: i32): void {
  const endA = cut(a);
  const endB = cut(b);
  const end = endA > endB ? endA : endB;
  // a wrench on the tip counts where the column runs to it
  const none = between + 288;
  let p = endA == spans ? columnTip + 48 * a : none;
  let q = endB == spans ? columnTip + 48 * b : none;
  let m0 = two(p, q);
  let m1 = two(p + 8, q + 8);
  let m2 = two(p + 16, q + 16);
  let f0 = two(p + 24, q + 24);
  let f1 = two(p + 32, q + 32);
  let f2 = two(p + 40, q + 40);
  const baseA = column + 32 * spans * a;
  const baseB = column + 32 * spans * b;
  for (let i = end - 1; i >= first; i--) {
    const B = reach + 192 * i;
    const G = gain + 192 * i;
    const T = turn + 72 * i;
    const S = shift + 24 * i;
    const D = pivot + 128 * i;
    const F = free + 32 * i;
    const x = baseA + 32 * i;
    const y = baseB + 32 * i;
    let h0 = two(x, y);
    h0 = add(h0, mul(B, m0));
    h0 = add(h0, mul(B + 32, m1));
    h0 = add(h0, mul(B + 64, m2));
    h0 = add(h0, mul(B + 96, f0));
    h0 = add(h0, mul(B + 128, f1));
    h0 = mul(F, add(h0, mul(B + 160, f2)));
    let h1 = two(x + 8, y + 8);
    h1 = add(h1, mul(B + 8, m0));
    h1 = add(h1, mul(B + 40, m1));
    h1 = add(h1, mul(B + 72, m2));
    h1 = add(h1, mul(B + 104, f0));
    h1 = add(h1, mul(B + 136, f1));
    h1 = mul(F + 8, add(h1, mul(B + 168, f2)));
    let h2 = two(x + 16, y + 16);
    h2 = add(h2, mul(B + 16, m0));
    h2 = add(h2, mul(B + 48, m1));
    h2 = add(h2, mul(B + 80, m2));
    h2 = add(h2, mul(B + 112, f0));
    h2 = add(h2, mul(B + 144, f1));
    h2 = mul(F + 16, add(h2, mul(B + 176, f2)));
    let h3 = two(x + 24, y + 24);
    h3 = add(h3, mul(B + 120, f0));
    h3 = add(h3, mul(B + 152, f1));
    h3 = mul(F + 24, add(h3, mul(B + 184, f2)));
    const w0 = sub(sub(sub(sub(m0, mul(G, h0)), mul(G + 48, h1)), mul(G + 96, h2)), mul(G + 144, h3));
    const w1 = sub(sub(sub(sub(m1, mul(G + 8, h0)), mul(G + 56, h1)), mul(G + 104, h2)), mul(G + 152, h3));
    const w2 = sub(sub(sub(sub(m2, mul(G + 16, h0)), mul(G + 64, h1)), mul(G + 112, h2)), mul(G + 160, h3));
    const e0 = sub(sub(sub(sub(f0, mul(G + 24, h0)), mul(G + 72, h1)), mul(G + 120, h2)), mul(G + 168, h3));
    const e1 = sub(sub(sub(sub(f1, mul(G + 32, h0)), mul(G + 80, h1)), mul(G + 128, h2)), mul(G + 176, h3));
    const e2 = sub(sub(sub(sub(f2, mul(G + 40, h0)), mul(G + 88, h1)), mul(G + 136, h2)), mul(G + 184, h3));
    f0 = add(add(mul(T, e0), mul(T + 8, e1)), mul(T + 16, e2));
    f1 = add(add(mul(T + 24, e0), mul(T + 32, e1)), mul(T + 40, e2));
    f2 = add(add(mul(T + 48, e0), mul(T + 56, e1)), mul(T + 64, e2));
    m0 = sub(add(add(add(mul(T, w0), mul(T + 8, w1)), mul(T + 16, w2)), mul(S + 8, f2)), mul(S + 16, f1));
    m1 = sub(add(add(add(mul(T + 24, w0), mul(T + 32, w1)), mul(T + 40, w2)), mul(S + 16, f0)), mul(S, f2));
    m2 = sub(add(add(add(mul(T + 48, w0), mul(T + 56, w1)), mul(T + 64, w2)), mul(S, f1)), mul(S + 8, f0));
    const y1 = sub(h1, mul(D + 32, h0));
    const y2 = sub(sub(h2, mul(D + 64, h0)), mul(D + 72, y1));
    put(x, y, h0);
    put(x + 8, y + 8, y1);
    put(x + 16, y + 16, y2);
    put(x + 24, y + 24, sub(sub(sub(h3, mul(D + 96, h0)), mul(D + 104, y1)), mul(D + 112, y2)));
  }
  p = columnFoot + 48 * a;
  q = columnFoot + 48 * b;
  put(p, q, m0);
  put(p + 8, q + 8, m1);
  put(p + 16, q + 16, m2);
  put(p + 24, q + 24, f0);
  put(p + 32, q + 32, f1);
  put(p + 40, q + 40, f2);
}

function returnTwo(a: i32, b: i32, first: i32): void {
  let p = columnBase + 48 * a;
  let q = columnBase + 48 * b;
  let w0 = two(p, q);
  let w1 = two(p + 8, q + 8);
  let w2 = two(p + 16, q + 16);
  let u0 = two(p + 24, q + 24);
  let u1 = two(p + 32, q + 32);
  let u2 = two(p + 40, q + 40);
  p = motion + 48 * ((spans + 1) * a + first);
  q = motion + 48 * ((spans + 1) * b + first);
  put(p, q, w0);
  put(p + 8, q + 8, w1);
  put(p + 16, q + 16, w2);
  put(p + 24, q + 24, u0);
  put(p + 32, q + 32, u1);
  put(p + 40, q + 40, u2);
  const baseA = column + 32 * spans * a;
  const baseB = column + 32 * spans * b;
  for (let i = first; i < spans; i++) {
    const B = reach + 192 * i;
    const G = gain + 192 * i;
    const T = turn + 72 * i;
    const S = shift + 24 * i;
    const D = pivot + 128 * i;
    const x = baseA + 32 * i;
    const y = baseB + 32 * i;
    const v0 = sub(add(u0, mul(S + 16, w1)), mul(S + 8, w2));
    const v1 = sub(add(u1, mul(S, w2)), mul(S + 16, w0));
    const v2 = sub(add(u2, mul(S + 8, w0)), mul(S, w1));
    const a0 = add(add(mul(T, w0), mul(T + 24, w1)), mul(T + 48, w2));
    const a1 = add(add(mul(T + 8, w0), mul(T + 32, w1)), mul(T + 56, w2));
    const a2 = add(add(mul(T + 16, w0), mul(T + 40, w1)), mul(T + 64, w2));
    const c0 = add(add(mul(T, v0), mul(T + 24, v1)), mul(T + 48, v2));
    const c1 = add(add(mul(T + 8, v0), mul(T + 32, v1)), mul(T + 56, v2));
    const c2 = add(add(mul(T + 16, v0), mul(T + 40, v1)), mul(T + 64, v2));
    const y3 = mul(D + 120, two(x + 24, y + 24));
    const y2 = sub(mul(D + 80, two(x + 16, y + 16)), mul(D + 112, y3));
    const y1 = sub(sub(mul(D + 40, two(x + 8, y + 8)), mul(D + 72, y2)), mul(D + 104, y3));
    const y0 = sub(sub(sub(mul(D, two(x, y)), mul(D + 32, y1)), mul(D + 64, y2)), mul(D + 96, y3));
    const x0 = sub(sub(sub(sub(sub(sub(y0, mul(G, a0)), mul(G + 8, a1)), mul(G + 16, a2)), mul(G + 24, c0)), mul(G + 32, c1)), mul(G + 40, c2));
    const x1 = sub(sub(sub(sub(sub(sub(y1, mul(G + 48, a0)), mul(G + 56, a1)), mul(G + 64, a2)), mul(G + 72, c0)), mul(G + 80, c1)), mul(G + 88, c2));
    const x2 = sub(sub(sub(sub(sub(sub(y2, mul(G + 96, a0)), mul(G + 104, a1)), mul(G + 112, a2)), mul(G + 120, c0)), mul(G + 128, c1)), mul(G + 136, c2));
    const x3 = sub(sub(sub(sub(sub(sub(y3, mul(G + 144, a0)), mul(G + 152, a1)), mul(G + 160, a2)), mul(G + 168, c0)), mul(G + 176, c1)), mul(G + 184, c2));
    put(x, y, x0);
    put(x + 8, y + 8, x1);
    put(x + 16, y + 16, x2);
    put(x + 24, y + 24, x3);
    w0 = add(add(add(a0, mul(B, x0)), mul(B + 8, x1)), mul(B + 16, x2));
    w1 = add(add(add(a1, mul(B + 32, x0)), mul(B + 40, x1)), mul(B + 48, x2));
    w2 = add(add(add(a2, mul(B + 64, x0)), mul(B + 72, x1)), mul(B + 80, x2));
    u0 = add(add(add(add(c0, mul(B + 96, x0)), mul(B + 104, x1)), mul(B + 112, x2)), mul(B + 120, x3));
    u1 = add(add(add(add(c1, mul(B + 128, x0)), mul(B + 136, x1)), mul(B + 144, x2)), mul(B + 152, x3));
    u2 = add(add(add(add(c2, mul(B + 160, x0)), mul(B + 168, x1)), mul(B + 176, x2)), mul(B + 184, x3));
    p += 48;
    q += 48;
    put(p, q, w0);
    put(p + 8, q + 8, w1);
    put(p + 16, q + 16, w2);
    put(p + 24, q + 24, u0);
    put(p + 32, q + 32, u1);
    put(p + 40, q + 40, u2);
  }
}

/**
 * Products of `rows` reduced columns from `a` on with `count` from `c` on, weighted by the pivots; both even, and two by two they end alike.
 *
 * @param into written: [rows, stride]
 */
export function products(a: i32, rows: i32, c: i32, count: i32, first: i32, into: usize, stride: i32): void {
  for (let r = 0; r < rows; r += 2) {
    const endR = load<i32>(columnEnd + 4 * (a + r));
    for (let k = 0; k < count; k += 2) {
      const endK = load<i32>(columnEnd + 4 * (c + k));
      productsTwo(a + r, c + k, first, endR < endK ? endR : endK, into + 8 * (r * stride + k), 8 * stride);
    }
  }
}

// @ts-ignore: decorator
@inline function productsTwo(a: i32, c: i32, first: i32, end: i32, into: usize, stride: usize): void {
  const n = 32 * spans;
  let p = column + n * a + 32 * first;
  let q = column + n * c + 32 * first;
  let w = weight + 32 * first;
  const past = weight + 32 * end;
  let s00 = f64x2.splat(0);
  let s01 = s00;
  let s10 = s00;
  let s11 = s00;
  for (; w < past; w += 16, p += 16, q += 16) {
    const k = v128.load(w);
    const a0 = f64x2.mul(k, v128.load(p));
    const a1 = f64x2.mul(k, v128.load(p + n));
    const c0 = v128.load(q);
    const c1 = v128.load(q + n);
    s00 = add(s00, f64x2.mul(a0, c0));
    s01 = add(s01, f64x2.mul(a0, c1));
    s10 = add(s10, f64x2.mul(a1, c0));
    s11 = add(s11, f64x2.mul(a1, c1));
  }
  store<f64>(into, f64x2.extract_lane(s00, 0) + f64x2.extract_lane(s00, 1));
  store<f64>(into, f64x2.extract_lane(s01, 0) + f64x2.extract_lane(s01, 1), 8);
  store<f64>(into + stride, f64x2.extract_lane(s10, 0) + f64x2.extract_lane(s10, 1));
  store<f64>(into + stride, f64x2.extract_lane(s11, 0) + f64x2.extract_lane(s11, 1), 8);
}

/** Adds `count` columns from `from` on to column `into`, each up to its end and times its factor at `factors` [count]. */
export function combineColumns(into: i32, from: i32, count: i32, factors: usize): void {
  for (let k = 0; k < count; k++) {
    const s = splat(factors + 8 * k);
    let p = column + 32 * spans * into;
    let q = column + 32 * spans * (from + k);
    const past = p + 32 * load<i32>(columnEnd + 4 * (from + k));
    for (; p < past; p += 32, q += 32) {
      v128.store(p, add(v128.load(p), f64x2.mul(s, v128.load(q))));
      v128.store(p, add(v128.load(p, 16), f64x2.mul(s, v128.load(q, 16))), 16);
    }
  }
}

/** Changes of the bends by the strains of column c: [section, 2] at `into`. */
export function bendChanges(c: i32, sections: i32, first: i32, into: usize): void {
  for (let k = 0; k < 2 * sections; k++) store<f64>(into + 8 * k, 0);
  for (let i = first; i < spans; i++) {
    const h = column + 32 * (spans * c + i);
    const x = v128.load(h);
    const y = v128.load(h, 16);
    const end = load<i32>(passing + 12 * i, 4);
    let sum = f64x2.splat(0);
    for (let k = load<i32>(passing + 12 * i); k < end; k++) {
      const q = cableRate + 32 * (i * cables + k);
      const d = add(f64x2.mul(x, v128.load(q)), f64x2.mul(y, v128.load(q, 16)));
      sum = add(sum, f64x2.mul(v128.load(bendWeight + 16 * k), f64x2.splat(f64x2.extract_lane(d, 0) + f64x2.extract_lane(d, 1))));
    }
    const o = into + 16 * load<i32>(passing + 12 * i, 8);
    v128.store(o, add(v128.load(o), sum));
  }
}
