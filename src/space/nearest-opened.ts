/**
 * The wall of a pipe that is open into others. The nearest point of a whole piece counts where there is wall; where it falls into an
 * opening, what is left of the piece is nearest on the opening's rim: a round wall has no second nearest place.
 */
import { nearestOnPiece, pieceSize } from "./bore.ts";
import { type Opening, openDepth, placeOnPiece, type Rim, rimPoints, sideOfPieces } from "./find-openings.ts";

/**
 * offsets in the scratch: 0-2 point, 3 side; then
 * 4 angle asked, 5 guess along the generator, 6 width of the search about it, 7 squared distance there, 8 the least so far, 9-11 its place
 */
export const rimScratch = 12;

const golden = 0.6180339887498949;

/**
 * @param pieces  [piece, 24]
 * @param ask     [4] the point, m, world; the greatest squared distance that matters, m^2
 * @param hit     [4] result: the closest point, m; its squared distance, m^2; without meaning where nothing is as near
 * @param trial   [4] scratch
 * @param w       [12] scratch
 * @returns whether something is
 */
export function nearestOnOpened(
  pieces: Float64Array,
  openings: readonly Opening[],
  ask: Float64Array,
  hit: Float64Array,
  trial: Float64Array,
  w: Float64Array,
): boolean {
  const x = ask[0]!;
  const y = ask[1]!;
  const z = ask[2]!;
  let found = false;
  let met = 0;
  hit[3] = ask[3]!;
  for (let at = 0; at < pieces.length; at += pieceSize) {
    const dx = x < pieces[at + 18]! ? pieces[at + 18]! - x : x > pieces[at + 21]! ? x - pieces[at + 21]! : 0;
    const dy = y < pieces[at + 19]! ? pieces[at + 19]! - y : y > pieces[at + 22]! ? y - pieces[at + 22]! : 0;
    const dz = z < pieces[at + 20]! ? pieces[at + 20]! - z : z > pieces[at + 23]! ? z - pieces[at + 23]! : 0;
    if (dx * dx + dy * dy + dz * dz > hit[3]!) continue;
    trial[3] = hit[3]!;
    if (!nearestOnPiece(pieces, at, ask, trial)) continue;
    let open = 0;
    for (let k = 0; k < openings.length; k++) {
      const range = openings[k]!.pieces;
      if (at < range[0] || at >= range[1]) continue;
      w[0] = trial[0]!;
      w[1] = trial[1]!;
      w[2] = trial[2]!;
      sideOfPieces(openings[k]!.within, w);
      if (w[3]! < -openDepth) open |= 1 << k;
    }
    met |= open;
    if (open !== 0) continue;
    found = true;
    hit[0] = trial[0]!;
    hit[1] = trial[1]!;
    hit[2] = trial[2]!;
    hit[3] = trial[3]!;
  }
  for (let k = 0; k < openings.length; k++) {
    if ((met & (1 << k)) === 0) continue;
    const { rims } = openings[k]!;
    for (let r = 0; r < rims.length; r++) if (nearestOnRim(rims[r]!, ask, hit, w)) found = true;
  }
  return found;
}

/** Writes `hit` and says true where the rim is nearer than `hit[3]`. Every dip of the distance between its points is searched. */
export function nearestOnRim(rim: Rim, ask: Float64Array, hit: Float64Array, w: Float64Array): boolean {
  const { points, box } = rim;
  const x = ask[0]!;
  const y = ask[1]!;
  const z = ask[2]!;
  const bx = x < box[0]! ? box[0]! - x : x > box[3]! ? x - box[3]! : 0;
  const by = y < box[1]! ? box[1]! - y : y > box[4]! ? y - box[4]! : 0;
  const bz = z < box[2]! ? box[2]! - z : z > box[5]! ? z - box[5]! : 0;
  if (bx * bx + by * by + bz * bz > hit[3]!) return false;
  const last = 3 * (rimPoints - 1);
  let left = (x - points[last]!) ** 2 + (y - points[last + 1]!) ** 2 + (z - points[last + 2]!) ** 2;
  let here = (x - points[0]!) ** 2 + (y - points[1]!) ** 2 + (z - points[2]!) ** 2;
  w[8] = hit[3]!;
  let found = false;
  for (let k = 0; k < rimPoints; k++) {
    const o = k + 1 < rimPoints ? 3 * (k + 1) : 0;
    const right = (x - points[o]!) ** 2 + (y - points[o + 1]!) ** 2 + (z - points[o + 2]!) ** 2;
    if (here <= left && here <= right && searchRim(rim, k, ask, w)) found = true;
    left = here;
    here = right;
  }
  if (!found) return false;
  hit[0] = w[9]!;
  hit[1] = w[10]!;
  hit[2] = w[11]!;
  hit[3] = w[8]!;
  return true;
}

/** Golden section between the neighbours of point k; a kink there is as good as a smooth dip. */
function searchRim(rim: Rim, k: number, ask: Float64Array, w: Float64Array): boolean {
  const { at } = rim;
  const step = (2 * Math.PI) / rimPoints;
  const before = at[k > 0 ? k - 1 : rimPoints - 1]!;
  const after = at[k + 1 < rimPoints ? k + 1 : 0]!;
  const middle = at[k]!;
  const most = before > middle ? (before > after ? before : after) : middle > after ? middle : after;
  const least = before < middle ? (before < after ? before : after) : middle < after ? middle : after;
  w[5] = 0.5 * (most + least);
  w[6] = most - least + 1e-3;
  let found = false;
  let low = (k - 1) * step;
  let high = (k + 1) * step;
  w[4] = k * step;
  if (measureRim(rim, ask, w)) found = true;
  let a = high - golden * (high - low);
  let b = low + golden * (high - low);
  w[4] = a;
  if (measureRim(rim, ask, w)) found = true;
  let da = w[7]!;
  w[4] = b;
  if (measureRim(rim, ask, w)) found = true;
  let db = w[7]!;
  for (let turn = 0; turn < 42; turn++) {
    if (da < db) {
      high = b;
      b = a;
      db = da;
      a = high - golden * (high - low);
      w[4] = a;
      if (measureRim(rim, ask, w)) found = true;
      da = w[7]!;
    } else {
      low = a;
      a = b;
      da = db;
      b = low + golden * (high - low);
      w[4] = b;
      if (measureRim(rim, ask, w)) found = true;
      db = w[7]!;
    }
  }
  return found;
}

/** The squared distance of the rim at angle `w[4]`; true and kept where it is the least so far. */
function measureRim(rim: Rim, ask: Float64Array, w: Float64Array): boolean {
  const { entering, wall, from } = rim;
  const angle = w[4]!;
  let low = w[5]! - w[6]!;
  let high = w[5]! + w[6]!;
  if (low < 0) low = 0;
  if (high > 1) high = 1;
  placeOnPiece(entering, 0, angle, low, w);
  sideOfPieces(wall, w);
  let atLow = -from * w[3]!;
  placeOnPiece(entering, 0, angle, high, w);
  sideOfPieces(wall, w);
  let atHigh = -from * w[3]!;
  // below 0 before the rim and above 0 beyond it, unless the pipe is as wide as the one it enters and starts right on the rim
  let t = low;
  if (atLow < 0 && atHigh > 0) {
    let kept = 0;
    for (let turn = 0; turn < 80; turn++) {
      // false position; an end that stays twice is weighed down (Illinois)
      t = low + ((high - low) * atLow) / (atLow - atHigh);
      placeOnPiece(entering, 0, angle, t, w);
      sideOfPieces(wall, w);
      const here = -from * w[3]!;
      if ((here < 1e-17 && here > -1e-17) || t <= low || t >= high) break;
      if (here < 0) {
        low = t;
        atLow = here;
        if (kept > 0) atHigh *= 0.5;
        kept = 1;
      } else {
        high = t;
        atHigh = here;
        if (kept < 0) atLow *= 0.5;
        kept = -1;
      }
    }
  }
  placeOnPiece(entering, 0, angle, t, w);
  const dx = ask[0]! - w[0]!;
  const dy = ask[1]! - w[1]!;
  const dz = ask[2]! - w[2]!;
  const d = dx * dx + dy * dy + dz * dz;
  w[7] = d;
  if (!(d < w[8]!)) return false;
  w[8] = d;
  w[9] = w[0]!;
  w[10] = w[1]!;
  w[11] = w[2]!;
  return true;
}
