// Shares of the entry tensions along rubbing cables. Same formulas as `shareTensions` in src/rod/friction.ts, two cables at a time.
import { cableLine, cables, flexible, floor, friction, give, grip, lead, passing, share, spans, tail, turn, weighted } from "./memory";

@external("env", "exp")
declare function exponential(x: f64): f64;
@external("env", "atan2")
declare function angle(y: f64, x: f64): f64;

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
@inline function step(sum: v128, x: v128, c: f64): v128 {
  return add(mul(sum, x), f64x2.splat(c));
}

// @ts-ignore: decorator
@inline function pair(at: usize, single: bool): v128 {
  return single ? v128.load_splat<f64>(at) : v128.load(at);
}

// @ts-ignore: decorator
@inline function put(at: usize, v: v128, single: bool): void {
  if (single) v128.store_lane<f64>(at, v, 0);
  else v128.store(at, v);
}

/** Angles with z of two unit vectors, by the series of the arcsine while they are small. */
// @ts-ignore: decorator
@inline function angles(x: v128, y: v128, z: v128): v128 {
  const s2 = add(mul(x, x), mul(y, y));
  const small = f64x2.lt(s2, f64x2.splat(0.0625));
  const up = f64x2.gt(z, f64x2.splat(0));
  if (!i64x2.all_true(v128.and(small, up))) return large(s2, z);
  // (2 k)! / (4^k k!^2 (2 k + 1)): the first one left out adds less than 1e-17
  let sum = f64x2.splat(0.0073125258735988455);
  sum = step(sum, s2, 0.008390335809616815);
  sum = step(sum, s2, 0.009761609529194078);
  sum = step(sum, s2, 0.01155180089613972);
  sum = step(sum, s2, 0.01396484375);
  sum = step(sum, s2, 0.017352764423076924);
  sum = step(sum, s2, 0.022372159090909092);
  sum = step(sum, s2, 0.030381944444444444);
  sum = step(sum, s2, 0.044642857142857144);
  sum = step(sum, s2, 0.075);
  sum = step(sum, s2, 0.16666666666666666);
  sum = step(sum, s2, 1);
  return mul(f64x2.sqrt(s2), sum);
}

function large(s2: v128, z: v128): v128 {
  const a = angle(sqrt(f64x2.extract_lane(s2, 0)), f64x2.extract_lane(z, 0));
  const b = angle(sqrt(f64x2.extract_lane(s2, 1)), f64x2.extract_lane(z, 1));
  return f64x2.replace_lane(f64x2.splat(a), 1, b);
}

// @ts-ignore: decorator
@inline function exponentials(x: v128): v128 {
  if (!i64x2.all_true(f64x2.lt(f64x2.abs(x), f64x2.splat(0.1)))) {
    return f64x2.replace_lane(f64x2.splat(exponential(f64x2.extract_lane(x, 0))), 1, exponential(f64x2.extract_lane(x, 1)));
  }
  let sum = f64x2.splat(1.0 / 3628800);
  sum = step(sum, x, 1.0 / 362880);
  sum = step(sum, x, 1.0 / 40320);
  sum = step(sum, x, 1.0 / 5040);
  sum = step(sum, x, 1.0 / 720);
  sum = step(sum, x, 1.0 / 120);
  sum = step(sum, x, 1.0 / 24);
  sum = step(sum, x, 1.0 / 6);
  sum = step(sum, x, 0.5);
  sum = step(sum, x, 1);
  return step(sum, x, 1);
}

/** Over the free spans: `share`, `weighted` [cable], the least share into `floor`, the sum of (share - 1) times pitch into `give`. */
export function shareTensions(first: i32): void {
  for (let c = 0; c < cables; c++) {
    store<f64>(weighted + 8 * c, 0);
    store<f64>(floor + 8 * c, 1);
    store<f64>(give + 8 * c, 0);
  }
  const one = f64x2.splat(1);
  const against = f64x2.splat(-load<f64>(friction));
  for (let i = first; i < spans; i++) {
    const pitch = f64x2.splat(load<f64>(lead + 8 * i) + load<f64>(flexible + 8 * i) + load<f64>(tail + 8 * i));
    const T = turn + 72 * i;
    const row = 8 * cables;
    for (let c = load<i32>(passing + 12 * i); c < cables; c += 2) {
      const single = c + 1 == cables;
      const next: usize = single ? 0 : 32;
      const o = cableLine + 32 * (i * cables + c);
      let a = v128.load(o);
      let b = v128.load(o + next);
      const x = v128.shuffle<f64>(a, b, 0, 2);
      const y = v128.shuffle<f64>(a, b, 1, 3);
      a = v128.load(o, 16);
      b = v128.load(o + next, 16);
      const z = v128.shuffle<f64>(a, b, 0, 2);
      const short = v128.shuffle<f64>(a, b, 1, 3);
      const u = add(add(mul(splat(T), x), mul(splat(T + 8), y)), mul(splat(T + 16), z));
      const v = add(add(mul(splat(T + 24), x), mul(splat(T + 32), y)), mul(splat(T + 40), z));
      const w = add(add(mul(splat(T + 48), x), mul(splat(T + 56), y)), mul(splat(T + 64), z));
      let turned = angles(u, v, w);
      const at = share + row * i + 8 * c;
      let value = one;
      if (i > first) {
        const p = o - 32 * cables;
        a = v128.load(p);
        b = v128.load(p + next);
        turned = add(turned, angles(v128.shuffle<f64>(a, b, 0, 2), v128.shuffle<f64>(a, b, 1, 3), v128.shuffle<f64>(v128.load(p, 16), v128.load(p + next, 16), 0, 2)));
        value = pair(at - row, single);
      }
      value = mul(value, exponentials(mul(mul(pair(grip + row * i + 8 * c, single), against), turned)));
      put(at, value, single);
      const to = weighted + 8 * c;
      put(to, add(pair(to, single), f64x2.div(value, short)), single);
      const g = give + 8 * c;
      put(g, add(pair(g, single), mul(f64x2.sub(value, one), pitch)), single);
      const f = floor + 8 * c;
      put(f, f64x2.min(pair(f, single), value), single);
    }
  }
}
