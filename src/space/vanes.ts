/**
 * Rows of guide vanes in closed form: each a round-edged strip along an arc, with square ends.
 *
 * size: 0 count; 1 half of the centre line's chord; 2 half thickness; 3 span; 4 radius of the centre line's arc, 0 where it is straight;
 * 5 half the angle it turns; 6 rise of the arc over its chord; then [vane, 12] its frame in the body: rotation row-major (along the chord,
 * across, along the span), place of the chord's middle at the span's start; m.
 */
import { tiny } from "./bore.ts";
import type { VanesShape } from "./description.ts";

const head = 7;

export function layVanes(shape: VanesShape): Float64Array {
  const { count, chord, thickness, span, camber, row, pitch, radius } = shape;
  const half = (chord - thickness) / 2;
  const beta = camber / 2;
  // less than that leaves the chord by a tenth of a micrometre, and its arc's centre is too far for exact numbers
  const bow = beta > 1e-5 ? half / Math.sin(beta) : 0;
  const rise = bow * (1 - Math.cos(beta));
  const frames: number[] = [];
  const [c, s] = [Math.cos(shape.stagger), Math.sin(shape.stagger)];
  for (let k = 0; k < count; k++) {
    if (row === "straight") {
      frames.push(...frame([s, c, 0], [0, 0, 1], [(k - (count - 1) / 2) * pitch, 0, 0]));
      continue;
    }
    const angle = (k * pitch) / radius;
    const [ca, sa] = [Math.cos(angle), Math.sin(angle)];
    const at: Vector = [radius * ca, radius * sa, 0];
    if (row === "radial") frames.push(...frame([c * ca - s * sa, c * sa + s * ca, 0], [0, 0, 1], at));
    else frames.push(...frame([-s * sa, s * ca, c], [ca, sa, 0], at));
  }
  return Float64Array.of(count, half, thickness / 2, span, bow, bow > 0 ? beta : 0, rise, ...frames);
}

type Vector = readonly [number, number, number];

/** @param u along the chord @param w along the span */
function frame(u: Vector, w: Vector, at: Vector): number[] {
  const v = [w[1] * u[2] - w[2] * u[1], w[2] * u[0] - w[0] * u[2], w[0] * u[1] - w[1] * u[0]] as const;
  return [u[0], v[0], w[0], u[1], v[1], w[1], u[2], v[2], w[2], ...at];
}

/** @param p [3] body frame, m @param hit [3] the closest point of any vane's surface, from outside or from within, m; [3] its squared distance, m^2 */
export function nearestOnVanes(size: Float64Array, p: Float64Array, hit: Float64Array): void {
  const count = size[0]!;
  const half = size[1]!;
  const h = size[2]!;
  const span = size[3]!;
  const bow = size[4]!;
  const beta = size[5]!;
  const rise = size[6]!;
  const x = p[0]!;
  const y = p[1]!;
  const z = p[2]!;
  const wide = half + h + rise;
  const reach = Math.sqrt(wide * wide + 0.25 * span * span);
  hit[3] = Infinity;
  for (let k = 0; k < count; k++) {
    const o = head + 12 * k;
    const dx = x - size[o + 9]!;
    const dy = y - size[o + 10]!;
    const dz = z - size[o + 11]!;
    const u = size[o]! * dx + size[o + 3]! * dy + size[o + 6]! * dz;
    const v = size[o + 1]! * dx + size[o + 4]! * dy + size[o + 7]! * dz;
    const w = size[o + 2]! * dx + size[o + 5]! * dy + size[o + 8]! * dz;
    const far = Math.sqrt(u * u + v * v + (w - 0.5 * span) * (w - 0.5 * span)) - reach;
    if (far > 0 && far * far > hit[3]!) continue;
    // the foot on the centre line, and the direction from it across the vane
    let fu: number;
    let fv = 0;
    let nu = 0;
    let nv = 1;
    if (bow > 0) {
      const down = v + bow - rise;
      let angle = Math.atan2(u, down);
      if (angle > beta) angle = beta;
      else if (angle < -beta) angle = -beta;
      nu = Math.sin(angle);
      nv = Math.cos(angle);
      fu = bow * nu;
      fv = bow * nv - bow + rise;
    } else fu = u < -half ? -half : u > half ? half : u;
    const eu = u - fu;
    const ev = v - fv;
    const off = Math.sqrt(eu * eu + ev * ev);
    if (off > tiny) {
      nu = eu / off;
      nv = ev / off;
    }
    let cw = w < 0 ? 0 : w > span ? span : w;
    let su = u;
    let sv = v;
    if (off > h) {
      su = fu + h * nu;
      sv = fv + h * nv;
    } else if (cw === w) {
      const toEnd = w < span - w ? w : span - w;
      if (h - off <= toEnd) {
        su = fu + h * nu;
        sv = fv + h * nv;
      } else cw = w < span - w ? 0 : span;
    }
    const d = (su - u) * (su - u) + (sv - v) * (sv - v) + (cw - w) * (cw - w);
    if (!(d < hit[3]!)) continue;
    hit[0] = size[o]! * su + size[o + 1]! * sv + size[o + 2]! * cw + size[o + 9]!;
    hit[1] = size[o + 3]! * su + size[o + 4]! * sv + size[o + 5]! * cw + size[o + 10]!;
    hit[2] = size[o + 6]! * su + size[o + 7]! * sv + size[o + 8]! * cw + size[o + 11]!;
    hit[3] = d;
  }
}

/** From where to where the vanes reach along a direction given in the body's frame, m. */
export function spanOfVanes(size: Float64Array, x: number, y: number, z: number): [number, number] {
  let [low, high] = [Infinity, -Infinity];
  const [half, h, span, bow, beta, rise] = [size[1]!, size[2]!, size[3]!, size[4]!, size[5]!, size[6]!];
  for (let o = head; o < size.length; o += 12) {
    const along = (i: number): number => x * size[o + i]! + y * size[o + 3 + i]! + z * size[o + 6 + i]!;
    const [du, dv, dw] = [along(0), along(1), along(2)];
    const at = x * size[o + 9]! + y * size[o + 10]! + z * size[o + 11]!;
    const ends = [-du * half, du * half];
    if (bow > 0) {
      const peak = Math.atan2(du, dv);
      for (const angle of [peak, peak - Math.PI, peak + Math.PI])
        if (Math.abs(angle) < beta) ends.push(bow * (du * Math.sin(angle) + dv * Math.cos(angle)) + dv * (rise - bow));
    }
    const aside = h * Math.sqrt(du * du + dv * dv);
    low = Math.min(low, at + Math.min(...ends) - aside + Math.min(0, dw * span));
    high = Math.max(high, at + Math.max(...ends) + aside + Math.max(0, dw * span));
  }
  return [low, high];
}

/**
 * The profile of one vane as pairs of points, one on either side, from edge to edge; the first and the last pair are one point each.
 *
 * @param steps  along the centre line @param round  over a quarter of an edge
 * @returns [pair, 4] u, v on the side of the bulge and on the other, m
 */
export function vaneProfile(size: Float64Array, steps: number, round: number): number[][] {
  const [half, h, bow, beta, rise] = [size[1]!, size[2]!, size[4]!, size[5]!, size[6]!];
  const out: number[][] = [];
  const line = (t: number): [number, number, number] => {
    const angle = bow > 0 ? (2 * t - 1) * beta : 0;
    return bow > 0 ? [bow * Math.sin(angle), bow * Math.cos(angle) - bow + rise, angle] : [(2 * t - 1) * half, 0, 0];
  };
  const pair = (t: number, lean: number): void => {
    // lean: from square across the centre line (0) to along it, rad
    const [u, v, angle] = line(t);
    const [s, c] = [Math.sin(angle + lean), Math.cos(angle + lean)];
    const [s2, c2] = [Math.sin(angle - lean), Math.cos(angle - lean)];
    out.push([u + h * s, v + h * c, u - h * s2, v - h * c2]);
  };
  for (let k = round; k > 0; k--) pair(0, (-k * Math.PI) / (2 * round));
  for (let k = 0; k <= steps; k++) pair(k / steps, 0);
  for (let k = 1; k <= round; k++) pair(1, (k * Math.PI) / (2 * round));
  return out;
}

/** First of the frames in a row's numbers. */
export const vaneFrames = head;
