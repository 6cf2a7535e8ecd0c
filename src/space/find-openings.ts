/**
 * Where two pipes run into each other: the free space is that of both together, so each wall is open where it lies within the other
 * pipe, and both end at the **rim** where they meet.
 *
 * A rim is followed round the pipe that enters: on each line of its wall (a generator) the place where the line passes the other's wall.
 */
import { pieceSize } from "./bore.ts";
import type { Body, TeeShape } from "./description.ts";
import { isPipe, layPipe, type Pipe } from "./lay-pipe.ts";

/** A closed curve round one piece of the entering pipe. Plain data. */
export interface Rim {
  /** [24] the piece whose generators end here */
  readonly entering: Float64Array;
  /** [piece, 24] the wall that they pass */
  readonly wall: Float64Array;
  /** -1: they come from inside the wall; 1: from outside */
  readonly from: number;
  /** [n, 3] points of the curve, evenly round the piece, m, world */
  readonly points: Float64Array;
  /** [n] how far along its generator each is, 0 to 1 */
  readonly at: Float64Array;
  /** [6] min x, y, z, max x, y, z: the curve is in it, m */
  readonly box: Float64Array;
}

/** One part of a wall that is open into another pipe. Plain data. */
export interface Opening {
  /** [2] first of the own pieces that it opens, and one past the last, in numbers of `pieces` */
  readonly pieces: readonly [number, number];
  /** [piece, 24] the other pipe: within it there is no wall */
  readonly within: Float64Array;
  readonly rims: readonly Rim[];
}

/** Points of a rim. */
export const rimPoints = 96;

/** Looks along a generator, before a passing is narrowed down. */
const looks = 64;

/** A wall is open where it is deeper within the other pipe than this, m: less is rounding. */
export const openDepth = 1e-12;

/** Nearer than this, ends abut and walls meet, m. */
const touching = 1e-6;

/** Slabs of pieces reach this much over their ends, so that no gap is between neighbours, m. */
const overlap = 1e-9;

/**
 * @param k  index of a pipe among the bodies, all sound
 * @returns its openings, none where it is no pipe, and what is wrong with the bodies it joins
 */
export function findOpenings(bodies: readonly Body[], k: number): { openings: Opening[]; faults: { with: string; problem: string }[] } {
  const openings: Opening[] = [];
  const faults: { with: string; problem: string }[] = [];
  const body = bodies[k]!;
  if (!isPipe(body.shape)) return { openings, faults };
  const pipe = pipeOf(body);
  if (body.shape.kind === "tee") {
    const inner = teeOpenings(pipe, body.shape);
    if (inner === undefined) faults.push({ with: "", problem: "has a branch that does not leave the run all round." });
    else openings.push(...inner);
  }
  bodies.forEach((other, j) => {
    if (j === k || !(body.joins?.includes(other.name) || other.joins?.includes(body.name))) return;
    if (!isPipe(other.shape)) {
      faults.push({ with: other.name, problem: "is no pipe." });
      return;
    }
    const met = meet(pipe, pipeOf(other));
    if (typeof met === "string") faults.push({ with: other.name, problem: met });
    else if (met.length > 0) openings.push({ pieces: [0, pipe.walls * pieceSize], within: wallOf(pipeOf(other)), rims: met });
  });
  return { openings, faults };
}

function pipeOf(body: Body): Pipe {
  const { at, rotation } = body.placement;
  if (!isPipe(body.shape)) throw new Error("a pipe");
  return layPipe(body.shape, Float64Array.of(...rotation, ...at));
}

function wallOf({ pieces, walls }: Pipe): Float64Array {
  return pieces.slice(0, walls * pieceSize);
}

/** The run is open within the branch and the branch within the run. */
function teeOpenings({ pieces }: Pipe, shape: TeeShape): Opening[] | undefined {
  const [run, branch] = [pieces.slice(0, pieceSize), pieces.slice(pieceSize)];
  const rims = followRims(branch, run);
  if (typeof rims === "string" || rims.length !== 1 || shape.branchRadius > shape.runRadius) return undefined;
  return [
    { pieces: [0, pieceSize], within: branch, rims },
    { pieces: [pieceSize, 2 * pieceSize], within: run, rims },
  ];
}

/** The rims of two pipes, none where they abut end to end, or what is wrong. Either may be the one that enters. */
function meet(a: Pipe, b: Pipe): Rim[] | string {
  const [first, second] = [wallOf(a), wallOf(b)];
  const one = followRims(second, first);
  if (typeof one !== "string" && one.length > 0) return one;
  const two = followRims(first, second);
  if (typeof two !== "string" && two.length > 0) return two;
  if (abut(first, second)) return [];
  if (typeof one === "string" && typeof two === "string") return one;
  return "does not run into it: no wall of either passes the other's.";
}

/** Whether an end of one lies on an end of the other, with the same radius. */
function abut(a: Float64Array, b: Float64Array): boolean {
  const ends = (pieces: Float64Array): number[][] => {
    const out: number[][] = [];
    for (let at = 0; at < pieces.length; at += pieceSize) {
      for (const t of [0, 1]) {
        const w = new Float64Array(4);
        const middle = [0, 0, 0];
        let radius = 0;
        for (const angle of [0, Math.PI]) {
          placeOnPiece(pieces, at, angle, t, w);
          for (let i = 0; i < 3; i++) middle[i]! += 0.5 * w[i]!;
        }
        radius = Math.sqrt((w[0]! - middle[0]!) ** 2 + (w[1]! - middle[1]!) ** 2 + (w[2]! - middle[2]!) ** 2);
        out.push([...middle, radius]);
      }
    }
    return out;
  };
  return ends(a).some((p) => ends(b).some((q) => p.every((value, i) => Math.abs(value - q[i]!) < touching)));
}

/** Every rim of an entering pipe on a wall; what is wrong where some generators pass the wall and others do not. */
function followRims(entering: Float64Array, wall: Float64Array): Rim[] | string {
  const rims: Rim[] = [];
  for (let at = 0; at < entering.length; at += pieceSize) {
    const piece = entering.slice(at, at + pieceSize);
    const passes = Array.from({ length: rimPoints }, (_, k) => passings(piece, (2 * Math.PI * k) / rimPoints, wall));
    const count = passes[0]!.length;
    if (passes.some((all) => all.length !== count || all.some((pass, i) => pass.from !== passes[0]![i]!.from)))
      return "does not enter it all round: part of its wall passes the other's and part does not.";
    // a start that only touches the wall all round abuts
    if (passes.every((all) => all.every(({ depth }) => depth < touching))) continue;
    if (passes.some((all) => all.some(({ off }) => off > touching))) return "enters it by its open end, not through its wall.";
    for (let i = 0; i < count; i++) {
      rims.push(
        createRim(
          piece,
          wall,
          passes.map((all) => all[i]!.t),
          passes[0]![i]!.from,
        ),
      );
    }
  }
  return rims;
}

function createRim(piece: Float64Array, wall: Float64Array, at: readonly number[], from: number): Rim {
  const points = new Float64Array(3 * rimPoints);
  const w = new Float64Array(4);
  at.forEach((t, k) => {
    placeOnPiece(piece, 0, (2 * Math.PI * k) / rimPoints, t, w);
    points.set(w.subarray(0, 3), 3 * k);
  });
  const box = Float64Array.of(Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity);
  let longest = 0;
  for (let k = 0; k < rimPoints; k++) {
    const next = (k + 1) % rimPoints;
    let chord = 0;
    for (let i = 0; i < 3; i++) {
      box[i] = Math.min(box[i]!, points[3 * k + i]!);
      box[3 + i] = Math.max(box[3 + i]!, points[3 * k + i]!);
      chord += (points[3 * next + i]! - points[3 * k + i]!) ** 2;
    }
    longest = Math.max(longest, Math.sqrt(chord));
  }
  for (let i = 0; i < 3; i++) {
    box[i]! -= longest;
    box[3 + i]! += longest;
  }
  return { entering: piece, wall, from, points, at: Float64Array.from(at), box };
}

interface Passing {
  readonly t: number;
  /** as in `Rim` */
  readonly from: number;
  /** how far from the wall it then is, m: more than rounding where it went by an open end */
  readonly off: number;
  /** how deep inside the generator is at most, m */
  readonly depth: number;
}

/** Where a generator passes a wall. */
function passings(piece: Float64Array, angle: number, wall: Float64Array): Passing[] {
  const w = new Float64Array(4);
  const side = (t: number): number => {
    placeOnPiece(piece, 0, angle, t, w);
    sideOfPieces(wall, w);
    return w[3]!;
  };
  const out: Omit<Passing, "depth">[] = [];
  let depth = 0;
  // a bore as wide as the one it enters only just touches it at its flanks
  let before = side(0);
  let inside = before <= overlap;
  for (let k = 1; k <= looks; k++) {
    const here = side(k / looks);
    const now = here <= 0;
    depth = Math.max(depth, -here);
    if (now !== inside) {
      let [low, high] = [(k - 1) / looks, k / looks];
      for (let turn = 0; turn < 60; turn++) {
        const middle = 0.5 * (low + high);
        if (side(middle) <= 0 === inside) low = middle;
        else high = middle;
      }
      const t = k === 1 && inside && before > 0 ? 0 : 0.5 * (low + high);
      side(t);
      out.push({ t, from: inside ? -1 : 1, off: offWall(wall, w) });
    }
    inside = now;
    before = here;
  }
  return out.map((pass) => ({ ...pass, depth }));
}

/** How far a point is from the mantle of the nearest piece, whatever its ends. */
function offWall(pieces: Float64Array, w: Float64Array): number {
  let least = Infinity;
  for (let at = 0; at < pieces.length; at += pieceSize) {
    const [p0, p1, p2] = [w[0]! - pieces[at + 1]!, w[1]! - pieces[at + 2]!, w[2]! - pieces[at + 3]!];
    const along = (k: number): number => p0 * pieces[at + k]! + p1 * pieces[at + k + 1]! + p2 * pieces[at + k + 2]!;
    if (pieces[at] === 0) {
      const z = along(4);
      const out = Math.sqrt(Math.max(0, p0 * p0 + p1 * p1 + p2 * p2 - z * z));
      least = Math.min(least, Math.abs(out - pieces[at + 8]! - ((pieces[at + 9]! - pieces[at + 8]!) * z) / pieces[at + 7]!));
    } else {
      const flat = Math.sqrt(along(4) ** 2 + along(7) ** 2) - pieces[at + 13]!;
      least = Math.min(least, Math.abs(Math.sqrt(flat * flat + along(10) ** 2) - pieces[at + 14]!));
    }
  }
  return least;
}

/**
 * Writes a point of a piece's wall to `w[0..2]`.
 *
 * @param angle  round the piece, rad
 * @param t      along it, 0 to 1
 */
export function placeOnPiece(pieces: Float64Array, at: number, angle: number, t: number, w: Float64Array): void {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  if (pieces[at] === 0) {
    const ux = pieces[at + 4]!;
    const uy = pieces[at + 5]!;
    const uz = pieces[at + 6]!;
    const ax = pieces[at + 10]!;
    const ay = pieces[at + 11]!;
    const az = pieces[at + 12]!;
    const r = pieces[at + 8]! + t * (pieces[at + 9]! - pieces[at + 8]!);
    const q = t * pieces[at + 7]!;
    w[0] = pieces[at + 1]! + q * ux + r * (c * ax + s * (uy * az - uz * ay));
    w[1] = pieces[at + 2]! + q * uy + r * (c * ay + s * (uz * ax - ux * az));
    w[2] = pieces[at + 3]! + q * uz + r * (c * az + s * (ux * ay - uy * ax));
    return;
  }
  const turn = t * pieces[at + 17]!;
  const out = pieces[at + 13]! + pieces[at + 14]! * c;
  const e = out * Math.cos(turn);
  const f = out * Math.sin(turn);
  const g = pieces[at + 14]! * s;
  for (let i = 0; i < 3; i++) w[i] = pieces[at + 1 + i]! + e * pieces[at + 4 + i]! + f * pieces[at + 7 + i]! + g * pieces[at + 10 + i]!;
}

/** Writes to `w[3]` a number below 0 where the point `w[0..2]` is within any of the pieces, between their ends; m, 0 on the wall. */
export function sideOfPieces(pieces: Float64Array, w: Float64Array): void {
  const x = w[0]!;
  const y = w[1]!;
  const z = w[2]!;
  let least = Infinity;
  for (let at = 0; at < pieces.length; at += pieceSize) {
    const px = x - pieces[at + 1]!;
    const py = y - pieces[at + 2]!;
    const pz = z - pieces[at + 3]!;
    const e = px * pieces[at + 4]! + py * pieces[at + 5]! + pz * pieces[at + 6]!;
    let beyond: number;
    let out: number;
    if (pieces[at] === 0) {
      const length = pieces[at + 7]!;
      const sx = px - e * pieces[at + 4]!;
      const sy = py - e * pieces[at + 5]!;
      const sz = pz - e * pieces[at + 6]!;
      const t = length > 0 ? e / length : 0;
      out = Math.sqrt(sx * sx + sy * sy + sz * sz) - pieces[at + 8]! - t * (pieces[at + 9]! - pieces[at + 8]!);
      beyond = e < length - e ? -e : e - length;
    } else {
      const f = px * pieces[at + 7]! + py * pieces[at + 8]! + pz * pieces[at + 9]!;
      const g = px * pieces[at + 10]! + py * pieces[at + 11]! + pz * pieces[at + 12]!;
      const flat = Math.sqrt(e * e + f * f) - pieces[at + 13]!;
      out = Math.sqrt(flat * flat + g * g) - pieces[at + 14]!;
      const end = f * pieces[at + 15]! - e * pieces[at + 16]!;
      beyond = -f > end ? -f : end;
    }
    const side = out > beyond - overlap ? out : beyond - overlap;
    if (side < least) least = side;
  }
  w[3] = least;
}
