/** The closest point of a triangle, and of all triangles of a tree. Numbers go in and out by arrays: nothing is allocated. */
import type { TriangleTree } from "./triangle-tree.ts";

/** Rounding of a squared distance, relative: what is farther than this beyond the best cannot be the best. */
const slack = 1 + 1e-14;
/** Below this ratio of height to length a triangle's own plane is lost in rounding; its edges then are all of it. */
const sliver = 1e-10;

/**
 * Finds the triangle nearest to a point; of equals the one that came first in the file, so that neither `start` nor
 * the shape of the tree can change the answer.
 *
 * @param ask    [4] the point, m, world; the greatest squared distance that matters, m^2 (lowered on the way)
 * @param start  a triangle that is likely near (in leaf order), -1 for none
 * @param hit    [4] result: the closest point, m; its squared distance, m^2
 * @param pile   [stackSize] scratch
 * @param bound  [stackSize] scratch
 * @returns the triangle in leaf order, -1 (and `hit` untouched) where none is as near as asked
 */
export function nearestTriangle(
  tree: TriangleTree,
  ask: Float64Array,
  start: number,
  hit: Float64Array,
  trial: Float64Array,
  pile: Int32Array,
  bound: Float64Array,
): number {
  const { corners, order, box, link } = tree;
  const x = ask[0]!;
  const y = ask[1]!;
  const z = ask[2]!;
  let best = ask[3]!;
  let found = -1;
  let rank = 0x7fffffff;
  if (start >= 0) {
    nearestOnTriangle(corners, 9 * start, ask, trial);
    if (trial[3]! <= best) {
      best = trial[3]!;
      ask[3] = best;
      found = start;
      rank = order[start]!;
      hit[0] = trial[0]!;
      hit[1] = trial[1]!;
      hit[2] = trial[2]!;
      hit[3] = best;
    }
  }
  let top = 0;
  let node = 0;
  for (;;) {
    const many = link[2 * node + 1]!;
    if (many > 0) {
      const first = link[2 * node]!;
      for (let k = first; k < first + many; k++) {
        nearestOnTriangle(corners, 9 * k, ask, trial);
        const d = trial[3]!;
        if (d < best || (d === best && order[k]! < rank)) {
          best = d;
          ask[3] = d;
          found = k;
          rank = order[k]!;
          hit[0] = trial[0]!;
          hit[1] = trial[1]!;
          hit[2] = trial[2]!;
          hit[3] = best;
        }
      }
    } else {
      const right = link[2 * node]!;
      let at = 6 * node + 6;
      let dx = x < box[at]! ? box[at]! - x : x > box[at + 3]! ? x - box[at + 3]! : 0;
      let dy = y < box[at + 1]! ? box[at + 1]! - y : y > box[at + 4]! ? y - box[at + 4]! : 0;
      let dz = z < box[at + 2]! ? box[at + 2]! - z : z > box[at + 5]! ? z - box[at + 5]! : 0;
      const toLeft = dx * dx + dy * dy + dz * dz;
      at = 6 * right;
      dx = x < box[at]! ? box[at]! - x : x > box[at + 3]! ? x - box[at + 3]! : 0;
      dy = y < box[at + 1]! ? box[at + 1]! - y : y > box[at + 4]! ? y - box[at + 4]! : 0;
      dz = z < box[at + 2]! ? box[at + 2]! - z : z > box[at + 5]! ? z - box[at + 5]! : 0;
      const toRight = dx * dx + dy * dy + dz * dz;
      const most = best * slack;
      if (toLeft <= toRight) {
        if (toRight <= most) {
          pile[top] = right;
          bound[top++] = toRight;
        }
        if (toLeft <= most) {
          node += 1;
          continue;
        }
      } else {
        if (toLeft <= most) {
          pile[top] = node + 1;
          bound[top++] = toLeft;
        }
        if (toRight <= most) {
          node = right;
          continue;
        }
      }
    }
    while (top > 0 && bound[top - 1]! > best * slack) top--;
    if (top === 0) return found;
    node = pile[--top]!;
  }
}

/**
 * The closest point of one triangle. Its inside is told by the signs of three triple products, and only edges that the point
 * lies beyond are looked at; written with cross products, it loses digits with length / height, not with its square.
 *
 * @param at   where the triangle's nine numbers begin
 * @param ask  [4] the point; the greatest squared distance that matters, m^2
 * @param out  [4] the closest point, m; its squared distance, m^2, Infinity where it was seen to be farther than asked
 */
export function nearestOnTriangle(corners: Float64Array, at: number, ask: Float64Array, out: Float64Array): void {
  const best = ask[3]!;
  const ax = corners[at]!;
  const ay = corners[at + 1]!;
  const az = corners[at + 2]!;
  const bx = corners[at + 3]! - ax;
  const by = corners[at + 4]! - ay;
  const bz = corners[at + 5]! - az;
  const cx = corners[at + 6]! - ax;
  const cy = corners[at + 7]! - ay;
  const cz = corners[at + 8]! - az;
  const px = ask[0]! - ax;
  const py = ask[1]! - ay;
  const pz = ask[2]! - az;
  const nx = by * cz - bz * cy;
  const ny = bz * cx - bx * cz;
  const nz = bx * cy - by * cx;
  const nn = nx * nx + ny * ny + nz * nz;
  const bb = bx * bx + by * by + bz * bz;
  const cc = cx * cx + cy * cy + cz * cz;
  const ex = cx - bx;
  const ey = cy - by;
  const ez = cz - bz;
  const ee = ex * ex + ey * ey + ez * ez;
  const long = bb > cc ? (bb > ee ? bb : ee) : cc > ee ? cc : ee;
  const off = nx * px + ny * py + nz * pz;
  // beyond the plane by more than the best, and by more than rounding makes of it (1e-12 of the way to a corner while a triangle is
  // no thinner than 1e-4): its edges need no look
  if (nn > 1e-8 * long * long && off * off > (best * (1 + 1e-6) + 1e-16 * (px * px + py * py + pz * pz)) * nn) {
    out[3] = Infinity;
    return;
  }
  // on which side of each edge, times nn; all >= 0 inside
  let ofC = (by * pz - bz * py) * nx + (bz * px - bx * pz) * ny + (bx * py - by * px) * nz;
  let ofB = (py * cz - pz * cy) * nx + (pz * cx - px * cz) * ny + (px * cy - py * cx) * nz;
  let ofA = nn - ofB - ofC;
  if (!(nn > sliver * sliver * long * long)) {
    ofA = -1;
    ofB = -1;
    ofC = -1;
  } else if (ofA >= 0 && ofB >= 0 && ofC >= 0) {
    const t = off / nn;
    out[0] = ask[0]! - t * nx;
    out[1] = ask[1]! - t * ny;
    out[2] = ask[2]! - t * nz;
    out[3] = t * t * nn;
    return;
  }
  let least = Infinity;
  let qx = 0;
  let qy = 0;
  let qz = 0;
  if (ofC < 0) {
    let t = bb > 0 ? (bx * px + by * py + bz * pz) / bb : 0;
    t = t < 0 ? 0 : t > 1 ? 1 : t;
    qx = t * bx;
    qy = t * by;
    qz = t * bz;
    const dx = px - qx;
    const dy = py - qy;
    const dz = pz - qz;
    least = dx * dx + dy * dy + dz * dz;
  }
  if (ofB < 0) {
    let t = cc > 0 ? (cx * px + cy * py + cz * pz) / cc : 0;
    t = t < 0 ? 0 : t > 1 ? 1 : t;
    const sx = t * cx;
    const sy = t * cy;
    const sz = t * cz;
    const dx = px - sx;
    const dy = py - sy;
    const dz = pz - sz;
    const d = dx * dx + dy * dy + dz * dz;
    if (d < least) {
      least = d;
      qx = sx;
      qy = sy;
      qz = sz;
    }
  }
  if (ofA < 0) {
    let t = ee > 0 ? (ex * (px - bx) + ey * (py - by) + ez * (pz - bz)) / ee : 0;
    t = t < 0 ? 0 : t > 1 ? 1 : t;
    const sx = bx + t * ex;
    const sy = by + t * ey;
    const sz = bz + t * ez;
    const dx = px - sx;
    const dy = py - sy;
    const dz = pz - sz;
    const d = dx * dx + dy * dy + dz * dz;
    if (d < least) {
      least = d;
      qx = sx;
      qy = sy;
      qz = sz;
    }
  }
  out[0] = ax + qx;
  out[1] = ay + qy;
  out[2] = az + qz;
  out[3] = least;
}
