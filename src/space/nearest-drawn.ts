/**
 * Closed forms of the drawn bodies: the closest point of the *surface*, seen from outside or from within.
 * In the body's own frame; numbers go in and out by arrays: nothing is allocated.
 *
 * size of a part: box: half edges x, y, z; cylinder: radius, length; ring: radius, bar; plate: half edges x, y, thickness,
 * hole radius; tubes: radius, length, number, then [tube] x sorted, [tube] y; sphere: radius; vanes: see vanes.ts.
 */
import { tiny } from "./bore.ts";
import { partKind } from "./model.ts";
import { nearestOnVanes } from "./vanes.ts";

/**
 * @param p    [3] the point, body frame, m
 * @param hit  [4] result: the closest point, body frame, m; its squared distance, m^2
 */
export function nearestOnDrawn(kind: number, size: Float64Array, p: Float64Array, hit: Float64Array): void {
  if (kind === partKind.box) nearestOnBox(size, false, p, hit);
  else if (kind === partKind.cylinder) nearestOnCylinder(size, -1, p, hit);
  else if (kind === partKind.ring) nearestOnRing(size, p, hit);
  else if (kind === partKind.plate) nearestOnPlate(size, p, hit);
  else if (kind === partKind.tubes) nearestOnTubes(size, p, hit);
  else if (kind === partKind.sphere) nearestOnSphere(size, p, hit);
  else nearestOnVanes(size, p, hit);
  const dx = p[0]! - hit[0]!;
  const dy = p[1]! - hit[1]!;
  const dz = p[2]! - hit[2]!;
  hit[3] = dx * dx + dy * dy + dz * dz;
}

/** A box about the origin, or a plate without regard to its hole. (Numbers that were passed one by one would be put on the heap.) */
function nearestOnBox(size: Float64Array, plate: boolean, p: Float64Array, hit: Float64Array): void {
  const halfX = size[0]!;
  const halfY = size[1]!;
  const high = size[2]!;
  const low = plate ? 0 : -high;
  const x = p[0]!;
  const y = p[1]!;
  const z = p[2]!;
  const cx = x < -halfX ? -halfX : x > halfX ? halfX : x;
  const cy = y < -halfY ? -halfY : y > halfY ? halfY : y;
  const cz = z < low ? low : z > high ? high : z;
  hit[0] = cx;
  hit[1] = cy;
  hit[2] = cz;
  if (cx !== x || cy !== y || cz !== z) return;
  // within: to the nearest face
  const toX = halfX - Math.abs(x);
  const toY = halfY - Math.abs(y);
  const toZ = z - low < high - z ? z - low : high - z;
  if (toX <= toY && toX <= toZ) hit[0] = x < 0 ? -halfX : halfX;
  else if (toY <= toZ) hit[1] = y < 0 ? -halfY : halfY;
  else hit[2] = z - low < high - z ? low : high;
}

/** A closed cylinder about z, or about the line of a tube, from z = 0 to z = length. */
function nearestOnCylinder(size: Float64Array, tube: number, p: Float64Array, hit: Float64Array): void {
  const radius = size[0]!;
  const length = size[1]!;
  const atX = tube < 0 ? 0 : size[3 + tube]!;
  const atY = tube < 0 ? 0 : size[3 + size[2]! + tube]!;
  const x = p[0]! - atX;
  const y = p[1]! - atY;
  const z = p[2]!;
  const out = Math.sqrt(x * x + y * y);
  const cz = z < 0 ? 0 : z > length ? length : z;
  let side = out > radius;
  hit[2] = cz;
  if (!side && cz === z) {
    const toEnd = z < length - z ? z : length - z;
    side = radius - out <= toEnd;
    if (!side) hit[2] = z < length - z ? 0 : length;
  }
  const c = out > tiny ? x / out : 1;
  const s = out > tiny ? y / out : 0;
  hit[0] = side ? atX + radius * c : p[0]!;
  hit[1] = side ? atY + radius * s : p[1]!;
}

function nearestOnSphere(size: Float64Array, p: Float64Array, hit: Float64Array): void {
  const x = p[0]!;
  const y = p[1]!;
  const z = p[2]!;
  const out = Math.sqrt(x * x + y * y + z * z);
  const scale = out > tiny ? size[0]! / out : 0;
  hit[0] = out > tiny ? scale * x : size[0]!;
  hit[1] = scale * y;
  hit[2] = scale * z;
}

function nearestOnRing(size: Float64Array, p: Float64Array, hit: Float64Array): void {
  const radius = size[0]!;
  const bar = size[1]!;
  const x = p[0]!;
  const y = p[1]!;
  const z = p[2]!;
  const out = Math.sqrt(x * x + y * y);
  const c = out > tiny ? x / out : 1;
  const s = out > tiny ? y / out : 0;
  const o = out - radius;
  const from = Math.sqrt(o * o + z * z);
  const k = from > tiny ? bar / from : 0;
  const r = radius + (from > tiny ? k * o : bar);
  hit[0] = r * c;
  hit[1] = r * s;
  hit[2] = k * z;
}

function nearestOnPlate(size: Float64Array, p: Float64Array, hit: Float64Array): void {
  const halfX = size[0]!;
  const halfY = size[1]!;
  const thickness = size[2]!;
  const hole = size[3]!;
  const x = p[0]!;
  const y = p[1]!;
  const z = p[2]!;
  const out = Math.sqrt(x * x + y * y);
  const cz = z < 0 ? 0 : z > thickness ? thickness : z;
  const c = out > tiny ? x / out : 1;
  const s = out > tiny ? y / out : 0;
  if (out < hole) {
    hit[0] = hole * c;
    hit[1] = hole * s;
    hit[2] = cz;
    return;
  }
  nearestOnBox(size, true, p, hit);
  if (cz !== z || x < -halfX || x > halfX || y < -halfY || y > halfY) return;
  // within the plate: its own faces or the wall of the hole
  const dx = hit[0]! - x;
  const dy = hit[1]! - y;
  const dz = hit[2]! - z;
  if (dx * dx + dy * dy + dz * dz <= (out - hole) * (out - hole)) return;
  hit[0] = hole * c;
  hit[1] = hole * s;
  hit[2] = z;
}

/** Tubes do not overlap: the one whose line is nearest is the nearest, from outside and from within. */
function nearestOnTubes(size: Float64Array, p: Float64Array, hit: Float64Array): void {
  const count = size[2]!;
  const x = p[0]!;
  const y = p[1]!;
  // first tube whose x is not below the point's
  let low = 0;
  let high = count;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (size[3 + middle]! < x) low = middle + 1;
    else high = middle;
  }
  let best = Infinity;
  let tube = 0;
  let left = low - 1;
  let right = low;
  while (left >= 0 || right < count) {
    const toLeft = left >= 0 ? x - size[3 + left]! : Infinity;
    const toRight = right < count ? size[3 + right]! - x : Infinity;
    const side = toLeft < toRight ? toLeft : toRight;
    if (side * side > best) break;
    const k = toLeft < toRight ? left-- : right++;
    const dy = y - size[3 + count + k]!;
    const d = side * side + dy * dy;
    if (d < best) {
      best = d;
      tube = k;
    }
  }
  nearestOnCylinder(size, tube, p, hit);
}
