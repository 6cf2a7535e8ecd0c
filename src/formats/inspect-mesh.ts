/** What a person should know of a mesh before trusting it: triangles without area, doubled triangles, open edges. */
import { weldCorners } from "./weld-corners.ts";

export interface MeshCounts {
  readonly triangles: number;
  /** triangles without area */
  readonly flat: number;
  /** triangles that another one before them repeats, whichever way round */
  readonly doubled: number;
  /** edges that only one triangle has; doubled and flat triangles do not count */
  readonly open: number;
}

/** Height of a triangle over its longest edge below which it has no area: single precision cannot tell it from a line. */
const flatRatio = 1e-7;

/** @param corners [triangle, 9] */
export function countMesh(corners: Float64Array): MeshCounts {
  const triangles = corners.length / 9;
  const place = weldCorners(corners);
  const bits = Math.ceil(Math.log2(Math.max(2, 4 * triangles)));
  const first = new Int32Array(2 ** bits).fill(-1);
  const sound = new Uint8Array(triangles);
  const three = new Int32Array(3 * triangles);
  let flat = 0;
  let doubled = 0;
  for (let k = 0; k < triangles; k++) {
    sortThree(place, three, 3 * k);
    if (isFlat(corners, 9 * k)) {
      flat++;
      continue;
    }
    let slot = hashOf(three[3 * k]!, three[3 * k + 1]!, three[3 * k + 2]!, bits);
    while (first[slot]! >= 0 && !sameThree(three, first[slot]!, k)) slot = (slot + 1) & (first.length - 1);
    if (first[slot]! >= 0) doubled++;
    else {
      first[slot] = k;
      sound[k] = 1;
    }
  }
  return { triangles, flat, doubled, open: countOpen(three, sound) };
}

/** The counts as remarks; nothing where there is nothing to remark. */
export function inspectMesh(corners: Float64Array): string[] {
  const { triangles, flat, doubled, open } = countMesh(corners);
  const remarks: string[] = [];
  if (flat > 0) remarks.push(`${flat} of ${triangles} triangles have no area`);
  if (doubled > 0) remarks.push(`${doubled} of ${triangles} triangles are doubled`);
  if (open > 0) remarks.push(`${open} edges are open: distances are to the surface as it is, and a gap is a way through`);
  return remarks;
}

/** Edges are counted in a table keyed by their two places. */
function countOpen(three: Int32Array, sound: Uint8Array): number {
  const bits = Math.ceil(Math.log2(Math.max(2, 3 * sound.length)));
  const size = 2 ** bits;
  const from = new Int32Array(size).fill(-1);
  const to = new Int32Array(size);
  const times = new Uint8Array(size);
  let open = 0;
  for (let k = 0; k < sound.length; k++) {
    if (sound[k] === 0) continue;
    for (let edge = 0; edge < 3; edge++) {
      const a = three[3 * k + (edge === 2 ? 1 : 0)]!;
      const b = three[3 * k + (edge === 0 ? 1 : 2)]!;
      let slot = hashOf(a, b, 0, bits);
      while (from[slot]! >= 0 && !(from[slot] === a && to[slot] === b)) slot = (slot + 1) & (size - 1);
      if (from[slot]! < 0) {
        from[slot] = a;
        to[slot] = b;
        times[slot] = 1;
        open++;
      } else if (times[slot] === 1) {
        times[slot] = 2;
        open--;
      }
    }
  }
  return open;
}

function isFlat(corners: Float64Array, at: number): boolean {
  let bb = 0;
  let cc = 0;
  let ee = 0;
  for (let i = 0; i < 3; i++) {
    const b = corners[at + 3 + i]! - corners[at + i]!;
    const c = corners[at + 6 + i]! - corners[at + i]!;
    bb += b * b;
    cc += c * c;
    ee += (c - b) * (c - b);
  }
  const long = Math.max(bb, cc, ee);
  if (long === 0) return true;
  const bx = corners[at + 3]! - corners[at]!;
  const by = corners[at + 4]! - corners[at + 1]!;
  const bz = corners[at + 5]! - corners[at + 2]!;
  const cx = corners[at + 6]! - corners[at]!;
  const cy = corners[at + 7]! - corners[at + 1]!;
  const cz = corners[at + 8]! - corners[at + 2]!;
  const double = Math.sqrt((by * cz - bz * cy) ** 2 + (bz * cx - bx * cz) ** 2 + (bx * cy - by * cx) ** 2);
  return double <= flatRatio * long;
}

function sortThree(place: Int32Array, three: Int32Array, at: number): void {
  const a = place[at]!;
  const b = place[at + 1]!;
  const c = place[at + 2]!;
  three[at] = Math.min(a, b, c);
  three[at + 2] = Math.max(a, b, c);
  three[at + 1] = a + b + c - three[at]! - three[at + 2]!;
}

function sameThree(three: Int32Array, k: number, j: number): boolean {
  return three[3 * k] === three[3 * j] && three[3 * k + 1] === three[3 * j + 1] && three[3 * k + 2] === three[3 * j + 2];
}

function hashOf(a: number, b: number, c: number, bits: number): number {
  let hash = Math.imul(a, 0x9e3779b1) ^ Math.imul(b, 0x85ebca77) ^ Math.imul(c, 0xc2b2ae3d);
  hash = Math.imul(hash ^ (hash >>> 15), 0x2c1b3c6d);
  hash ^= hash >>> 13;
  return hash >>> (32 - bits);
}
