// Strains -> turns, shifts, reaches, frames, cable lengths and rates, bends. Same formulas as src/rod/span.ts and src/rod/place.ts.
import {
  bend, bendWeight, cableLength, cableLine, cableRate, cables, cableX, cableY, coefficient, flexible, frame, lead, passing, reach, shift, spans,
  strain, tail, turn,
} from "./memory";

// of the engine; spans turn by less than a radian but for the strangest arms
@external("env", "sin")
declare function sine(x: f64): f64;
@external("env", "cos")
declare function cosine(x: f64): f64;

/** All from span `first` on; the frame of its lower vertebra must stand, `strain` [span, 4] be filled. @param sections number of sections */
export function placeArm(first: i32, sections: i32): void {
  for (let c = 0; c < cables; c++) store<f64>(cableLength + 8 * c, 0);
  for (let k = 0; k < 2 * sections; k++) store<f64>(bend + 8 * k, 0);
  for (let i = first; i < spans; i++) {
    turnCoefficients(i);
    placeSpan(i);
    chainFrame(frame + 96 * i, turn + 72 * i, shift + 24 * i);
    measureCables(i);
  }
}

function turnCoefficients(i: i32): void {
  const l = load<f64>(flexible + 8 * i);
  const u = strain + 32 * i;
  const x = l * load<f64>(u);
  const y = l * load<f64>(u, 8);
  const z = l * load<f64>(u, 16);
  const t = x * x + y * y + z * z;
  const o = coefficient + 64 * i;
  store<f64>(o, t, 56);
  if (t <= 1) {
    const c = 1.0 / 6 - t * (1.0 / 120 - t * (1.0 / 5040 - t * (1.0 / 362880 - t * (1.0 / 39916800 - t * (1.0 / 6227020800 - t * (1.0 / 1307674368000 - t * (1.0 / 355687428096000)))))));
    store<f64>(o, 1.0 / 2 - t * (1.0 / 24 - t * (1.0 / 720 - t * (1.0 / 40320 - t * (1.0 / 3628800 - t * (1.0 / 479001600 - t * (1.0 / 87178291200 - t * (1.0 / 20922789888000))))))));
    store<f64>(o, c, 8);
    store<f64>(o, 2 * (-1.0 / 24 + t * (2.0 / 720 - t * (3.0 / 40320 - t * (4.0 / 3628800 - t * (5.0 / 479001600 - t * (6.0 / 87178291200 - t * (7.0 / 20922789888000))))))), 16);
    store<f64>(o, 2 * (-1.0 / 120 + t * (2.0 / 5040 - t * (3.0 / 362880 - t * (4.0 / 39916800 - t * (5.0 / 6227020800 - t * (6.0 / 1307674368000 - t * (7.0 / 355687428096000))))))), 24);
    store<f64>(o, 4 * (2.0 / 720 - t * (6.0 / 40320 - t * (12.0 / 3628800 - t * (20.0 / 479001600 - t * (30.0 / 87178291200 - t * (42.0 / 20922789888000)))))), 32);
    store<f64>(o, 4 * (2.0 / 5040 - t * (6.0 / 362880 - t * (12.0 / 39916800 - t * (20.0 / 6227020800 - t * (30.0 / 1307674368000 - t * (42.0 / 355687428096000)))))), 40);
    store<f64>(o, 1 - t * c, 48);
    return;
  }
  const theta = sqrt(t);
  const cos = cosine(theta);
  const a = sine(theta) / theta;
  const a1 = (cos - a) / (2 * t);
  const a2 = (-a / 2 - 3 * a1) / (2 * t);
  const b = (1 - cos) / t;
  const c = (1 - a) / t;
  const b1 = (a / 2 - b) / t;
  const c1 = (-a1 - c) / t;
  store<f64>(o, b);
  store<f64>(o, c, 8);
  store<f64>(o, 2 * b1, 16);
  store<f64>(o, 2 * c1, 24);
  store<f64>(o, 4 * ((a1 / 2 - 2 * b1) / t), 32);
  store<f64>(o, 4 * ((-a2 - 2 * c1) / t), 40);
  store<f64>(o, a, 48);
}

function placeSpan(i: i32): void {
  const l = load<f64>(flexible + 8 * i);
  const back = load<f64>(tail + 8 * i);
  const u = strain + 32 * i;
  const x = l * load<f64>(u);
  const y = l * load<f64>(u, 8);
  const z = l * load<f64>(u, 16);
  const long = l * (1 + load<f64>(u, 24));
  const o = coefficient + 64 * i;
  const b = load<f64>(o);
  const c = load<f64>(o, 8);
  const b1 = load<f64>(o, 16);
  const c1 = load<f64>(o, 24);
  const a = load<f64>(o, 48);
  const t = load<f64>(o, 56);
  const r0 = 1 - b * (y * y + z * z);
  const r1 = b * x * y - a * z;
  const r2 = b * x * z + a * y;
  const r3 = b * x * y + a * z;
  const r4 = 1 - b * (x * x + z * z);
  const r5 = b * y * z - a * x;
  const r6 = b * x * z - a * y;
  const r7 = b * y * z + a * x;
  const r8 = 1 - b * (x * x + y * y);
  const T = turn + 72 * i;
  store<f64>(T, r0);
  store<f64>(T, r1, 8);
  store<f64>(T, r2, 16);
  store<f64>(T, r3, 24);
  store<f64>(T, r4, 32);
  store<f64>(T, r5, 40);
  store<f64>(T, r6, 48);
  store<f64>(T, r7, 56);
  store<f64>(T, r8, 64);
  // V e3
  const v0 = b * y + c * x * z;
  const v1 = c * y * z - b * x;
  const v2 = 1 + c * (z * z - t);
  const S = shift + 24 * i;
  store<f64>(S, long * v0 + back * r2);
  store<f64>(S, long * v1 + back * r5, 8);
  store<f64>(S, load<f64>(lead + 8 * i) + long * v2 + back * r8, 16);
  const B = reach + 192 * i;
  const x0 = l * (1 - c * (y * y + z * z));
  const x1 = l * (c * x * y - b * z);
  const x2 = l * (c * x * z + b * y);
  const y0 = l * (c * x * y + b * z);
  const y1 = l * (1 - c * (x * x + z * z));
  const y2 = l * (c * y * z - b * x);
  const z0 = l * (c * x * z - b * y);
  const z1 = l * (c * y * z + b * x);
  const z2 = l * (1 - c * (x * x + y * y));
  store<f64>(B, x0);
  store<f64>(B, y0, 8);
  store<f64>(B, z0, 16);
  store<f64>(B, 0, 24);
  store<f64>(B, x1, 32);
  store<f64>(B, y1, 40);
  store<f64>(B, z1, 48);
  store<f64>(B, 0, 56);
  store<f64>(B, x2, 64);
  store<f64>(B, y2, 72);
  store<f64>(B, z2, 80);
  store<f64>(B, 0, 88);
  // translation: R' d(long V e3), then over the tail
  const g2 = z * z - t;
  const m = long * l;
  const p0 = b1 * y + c1 * z * x;
  const p1 = c1 * z * y - b1 * x;
  const p2 = c1 * g2 - 2 * c;
  let d0 = m * (p0 * x + c * z);
  let d1 = m * (p1 * x - b);
  let d2 = m * p2 * x;
  store<f64>(B, r0 * d0 + r3 * d1 + r6 * d2 + x1 * back, 96);
  store<f64>(B, r1 * d0 + r4 * d1 + r7 * d2 - x0 * back, 128);
  store<f64>(B, r2 * d0 + r5 * d1 + r8 * d2, 160);
  d0 = m * (p0 * y + b);
  d1 = m * (p1 * y + c * z);
  d2 = m * p2 * y;
  store<f64>(B, r0 * d0 + r3 * d1 + r6 * d2 + y1 * back, 104);
  store<f64>(B, r1 * d0 + r4 * d1 + r7 * d2 - y0 * back, 136);
  store<f64>(B, r2 * d0 + r5 * d1 + r8 * d2, 168);
  d0 = m * (p0 * z + c * x);
  d1 = m * (p1 * z + c * y);
  d2 = m * c1 * g2 * z;
  store<f64>(B, r0 * d0 + r3 * d1 + r6 * d2 + z1 * back, 112);
  store<f64>(B, r1 * d0 + r4 * d1 + r7 * d2 - z0 * back, 144);
  store<f64>(B, r2 * d0 + r5 * d1 + r8 * d2, 176);
  store<f64>(B, l * (r0 * v0 + r3 * v1 + r6 * v2), 120);
  store<f64>(B, l * (r1 * v0 + r4 * v1 + r7 * v2), 152);
  store<f64>(B, l * (r2 * v0 + r5 * v1 + r8 * v2), 184);
}

/** frame[o + 96 bytes] = frame[o] * (turn, shift) */
function chainFrame(o: usize, T: usize, S: usize): void {
  const x = load<f64>(S);
  const y = load<f64>(S, 8);
  const z = load<f64>(S, 16);
  for (let r: usize = 0; r < 3; r++) {
    const p = o + 24 * r;
    const a = load<f64>(p);
    const b = load<f64>(p, 8);
    const c = load<f64>(p, 16);
    store<f64>(p, a * load<f64>(T) + b * load<f64>(T, 24) + c * load<f64>(T, 48), 96);
    store<f64>(p, a * load<f64>(T, 8) + b * load<f64>(T, 32) + c * load<f64>(T, 56), 104);
    store<f64>(p, a * load<f64>(T, 16) + b * load<f64>(T, 40) + c * load<f64>(T, 64), 112);
    store<f64>(o + 8 * r, load<f64>(o + 8 * r, 72) + a * x + b * y + c * z, 168);
  }
}

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

/** Two cables at a time, one in each lane; an odd last one stands in both. */
function measureCables(i: i32): void {
  const T = turn + 72 * i;
  const B = reach + 192 * i;
  const own = load<i32>(passing + 12 * i);
  const ownEnd = load<i32>(passing + 12 * i, 4);
  const section = load<i32>(passing + 12 * i, 8);
  const rz = -load<f64>(tail + 8 * i);
  const pz = load<f64>(shift + 24 * i, 16) - load<f64>(lead + 8 * i);
  const px = splat(shift + 24 * i);
  const py = splat(shift + 24 * i + 8);
  const u0 = f64x2.splat(load<f64>(T, 48) * pz);
  const u1 = f64x2.splat(load<f64>(T, 56) * pz);
  const u2 = f64x2.splat(load<f64>(T, 64) * pz + rz);
  const z = f64x2.splat(rz);
  const one = f64x2.splat(1);
  let bx: f64 = 0;
  let by: f64 = 0;
  for (let c = own; c < cables; c += 2) {
    const single = c + 1 == cables;
    const rx = single ? splat(cableX + 8 * c) : v128.load(cableX + 8 * c);
    const ry = single ? splat(cableY + 8 * c) : v128.load(cableY + 8 * c);
    const dx = sub(px, rx);
    const dy = sub(py, ry);
    const wx = add(add(add(mul(splat(T), dx), mul(splat(T + 24), dy)), u0), rx);
    const wy = add(add(add(mul(splat(T + 8), dx), mul(splat(T + 32), dy)), u1), ry);
    const wz = add(add(mul(splat(T + 16), dx), mul(splat(T + 40), dy)), u2);
    const s = f64x2.sqrt(add(add(mul(wx, wx), mul(wy, wy)), mul(wz, wz)));
    const short = f64x2.div(one, s);
    const n0 = mul(wx, short);
    const n1 = mul(wy, short);
    const n2 = mul(wz, short);
    const m0 = sub(mul(ry, n2), mul(z, n1));
    const m1 = sub(mul(z, n0), mul(rx, n2));
    const m2 = sub(mul(rx, n1), mul(ry, n0));
    const r0 = add(add(add(add(add(mul(m0, splat(B)), mul(m1, splat(B + 32))), mul(m2, splat(B + 64))), mul(n0, splat(B + 96))), mul(n1, splat(B + 128))), mul(n2, splat(B + 160)));
    const r1 = add(add(add(add(add(mul(m0, splat(B + 8)), mul(m1, splat(B + 40))), mul(m2, splat(B + 72))), mul(n0, splat(B + 104))), mul(n1, splat(B + 136))), mul(n2, splat(B + 168)));
    const r2 = add(add(add(add(add(mul(m0, splat(B + 16)), mul(m1, splat(B + 48))), mul(m2, splat(B + 80))), mul(n0, splat(B + 112))), mul(n1, splat(B + 144))), mul(n2, splat(B + 176)));
    const r3 = add(add(mul(n0, splat(B + 120)), mul(n1, splat(B + 152))), mul(n2, splat(B + 184)));
    const o = cableLine + 32 * (i * cables + c);
    const q = cableRate + 32 * (i * cables + c);
    v128.store(o, v128.shuffle<f64>(n0, n1, 0, 2));
    v128.store(o, v128.shuffle<f64>(n2, short, 0, 2), 16);
    v128.store(q, v128.shuffle<f64>(r0, r1, 0, 2));
    v128.store(q, v128.shuffle<f64>(r2, r3, 0, 2), 16);
    const s0 = f64x2.extract_lane(s, 0);
    store<f64>(cableLength + 8 * c, load<f64>(cableLength + 8 * c) + s0);
    if (c < ownEnd) {
      bx += load<f64>(bendWeight + 16 * c) * s0;
      by += load<f64>(bendWeight + 16 * c, 8) * s0;
    }
    if (single) break;
    v128.store(o, v128.shuffle<f64>(n0, n1, 1, 3), 32);
    v128.store(o, v128.shuffle<f64>(n2, short, 1, 3), 48);
    v128.store(q, v128.shuffle<f64>(r0, r1, 1, 3), 32);
    v128.store(q, v128.shuffle<f64>(r2, r3, 1, 3), 48);
    const s1 = f64x2.extract_lane(s, 1);
    store<f64>(cableLength + 8 * c, load<f64>(cableLength + 8 * c, 8) + s1, 8);
    if (c + 1 < ownEnd) {
      bx += load<f64>(bendWeight + 16 * c, 16) * s1;
      by += load<f64>(bendWeight + 16 * c, 24) * s1;
    }
  }
  const e = bend + 16 * section;
  store<f64>(e, load<f64>(e) + bx);
  store<f64>(e, load<f64>(e, 8) + by, 8);
}
