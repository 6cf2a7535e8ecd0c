// How a step changes the shares along rubbing cables. Same formulas as src/rod/friction-rates.ts.
import {
  cableLine, cableRate, cables, cableX, cableY, column, floorChange, friction, grip, passing, reach, share, shareChange, shareRate, spans, tail, tension,
  tensionChange, turn,
} from "./memory";

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

// @ts-ignore: decorator
@inline function pair(at: usize, single: bool): v128 {
  return single ? splat(at) : v128.load(at);
}

/** Grip times friction over the sine, none where the cable runs straight. */
// @ts-ignore: decorator
@inline function steep(grips: v128, mu: v128, square: v128): v128 {
  return v128.and(f64x2.gt(square, f64x2.splat(1e-12)), f64x2.div(mul(grips, mu), f64x2.sqrt(square)));
}

/** `shareRate` over the free spans, two cables at a time; the arm is placed. */
export function rateShares(first: i32): void {
  const mu = splat(friction);
  const one = f64x2.splat(1);
  const row = 8 * cables;
  for (let i = first; i < spans; i++) {
    const B = reach + 192 * i;
    const T = turn + 72 * i;
    const z0 = splat(T + 48);
    const z1 = splat(T + 56);
    const z2 = splat(T + 64);
    const rz = f64x2.splat(-load<f64>(tail + 8 * i));
    for (let c = load<i32>(passing + 12 * i); c < cables; c += 2) {
      const single = c + 1 == cables;
      const next: usize = single ? 0 : 32;
      const o = cableLine + 32 * (i * cables + c);
      let a = v128.load(o);
      let b = v128.load(o + next);
      const n0 = v128.shuffle<f64>(a, b, 0, 2);
      const n1 = v128.shuffle<f64>(a, b, 1, 3);
      a = v128.load(o, 16);
      b = v128.load(o + next, 16);
      const n2 = v128.shuffle<f64>(a, b, 0, 2);
      const short = v128.shuffle<f64>(a, b, 1, 3);
      const rx = pair(cableX + 8 * c, single);
      const ry = pair(cableY + 8 * c, single);
      const g = grip + row * i + 8 * c;
      const cosine = add(add(mul(z0, n0), mul(z1, n1)), mul(z2, n2));
      const lower = mul(steep(pair(g, single), mu, sub(one, mul(cosine, cosine))), short);
      const upper = steep(pair(g + row, single), mu, add(mul(n0, n0), mul(n1, n1)));
      const l0 = mul(lower, sub(z0, mul(cosine, n0)));
      const l1 = mul(lower, sub(z1, mul(cosine, n1)));
      const l2 = mul(lower, sub(z2, mul(cosine, n2)));
      const reached = mul(upper, short);
      const u0 = mul(reached, mul(n2, n0));
      const u1 = mul(reached, mul(n2, n1));
      const u2 = mul(reached, sub(one, mul(n2, n2)));
      const k = shareRate + 64 * (i * cables + c);
      const beside: usize = single ? 0 : 64;
      for (let j: usize = 0; j < 32; j += 8) {
        const w0 = splat(B + j);
        const w1 = splat(B + j + 32);
        const w2 = splat(B + j + 64);
        const d0 = sub(add(splat(B + j + 96), mul(w1, rz)), mul(w2, ry));
        const d1 = sub(add(splat(B + j + 128), mul(w2, rx)), mul(w0, rz));
        const d2 = sub(add(splat(B + j + 160), mul(w0, ry)), mul(w1, rx));
        const leaves = add(add(mul(l0, d0), mul(l1, d1)), mul(l2, d2));
        const comes = sub(sub(sub(mul(u2, d2), mul(u0, d0)), mul(u1, d1)), mul(upper, sub(mul(w0, n1), mul(w1, n0))));
        // an odd last cable stands in both lanes
        v128.store_lane<f64>(k + j + beside, leaves, 1);
        v128.store_lane<f64>(k + j + beside + 32, comes, 1);
        v128.store_lane<f64>(k + j, leaves, 0);
        v128.store_lane<f64>(k + j + 32, comes, 0);
      }
    }
  }
}

/** `shareChange` and `floorChange` by the strains of column c. */
export function changeShares(c: i32, first: i32): void {
  const row = 8 * cables;
  for (let i = first; i < spans; i++) {
    const x = column + 32 * (spans * c + i);
    const x0 = load<f64>(x);
    const x1 = load<f64>(x, 8);
    const x2 = load<f64>(x, 16);
    const x3 = load<f64>(x, 24);
    const start = i == first;
    const y = start ? x : x - 32;
    const y0 = load<f64>(y);
    const y1 = load<f64>(y, 8);
    const y2 = load<f64>(y, 16);
    const y3 = load<f64>(y, 24);
    for (let k = load<i32>(passing + 12 * i); k < cables; k++) {
      const r = shareRate + 64 * (i * cables + k);
      let value = load<f64>(r) * x0 + load<f64>(r, 8) * x1 + load<f64>(r, 16) * x2 + load<f64>(r, 24) * x3;
      const at = row * i + 8 * k;
      if (!start) {
        const p = r - 64 * cables;
        value += load<f64>(shareChange + at - row) + load<f64>(p, 32) * y0 + load<f64>(p, 40) * y1 + load<f64>(p, 48) * y2 + load<f64>(p, 56) * y3;
      }
      store<f64>(shareChange + at, value);
    }
  }
  for (let k = 0; k < cables; k++) {
    let least: f64 = 1;
    let there: f64 = 0;
    for (let i = first; i < spans && load<i32>(passing + 12 * i) <= k; i++) {
      const at = row * i + 8 * k;
      const value = load<f64>(share + at);
      if (value < least) {
        least = value;
        there = load<f64>(shareChange + at);
      }
    }
    store<f64>(floorChange + 8 * k, there);
  }
}

/** Column c = minus what `tensionChange`, and `shareChange` too when asked, add to the gradient. */
export function pullColumn(c: i32, shares: bool, first: i32): void {
  for (let i = first; i < spans; i++) {
    let sum0 = f64x2.splat(0);
    let sum1 = sum0;
    for (let k = load<i32>(passing + 12 * i); k < cables; k++) {
      const at = 8 * (i * cables + k);
      let change = load<f64>(tensionChange + 8 * k);
      if (shares) change += load<f64>(tension + 8 * k) * load<f64>(shareChange + at);
      const pull = f64x2.splat(load<f64>(share + at) * change);
      const r = cableRate + 4 * at;
      sum0 = f64x2.sub(sum0, f64x2.mul(pull, v128.load(r)));
      sum1 = f64x2.sub(sum1, f64x2.mul(pull, v128.load(r, 16)));
    }
    const h = column + 32 * (spans * c + i);
    v128.store(h, sum0);
    v128.store(h, sum1, 16);
  }
}
