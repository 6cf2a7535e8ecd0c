/** What the rods and the cables of one span put into its gradient and second derivative. */
import type { ArmModel } from "../arm/index.ts";
import { addStop } from "./joint-stop.ts";
import { softenRods } from "./soften-rods.ts";
import type { RodWork } from "./work.ts";

/** offsets in `work.scratch`, beside those of sweep.ts */
export const pull = 60; // [6] wrench of the cables over the span, on the upper vertebra
export const cables = 66; // [10] sums over the cables, see `cableTerms`
export const local = 110; // [4] gradient and [4, 4] second derivative of the span

/** Energy, gradient and second derivative of the rods of span i and of its joint's stop, into local [4] and [16]. */
export function rodTerms(arm: ArmModel, strain: Float64Array, i: number, work: RodWork): void {
  const w = work.scratch;
  const l = work.flexible[i] as number;
  const o = 4 * i;
  const x0 = (strain[o] as number) - (arm.rest[o] as number);
  const x1 = (strain[o + 1] as number) - (arm.rest[o + 1] as number);
  const x2 = (strain[o + 2] as number) - (arm.rest[o + 2] as number);
  const x3 = (strain[o + 3] as number) - (arm.rest[o + 3] as number);
  const s = 16 * i;
  const K = arm.stiffness;
  let energy = 0;
  for (let r = 0; r < 4; r++) {
    const k0 = K[s + 4 * r] as number;
    const k1 = K[s + 4 * r + 1] as number;
    const k2 = K[s + 4 * r + 2] as number;
    const k3 = K[s + 4 * r + 3] as number;
    const force = k0 * x0 + k1 * x1 + k2 * x2 + k3 * x3;
    energy += 0.5 * force * (r === 0 ? x0 : r === 1 ? x1 : r === 2 ? x2 : x3);
    w[local + r] = l * force;
    w[local + 4 + 4 * r] = l * k0;
    w[local + 5 + 4 * r] = l * k1;
    w[local + 6 + 4 * r] = l * k2;
    w[local + 7 + 4 * r] = l * k3;
  }
  const b0 = arm.twistStretch[o] as number;
  const b1 = arm.twistStretch[o + 1] as number;
  const b3 = arm.twistStretch[o + 2] as number;
  const q = arm.twistStretch[o + 3] as number;
  const pull = b0 * x0 + b1 * x1 + b3 * x3;
  const z2 = x2 * x2;
  energy += pull * z2 + 0.5 * q * z2 * z2;
  w[local] = (w[local] as number) + l * b0 * z2;
  w[local + 1] = (w[local + 1] as number) + l * b1 * z2;
  w[local + 2] = (w[local + 2] as number) + l * (2 * pull * x2 + 2 * q * z2 * x2);
  w[local + 3] = (w[local + 3] as number) + l * b3 * z2;
  addSym(w, local + 4, 4, 2, 2, l * (2 * pull + 6 * q * z2));
  addSym(w, local + 4, 4, 0, 2, 2 * l * b0 * x2);
  addSym(w, local + 4, 4, 1, 2, 2 * l * b1 * x2);
  addSym(w, local + 4, 4, 3, 2, 2 * l * b3 * x2);
  work.energy += l * energy;
  const ux = strain[o] as number;
  const uy = strain[o + 1] as number;
  const greatest = arm.stop[2 * i] as number;
  const square = l * l * (ux * ux + uy * uy);
  if (square > greatest * greatest) addStop(arm, i, ux, uy, Math.sqrt(square), work);
  if (arm.softens) softenRods(arm, strain, i, work);
}

/**
 * Cables over span i. What each adds along its own line goes straight into the span's gradient and second derivative,
 * T r and -(T/s) r r' with r its rates by the strains; the rest needs sums over the cables alone, with k = T/s and f = T n:
 * k, k x, k y, k xx, k xy, k yy at `cables`, f0 x + f1 y and so on folded in, and their wrench at `pull`.
 */
export function cableTerms(arm: ArmModel, tension: Float64Array, i: number, work: RodWork): void {
  const w = work.scratch;
  const { cableRate, cableLine, share } = work;
  const { cableX, cableY } = arm;
  let g0 = 0;
  let g1 = 0;
  let g2 = 0;
  let g3 = 0;
  let h00 = 0;
  let h10 = 0;
  let h11 = 0;
  let h20 = 0;
  let h21 = 0;
  let h22 = 0;
  let h30 = 0;
  let h31 = 0;
  let h32 = 0;
  let h33 = 0;
  let k0 = 0;
  let kx = 0;
  let ky = 0;
  let kxx = 0;
  let kxy = 0;
  let kyy = 0;
  let f0 = 0;
  let f1 = 0;
  let f2 = 0;
  let f0x = 0;
  let f0y = 0;
  let f1x = 0;
  let f1y = 0;
  let f2x = 0;
  let f2y = 0;
  let o = 4 * (i * arm.cables + (arm.firstCable[arm.sectionOfSpan[i] as number] as number));
  for (let c = arm.firstCable[arm.sectionOfSpan[i] as number] as number; c < arm.cables; c++, o += 4) {
    const T = (tension[c] as number) * (share[o >> 2] as number);
    if (T === 0) continue;
    const x = cableX[c] as number;
    const y = cableY[c] as number;
    const a0 = T * (cableLine[o] as number);
    const a1 = T * (cableLine[o + 1] as number);
    const a2 = T * (cableLine[o + 2] as number);
    const k = T * (cableLine[o + 3] as number);
    const r0 = cableRate[o] as number;
    const r1 = cableRate[o + 1] as number;
    const r2 = cableRate[o + 2] as number;
    const r3 = cableRate[o + 3] as number;
    g0 += T * r0;
    g1 += T * r1;
    g2 += T * r2;
    g3 += T * r3;
    const s0 = k * r0;
    const s1 = k * r1;
    const s2 = k * r2;
    h00 -= s0 * r0;
    h10 -= s0 * r1;
    h20 -= s0 * r2;
    h30 -= s0 * r3;
    h11 -= s1 * r1;
    h21 -= s1 * r2;
    h31 -= s1 * r3;
    h22 -= s2 * r2;
    h32 -= s2 * r3;
    h33 -= k * r3 * r3;
    const sx = k * x;
    const sy = k * y;
    k0 += k;
    kx += sx;
    ky += sy;
    kxx += sx * x;
    kxy += sx * y;
    kyy += sy * y;
    f0 += a0;
    f1 += a1;
    f2 += a2;
    f0x += a0 * x;
    f0y += a0 * y;
    f1x += a1 * x;
    f1y += a1 * y;
    f2x += a2 * x;
    f2y += a2 * y;
  }
  addTo(w, local, g0);
  addTo(w, local + 1, g1);
  addTo(w, local + 2, g2);
  addTo(w, local + 3, g3);
  // lower part only, here and below
  addTo(w, local + 4, h00);
  addTo(w, local + 8, h10);
  addTo(w, local + 9, h11);
  addTo(w, local + 12, h20);
  addTo(w, local + 13, h21);
  addTo(w, local + 14, h22);
  addTo(w, local + 16, h30);
  addTo(w, local + 17, h31);
  addTo(w, local + 18, h32);
  addTo(w, local + 19, h33);
  const z = -(arm.tail[i] as number);
  w[pull] = f2y - z * f1;
  w[pull + 1] = z * f0 - f2x;
  w[pull + 2] = f1x - f0y;
  w[pull + 3] = f0;
  w[pull + 4] = f1;
  w[pull + 5] = f2;
  // k (|v + omega x r|^2) + f . (omega x v + omega x (omega x r)): rotation block symmetric, k on the translations, [q]x between
  w[cables] = kyy + z * z * k0 - f1y - z * f2;
  w[cables + 1] = kxx + z * z * k0 - f0x - z * f2;
  w[cables + 2] = kxx + kyy - f0x - f1y;
  w[cables + 3] = 0.5 * (f0y + f1x) - kxy;
  w[cables + 4] = 0.5 * (z * f0 + f2x) - z * kx;
  w[cables + 5] = 0.5 * (z * f1 + f2y) - z * ky;
  w[cables + 6] = kx - 0.5 * f0;
  w[cables + 7] = ky - 0.5 * f1;
  w[cables + 8] = z * k0 - 0.5 * f2;
  w[cables + 9] = k0;
}

function addTo(into: Float64Array, at: number, value: number): void {
  into[at] = (into[at] as number) + value;
}

function addSym(into: Float64Array, o: number, size: number, r: number, s: number, value: number): void {
  into[o + size * r + s] = (into[o + size * r + s] as number) + value;
  if (r !== s) into[o + size * s + r] = (into[o + size * s + r] as number) + value;
}
