/**
 * One span: rigid lead, uniform strain over the flexible length, rigid tail; exact to second order in its strains.
 *
 * With theta = l (ux, uy, uz) and t = |theta|^2 the flexible part turns by exp(theta) and moves by l (1 + e) V(theta) e3.
 * The coefficients a = sin/theta, b = (1 - cos)/theta^2, c = (theta - sin)/theta^3 and their derivatives by t are analytic
 * in t: a power series up to t = 1, closed forms beyond.
 */

/** [8] b, c, b', c', b'', c'', a, t */
export type TurnCoefficients = Float64Array;

/** @param k [8] read: t = theta^2 >= 0 at 7; written: b, c, b', c', b'', c'' and a at t. Numbers go by arrays here: as arguments each would be put on the heap. */
export function turnCoefficients(k: TurnCoefficients): void {
  const t = k[7] as number;
  if (t <= 1) {
    k[0] =
      1 / 2 -
      t * (1 / 24 - t * (1 / 720 - t * (1 / 40320 - t * (1 / 3628800 - t * (1 / 479001600 - t * (1 / 87178291200 - t / 20922789888000))))));
    k[1] =
      1 / 6 -
      t *
        (1 / 120 -
          t * (1 / 5040 - t * (1 / 362880 - t * (1 / 39916800 - t * (1 / 6227020800 - t * (1 / 1307674368000 - t / 355687428096000))))));
    k[2] =
      -1 / 24 +
      t * (2 / 720 - t * (3 / 40320 - t * (4 / 3628800 - t * (5 / 479001600 - t * (6 / 87178291200 - (t * 7) / 20922789888000)))));
    k[3] =
      -1 / 120 +
      t * (2 / 5040 - t * (3 / 362880 - t * (4 / 39916800 - t * (5 / 6227020800 - t * (6 / 1307674368000 - (t * 7) / 355687428096000)))));
    k[4] = 2 / 720 - t * (6 / 40320 - t * (12 / 3628800 - t * (20 / 479001600 - t * (30 / 87178291200 - (t * 42) / 20922789888000))));
    k[5] =
      2 / 5040 - t * (6 / 362880 - t * (12 / 39916800 - t * (20 / 6227020800 - t * (30 / 1307674368000 - (t * 42) / 355687428096000))));
    k[6] = 1 - t * k[1];
    return;
  }
  const theta = Math.sqrt(t);
  const cos = Math.cos(theta);
  const a = Math.sin(theta) / theta;
  const a1 = (cos - a) / (2 * t);
  const a2 = (-a / 2 - 3 * a1) / (2 * t);
  const b = (1 - cos) / t;
  const c = (1 - a) / t;
  const b1 = (a / 2 - b) / t;
  const c1 = (-a1 - c) / t;
  k[0] = b;
  k[1] = c;
  k[2] = b1;
  k[3] = c1;
  k[4] = (a1 / 2 - 2 * b1) / t;
  k[5] = (-a2 - 2 * c1) / t;
  k[6] = a;
}

/**
 * Turn, shift and reach of one span.
 *
 * @param strain [.., 4] at `s4`
 * @param leads, flexibles, tails [..] read at i, m
 * @param turn [.., 9] written at 9 i: rotation from the upper to the lower vertebra
 * @param shift [.., 3] written at 3 i: upper vertebra's centre in the lower frame, m
 * @param reach [.., 6, 4] written at 24 i: motion of the upper vertebra, in its own axes, a unit strain
 */
export function placeSpan(
  strain: Float64Array,
  i: number,
  leads: Float64Array,
  flexibles: Float64Array,
  tails: Float64Array,
  turn: Float64Array,
  shift: Float64Array,
  reach: Float64Array,
  k: TurnCoefficients,
): void {
  const lead = leads[i] as number;
  const flexible = flexibles[i] as number;
  const tail = tails[i] as number;
  const x = flexible * (strain[4 * i] as number);
  const y = flexible * (strain[4 * i + 1] as number);
  const z = flexible * (strain[4 * i + 2] as number);
  const stretched = flexible * (1 + (strain[4 * i + 3] as number));
  const t = x * x + y * y + z * z;
  k[7] = t;
  turnCoefficients(k);
  const b = k[0] as number;
  const c = k[1] as number;
  const b1 = 2 * (k[2] as number);
  const c1 = 2 * (k[3] as number);
  const a = k[6] as number;
  const r0 = 1 - b * (y * y + z * z);
  const r1 = b * x * y - a * z;
  const r2 = b * x * z + a * y;
  const r3 = b * x * y + a * z;
  const r4 = 1 - b * (x * x + z * z);
  const r5 = b * y * z - a * x;
  const r6 = b * x * z - a * y;
  const r7 = b * y * z + a * x;
  const r8 = 1 - b * (x * x + y * y);
  const ti = 9 * i;
  turn[ti] = r0;
  turn[ti + 1] = r1;
  turn[ti + 2] = r2;
  turn[ti + 3] = r3;
  turn[ti + 4] = r4;
  turn[ti + 5] = r5;
  turn[ti + 6] = r6;
  turn[ti + 7] = r7;
  turn[ti + 8] = r8;
  // V e3 = e3 + b theta x e3 + c (theta theta3 - t e3)
  const v0 = b * y + c * x * z;
  const v1 = -b * x + c * y * z;
  const v2 = 1 + c * (z * z - t);
  shift[3 * i] = stretched * v0 + tail * r2;
  shift[3 * i + 1] = stretched * v1 + tail * r5;
  shift[3 * i + 2] = lead + stretched * v2 + tail * r8;
  const bi = 24 * i;
  // rotation: right Jacobian I - b [theta] + c [theta]^2, times the length
  reach[bi] = flexible * (1 - c * (y * y + z * z));
  reach[bi + 1] = flexible * (c * x * y + b * z);
  reach[bi + 2] = flexible * (c * x * z - b * y);
  reach[bi + 3] = 0;
  reach[bi + 4] = flexible * (c * x * y - b * z);
  reach[bi + 5] = flexible * (1 - c * (x * x + z * z));
  reach[bi + 6] = flexible * (c * y * z + b * x);
  reach[bi + 7] = 0;
  reach[bi + 8] = flexible * (c * x * z + b * y);
  reach[bi + 9] = flexible * (c * y * z - b * x);
  reach[bi + 10] = flexible * (1 - c * (x * x + y * y));
  reach[bi + 11] = 0;
  // translation: R' d(stretched V e3), then over the tail
  const g0 = z * x;
  const g1 = z * y;
  const g2 = z * z - t;
  for (let j = 0; j < 4; j++) {
    let d0: number;
    let d1: number;
    let d2: number;
    if (j === 3) {
      d0 = flexible * v0;
      d1 = flexible * v1;
      d2 = flexible * v2;
    } else {
      const w = j === 0 ? x : j === 1 ? y : z;
      d0 = b1 * w * y + c1 * w * g0 + (j === 0 ? c * z : j === 1 ? b : c * x);
      d1 = -b1 * w * x + c1 * w * g1 + (j === 0 ? -b : j === 1 ? c * z : c * y);
      d2 = c1 * w * g2 + (j === 2 ? 0 : -2 * c * w);
      d0 *= stretched * flexible;
      d1 *= stretched * flexible;
      d2 *= stretched * flexible;
    }
    const wx = reach[bi + j] as number;
    const wy = reach[bi + 4 + j] as number;
    reach[bi + 12 + j] = r0 * d0 + r3 * d1 + r6 * d2 + wy * tail;
    reach[bi + 16 + j] = r1 * d0 + r4 * d1 + r7 * d2 - wx * tail;
    reach[bi + 20 + j] = r2 * d0 + r5 * d1 + r8 * d2;
  }
}

/**
 * Second derivative of (wrench . motion of the upper vertebra) by the span's strains, added to `into`.
 *
 * @param strain [.., 4] read at 4 i
 * @param flexibles, tails [..] read at i, m
 * @param wrench [6] at `p`: moment and force on the upper vertebra, its own axes, N m and N
 * @param turn [.., 9], reach [.., 24] of the same span, as `placeSpan` wrote them
 * @param into [.., 16] added to at `o`
 */
export function addSpanCurvature(
  strain: Float64Array,
  i: number,
  flexibles: Float64Array,
  tails: Float64Array,
  wrench: Float64Array,
  p: number,
  turn: Float64Array,
  reach: Float64Array,
  k: TurnCoefficients,
  into: Float64Array,
  o: number,
): void {
  const flexible = flexibles[i] as number;
  const tail = tails[i] as number;
  const m0 = wrench[p] as number;
  const m1 = wrench[p + 1] as number;
  const m2 = wrench[p + 2] as number;
  const f0 = wrench[p + 3] as number;
  const f1 = wrench[p + 4] as number;
  const f2 = wrench[p + 5] as number;
  const x = flexible * (strain[4 * i] as number);
  const y = flexible * (strain[4 * i + 1] as number);
  const z = flexible * (strain[4 * i + 2] as number);
  const e1 = 1 + (strain[4 * i + 3] as number);
  const t = x * x + y * y + z * z;
  k[7] = t;
  turnCoefficients(k);
  const b = k[0] as number;
  const c = k[1] as number;
  const b1 = 2 * (k[2] as number);
  const c1 = 2 * (k[3] as number);
  const b2 = 4 * (k[4] as number);
  const c2 = 4 * (k[5] as number);
  // moment at the end of the flexible part
  const h0 = m0 - tail * f1;
  const h1 = m1 + tail * f0;
  const h2 = m2;
  const l2 = flexible * flexible;
  // rotation part: d -> h . (-(b') (th.d)(th x d) + c' (th.d) th x (th x d) + c d x (th x d))
  const n0 = h1 * z - h2 * y; // h x theta
  const n1 = h2 * x - h0 * z;
  const n2 = h0 * y - h1 * x;
  const q0 = n1 * z - n2 * y; // (h x theta) x theta
  const q1 = n2 * x - n0 * z;
  const q2 = n0 * y - n1 * x;
  const g0 = 0.5 * (c1 * q0 - b1 * n0 - c * h0);
  const g1 = 0.5 * (c1 * q1 - b1 * n1 - c * h1);
  const g2 = 0.5 * (c1 * q2 - b1 * n2 - c * h2);
  const iso = c * (h0 * x + h1 * y + h2 * z);
  let xx = l2 * (2 * g0 * x + iso);
  let yy = l2 * (2 * g1 * y + iso);
  let zz = l2 * (2 * g2 * z + iso);
  let xy = l2 * (g0 * y + g1 * x);
  let xz = l2 * (g0 * z + g2 * x);
  let yz = l2 * (g1 * z + g2 * y);
  // translation part: F = w . V(theta) e3 with w = R f
  const ti = 9 * i;
  const w0 = (turn[ti] as number) * f0 + (turn[ti + 1] as number) * f1 + (turn[ti + 2] as number) * f2;
  const w1 = (turn[ti + 3] as number) * f0 + (turn[ti + 4] as number) * f1 + (turn[ti + 5] as number) * f2;
  const w2 = (turn[ti + 6] as number) * f0 + (turn[ti + 7] as number) * f1 + (turn[ti + 8] as number) * f2;
  const cross = w0 * y - w1 * x; // w . (theta x e3)
  const dot = w0 * x + w1 * y + w2 * z;
  const big = dot * z - t * w2;
  const k0 = w0 * z - 2 * x * w2; // gradient of big
  const k1 = w1 * z - 2 * y * w2;
  const k2 = w2 * z + dot - 2 * z * w2;
  const scale = e1 * l2 * flexible;
  const same = b1 * cross + c1 * big - 2 * c * w2;
  const outer = b2 * cross + c2 * big;
  const p0 = -b1 * w1 + c1 * k0; // multiplies theta, symmetrised
  const p1 = b1 * w0 + c1 * k1;
  const p2 = c1 * k2;
  xx += scale * (same + outer * x * x + 2 * p0 * x);
  yy += scale * (same + outer * y * y + 2 * p1 * y);
  zz += scale * (same + outer * z * z + 2 * p2 * z + 2 * c * w2);
  xy += scale * (outer * x * y + p0 * y + p1 * x);
  xz += scale * (outer * x * z + p0 * z + p2 * x + c * w0);
  yz += scale * (outer * y * z + p1 * z + p2 * y + c * w1);
  const xe = l2 * (b1 * cross * x - b * w1 + c1 * big * x + c * k0);
  const ye = l2 * (b1 * cross * y + b * w0 + c1 * big * y + c * k1);
  const ze = l2 * (b1 * cross * z + c1 * big * z + c * k2);
  // the translation of a motion lags its rotation: -1/2 f . (omega x v), at the end of the flexible part, both ways round
  const bi = 24 * i;
  for (let r = 0; r < 4; r++) {
    const a0 = reach[bi + r] as number;
    const a1 = reach[bi + 4 + r] as number;
    const a2 = reach[bi + 8 + r] as number;
    const v0 = (reach[bi + 12 + r] as number) - a1 * tail;
    const v1 = (reach[bi + 16 + r] as number) + a0 * tail;
    const v2 = reach[bi + 20 + r] as number;
    // row r of the rest
    const ex = r === 0 ? xx : r === 1 ? xy : r === 2 ? xz : xe;
    const ey = r === 0 ? xy : r === 1 ? yy : r === 2 ? yz : ye;
    const ez = r === 0 ? xz : r === 1 ? yz : r === 2 ? zz : ze;
    for (let s = 0; s < 4; s++) {
      const d0 = reach[bi + s] as number;
      const d1 = reach[bi + 4 + s] as number;
      const d2 = reach[bi + 8 + s] as number;
      const u0 = (reach[bi + 12 + s] as number) - d1 * tail;
      const u1 = (reach[bi + 16 + s] as number) + d0 * tail;
      const u2 = reach[bi + 20 + s] as number;
      const lag =
        f0 * (a1 * u2 - a2 * u1 + d1 * v2 - d2 * v1) +
        f1 * (a2 * u0 - a0 * u2 + d2 * v0 - d0 * v2) +
        f2 * (a0 * u1 - a1 * u0 + d0 * v1 - d1 * v0);
      const rest = s === 0 ? ex : s === 1 ? ey : s === 2 ? ez : r === 0 ? xe : r === 1 ? ye : r === 2 ? ze : 0;
      const at = o + 4 * r + s;
      into[at] = (into[at] as number) + rest - 0.5 * lag;
    }
  }
}
