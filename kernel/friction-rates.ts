// How a step changes the shares along rubbing cables. Same formulas as src/rod/friction-rates.ts.
import {
  cableLine, cableRate, cables, cableX, cableY, column, floorChange, friction, grip, passing, reach, share, shareChange, shareRate, spans, tail, tension,
  tensionChange, turn,
} from "./memory";

/** `shareRate` over the free spans; the arm is placed. */
export function rateShares(first: i32): void {
  const mu = load<f64>(friction);
  const row = 8 * cables;
  for (let i = first; i < spans; i++) {
    const B = reach + 192 * i;
    const T = turn + 72 * i;
    const z0 = load<f64>(T, 48);
    const z1 = load<f64>(T, 56);
    const z2 = load<f64>(T, 64);
    const rz = -load<f64>(tail + 8 * i);
    for (let c = load<i32>(passing + 12 * i); c < cables; c++) {
      const o = cableLine + 32 * (i * cables + c);
      const n0 = load<f64>(o);
      const n1 = load<f64>(o, 8);
      const n2 = load<f64>(o, 16);
      const short = load<f64>(o, 24);
      const rx = load<f64>(cableX + 8 * c);
      const ry = load<f64>(cableY + 8 * c);
      const g = grip + row * i + 8 * c;
      const cosine = z0 * n0 + z1 * n1 + z2 * n2;
      const s = 1 - cosine * cosine;
      const lower = s > 1e-12 ? (load<f64>(g) * mu) / sqrt(s) : 0;
      const q = n0 * n0 + n1 * n1;
      const upper = q > 1e-12 ? (load<f64>(g + row) * mu) / sqrt(q) : 0;
      const l0 = lower * short * (z0 - cosine * n0);
      const l1 = lower * short * (z1 - cosine * n1);
      const l2 = lower * short * (z2 - cosine * n2);
      const u0 = -upper * short * n2 * n0;
      const u1 = -upper * short * n2 * n1;
      const u2 = upper * short * (1 - n2 * n2);
      const k = shareRate + 64 * (i * cables + c);
      for (let j: usize = 0; j < 32; j += 8) {
        const b = B + j;
        const w0 = load<f64>(b);
        const w1 = load<f64>(b, 32);
        const w2 = load<f64>(b, 64);
        const d0 = load<f64>(b, 96) + w1 * rz - w2 * ry;
        const d1 = load<f64>(b, 128) + w2 * rx - w0 * rz;
        const d2 = load<f64>(b, 160) + w0 * ry - w1 * rx;
        store<f64>(k + j, l0 * d0 + l1 * d1 + l2 * d2);
        store<f64>(k + j, u0 * d0 + u1 * d1 + u2 * d2 - upper * (w0 * n1 - w1 * n0), 32);
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
