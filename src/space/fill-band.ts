/**
 * A body's distances on a grid that is fine near its surface: exact at every corner, below 0 where a corner cannot be reached from the
 * free places without passing the surface.
 */
import { type BandWall, sampleField } from "../math/index.ts";
import type { SpaceAnswer, SpaceModel } from "./model.ts";
import { createSpaceAnswer, createSpaceWork, type SpaceWork, sampleSpace } from "./sample-space.ts";

/** fine cubes along the edge of a block */
const cubes = 4;
/** corners along the edge of a block, and with those one step about it */
const side = cubes + 1;
const wide = cubes + 3;
/** fine cubes either side of the surface that are certain, whatever block it is in */
const shell = 1;
/** points asked at once */
const batch = 2048;
/** cubes whose middles are looked at for the error, at the most */
const mostLooks = 20_000;

/** Everything known of the grid's corners while it is filled. */
interface Lattice {
  readonly space: SpaceModel;
  readonly work: SpaceWork;
  readonly answer: SpaceAnswer;
  readonly points: Float64Array;
  readonly origin: readonly [number, number, number];
  readonly step: number;
  readonly counts: readonly [number, number, number];
  /** [block] as in the wall */
  readonly block: Int32Array;
  /** corner's number by its place */
  readonly corner: Map<number, number>;
  /** [corner, 3] place, in steps */
  readonly place: number[];
  distance: Float64Array;
  closest: Float64Array;
  reached: Uint8Array;
}

/** @param space of one body without a stand-off @returns the wall, the greatest error seen (m), and edges of cubes that the surface passes between free corners */
export function fillBand(
  space: SpaceModel,
  boxes: Float64Array,
  free: Float64Array,
  step: number,
): { wall: BandWall; error: number; twoSided: number } {
  const lattice = markBlocks(space, boxes, step);
  const middles = sortBlocks(lattice);
  listCorners(lattice);
  sampleCorners(lattice);
  flood(lattice, free);
  const { origin, counts, block } = lattice;
  const fine = fineValues(lattice);
  const coarse = coarseValues(lattice, middles);
  const wall: BandWall = { kind: "band", origin, step, cubes, counts, block, fine, coarse };
  return { wall, error: lookAtMiddles(lattice, wall), twoSided: countTwoSided(lattice) };
}

/** Blocks that the boxes meet, as 0; all others as -1. */
function markBlocks(space: SpaceModel, boxes: Float64Array, step: number): Lattice {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let k = 0; k < boxes.length; k++) {
    if (k % 6 < 3) low[k % 3] = Math.min(low[k % 3]!, boxes[k]!);
    else high[k % 3] = Math.max(high[k % 3]!, boxes[k]!);
  }
  const edge = cubes * step;
  const counts = [0, 1, 2].map((r) => Math.max(1, Math.ceil((high[r]! - low[r]!) / edge))) as [number, number, number];
  // the grid's middle on the boxes' middle
  const origin = [0, 1, 2].map((r) => (low[r]! + high[r]! - counts[r]! * edge) / 2) as [number, number, number];
  const block = new Int32Array(counts[0] * counts[1] * counts[2]).fill(-1);
  for (let k = 0; k < boxes.length; k += 6) {
    const from = [0, 1, 2].map((r) => Math.max(0, Math.floor((boxes[k + r]! - origin[r]!) / edge)));
    const to = [0, 1, 2].map((r) => Math.min(counts[r]! - 1, Math.floor((boxes[k + 3 + r]! - origin[r]!) / edge)));
    for (let x = from[0]!; x <= to[0]!; x++)
      for (let y = from[1]!; y <= to[1]!; y++) for (let z = from[2]!; z <= to[2]!; z++) block[(x * counts[1] + y) * counts[2] + z] = 0;
  }
  const empty = new Float64Array(0);
  return {
    space,
    work: createSpaceWork(space),
    answer: createSpaceAnswer(batch),
    points: new Float64Array(3 * batch),
    origin,
    step,
    counts,
    block,
    corner: new Map(),
    place: [],
    distance: empty,
    closest: empty,
    reached: new Uint8Array(0),
  };
}

/** Marked blocks become fine or coarse by the distance at their middles; returns that of the coarse ones, m. */
function sortBlocks(lattice: Lattice): Float64Array {
  const { block } = lattice;
  const marked: number[] = [];
  for (let b = 0; b < block.length; b++) if (block[b] === 0) marked.push(b);
  const reach = (cubes / 2) * Math.sqrt(3) + shell;
  const middles: number[] = [];
  let fine = 0;
  const at = (k: number, r: number): number => lattice.step * cubes * (blockPlace(lattice, marked[k]!, r) + 0.5);
  ask(lattice, marked.length, at, (k, row) => {
    const d = lattice.answer.distance[row]!;
    if (d <= reach * lattice.step) block[marked[k]!] = fine++;
    else {
      block[marked[k]!] = -2 - middles.length;
      middles.push(d);
    }
  });
  return Float64Array.from(middles);
}

/** Samples n points given by their coordinates from the lattice's origin, and hands each row of the answer on. */
function ask(lattice: Lattice, n: number, at: (k: number, r: number) => number, take: (k: number, row: number) => void): void {
  const { points, origin, space, answer, work } = lattice;
  for (let from = 0; from < n; from += batch) {
    const count = Math.min(batch, n - from);
    for (let k = 0; k < count; k++) for (let r = 0; r < 3; r++) points[3 * k + r] = origin[r]! + at(from + k, r);
    sampleSpace(space, points, count, Infinity, answer, work);
    for (let k = 0; k < count; k++) take(from + k, k);
  }
}

function blockPlace({ counts }: Lattice, b: number, r: number): number {
  if (r === 2) return b % counts[2];
  const rest = Math.floor(b / counts[2]);
  return r === 1 ? rest % counts[1] : Math.floor(rest / counts[1]);
}

function keyOf({ counts }: Lattice, x: number, y: number, z: number): number {
  return ((x + 1) * (counts[1] * cubes + 3) + y + 1) * (counts[2] * cubes + 3) + z + 1;
}

/** Every corner of fine cubes, of a layer about them and of coarse blocks once. */
function listCorners(lattice: Lattice): void {
  const { block, corner, place } = lattice;
  for (let b = 0; b < block.length; b++) {
    const which = block[b]!;
    if (which === -1) continue;
    const stride = which >= 0 ? 1 : cubes;
    const about = which >= 0 ? 1 : 0;
    const [x0, y0, z0] = [0, 1, 2].map((r) => cubes * blockPlace(lattice, b, r)) as [number, number, number];
    for (let x = x0 - about; x <= x0 + cubes + about; x += stride)
      for (let y = y0 - about; y <= y0 + cubes + about; y += stride)
        for (let z = z0 - about; z <= z0 + cubes + about; z += stride) {
          const key = keyOf(lattice, x, y, z);
          if (corner.has(key)) continue;
          corner.set(key, corner.size);
          place.push(x, y, z);
        }
  }
}

function sampleCorners(lattice: Lattice): void {
  const n = lattice.corner.size;
  const { place, answer, step } = lattice;
  lattice.distance = new Float64Array(n);
  lattice.closest = new Float64Array(3 * n);
  lattice.reached = new Uint8Array(n);
  ask(
    lattice,
    n,
    (k, r) => step * place[3 * k + r]!,
    (k, row) => {
      lattice.distance[k] = answer.distance[row]!;
      for (let r = 0; r < 3; r++) lattice.closest[3 * k + r] = answer.closest[3 * row + r]! - lattice.origin[r]!;
    },
  );
}

/** From the free places over all corners that can be reached without passing the surface. */
function flood(lattice: Lattice, free: Float64Array): void {
  const { origin, step, counts, block, corner, reached } = lattice;
  const passed = new Uint8Array(block.length);
  const queue: number[] = [];
  const reach = (id: number): void => {
    if (reached[id] === 1) return;
    reached[id] = 1;
    queue.push(id);
  };
  /** A coarse block holds no surface: all its corners are on one side. */
  const enter = (b: number): void => {
    if (passed[b] === 1) return;
    passed[b] = 1;
    const [x, y, z] = [0, 1, 2].map((r) => cubes * blockPlace(lattice, b, r)) as [number, number, number];
    for (let i = 0; i < side * side * side; i++) {
      const id = corner.get(keyOf(lattice, x + Math.floor(i / (side * side)), y + (Math.floor(i / side) % side), z + (i % side)));
      if (id !== undefined) reach(id);
    }
  };
  const blockAt = (x: number, y: number, z: number): number =>
    x < 0 || y < 0 || z < 0 || x >= counts[0] || y >= counts[1] || z >= counts[2] ? -1 : (x * counts[1] + y) * counts[2] + z;

  for (let k = 0; k < free.length; k += 3) {
    const p = [0, 1, 2].map((r) => free[k + r]! - origin[r]!) as [number, number, number];
    const cube = p.map((value) => Math.floor(value / step)) as [number, number, number];
    const b = blockAt(Math.floor(cube[0] / cubes), Math.floor(cube[1] / cubes), Math.floor(cube[2] / cubes));
    if (b < 0 || block[b] === -1) continue;
    if (block[b]! < 0) enter(b);
    else
      for (let i = 0; i < 8; i++) {
        const id = corner.get(keyOf(lattice, cube[0] + (i >> 2), cube[1] + ((i >> 1) & 1), cube[2] + (i & 1)));
        if (id !== undefined && !meetsSurface(lattice, id, p)) reach(id);
      }
  }
  for (let head = 0; head < queue.length; head++) {
    const id = queue[head]!;
    const [x, y, z] = [0, 1, 2].map((r) => lattice.place[3 * id + r]) as [number, number, number];
    for (let i = 0; i < 6; i++) {
      const d = i & 1 ? 1 : -1;
      const next = [x, y, z] as [number, number, number];
      next[i >> 1] = next[i >> 1]! + d;
      if (next[i >> 1]! < -1 || next[i >> 1]! > counts[i >> 1]! * cubes + 1) continue;
      const other = corner.get(keyOf(lattice, ...next));
      if (other !== undefined && reached[other] === 0 && !isBetween(lattice, id, other)) reach(other);
    }
    for (let i = 0; i < 8; i++) {
      const b = blockAt(Math.floor((x - (i >> 2)) / cubes), Math.floor((y - ((i >> 1) & 1)) / cubes), Math.floor((z - (i & 1)) / cubes));
      if (b >= 0 && block[b]! < -1) enter(b);
    }
  }
}

/** Whether the surface passes between two neighbouring corners. */
function isBetween(lattice: Lattice, a: number, b: number): boolean {
  const { distance, place, step } = lattice;
  const da = distance[a]!;
  const db = distance[b]!;
  // a corner on the surface is on neither side
  if (da < 1e-9 * step || db < 1e-9 * step) return true;
  if (da + db > step * (1 + 1e-9)) return false;
  const cosine = cosineBetween(lattice, a, b);
  // the same way off the surface, or opposite ways: settled; near edges it is gone along
  if (cosine > 0.5) return false;
  if (cosine < -0.5) return true;
  return meetsSurface(lattice, a, [0, 1, 2].map((r) => step * place[3 * b + r]!) as [number, number, number]);
}

/** Of the angle between the ways that two corners lie off their nearest places on the surface. */
function cosineBetween({ distance, closest, place, step }: Lattice, a: number, b: number): number {
  let dot = 0;
  for (let r = 0; r < 3; r++) dot += (step * place[3 * a + r]! - closest[3 * a + r]!) * (step * place[3 * b + r]! - closest[3 * b + r]!);
  return dot / (distance[a]! * distance[b]!);
}

/** Goes from corner a to a place, each step as far as nothing can be; whether it comes to the surface. */
function meetsSurface(lattice: Lattice, a: number, to: readonly [number, number, number]): boolean {
  const { points, origin, space, answer, work, step } = lattice;
  const from = [0, 1, 2].map((r) => step * lattice.place[3 * a + r]!) as [number, number, number];
  const long = Math.sqrt([0, 1, 2].reduce((sum, r) => sum + (to[r]! - from[r]!) ** 2, 0));
  let gone = lattice.distance[a]!;
  while (gone < long) {
    for (let r = 0; r < 3; r++) points[r] = origin[r]! + from[r]! + (gone / long) * (to[r]! - from[r]!);
    sampleSpace(space, points, 1, Infinity, answer, work);
    if (answer.distance[0]! < 1e-3 * step) return true;
    gone += answer.distance[0]!;
  }
  return lattice.distance[a]! < 1e-9 * step;
}

function valueAt(lattice: Lattice, x: number, y: number, z: number): number {
  const id = lattice.corner.get(keyOf(lattice, x, y, z))!;
  return lattice.reached[id] === 1 ? lattice.distance[id]! : -lattice.distance[id]!;
}

function fineValues(lattice: Lattice): Float64Array {
  const { block } = lattice;
  const each = wide ** 3;
  const values = new Float64Array(each * block.reduce((sum, which) => sum + (which >= 0 ? 1 : 0), 0));
  block.forEach((which, b) => {
    if (which < 0) return;
    const [x, y, z] = [0, 1, 2].map((r) => cubes * blockPlace(lattice, b, r)) as [number, number, number];
    for (let i = 0; i < each; i++)
      values[each * which + i] = valueAt(
        lattice,
        x - 1 + Math.floor(i / (wide * wide)),
        y - 1 + (Math.floor(i / wide) % wide),
        z - 1 + (i % wide),
      );
  });
  return values;
}

/** What the mean of a block's corners is above the distance at its middle, is taken off all of them, twice. */
function coarseValues(lattice: Lattice, middles: Float64Array): Float64Array {
  const values = new Float64Array(8 * middles.length);
  lattice.block.forEach((which, b) => {
    if (which >= -1) return;
    const k = -2 - which;
    const [x, y, z] = [0, 1, 2].map((r) => cubes * blockPlace(lattice, b, r)) as [number, number, number];
    let mean = 0;
    for (let i = 0; i < 8; i++) {
      const d = valueAt(lattice, x + cubes * (i >> 2), y + cubes * ((i >> 1) & 1), z + cubes * (i & 1));
      values[8 * k + i] = d;
      mean += Math.abs(d) / 8;
    }
    const over = 2 * Math.max(0, mean - middles[k]!);
    for (let i = 0; i < 8; i++) values[8 * k + i] = values[8 * k + i]! - over;
  });
  return values;
}

/** Greatest difference from the exact distance at the middles of the cubes that the surface passes, m. */
function lookAtMiddles(lattice: Lattice, wall: BandWall): number {
  const { block, step, origin } = lattice;
  const { fine } = wall;
  const place: number[] = [];
  const isMixed: boolean[] = [];
  block.forEach((which, b) => {
    if (which < 0) return;
    for (let i = 0; i < cubes ** 3; i++) {
      const cube = [Math.floor(i / (cubes * cubes)), Math.floor(i / cubes) % cubes, i % cubes] as [number, number, number];
      const at = wide ** 3 * which + wide * wide * (cube[0] + 1) + wide * (cube[1] + 1) + cube[2] + 1;
      let least = Infinity;
      let below = 0;
      for (let k = 0; k < 8; k++) {
        const value = fine[at + (k >> 2) * wide * wide + ((k >> 1) & 1) * wide + (k & 1)]!;
        least = Math.min(least, Math.abs(value));
        if (value <= 0) below++;
      }
      if (least > (step * Math.sqrt(3)) / 2) continue;
      for (let r = 0; r < 3; r++) place.push(step * (cubes * blockPlace(lattice, b, r) + cube[r]! + 0.5));
      isMixed.push(below > 0 && below < 8);
    }
  });
  const stride = Math.max(1, Math.ceil(isMixed.length / mostLooks));
  const looks = Math.ceil(isMixed.length / stride);
  const told = new Float64Array(looks);
  const points = Float64Array.from({ length: 3 * looks }, (_, k) => origin[k % 3]! + place[3 * Math.floor(k / 3) * stride + (k % 3)]!);
  sampleField({ walls: [wall] }, points, looks, told, new Float64Array(3 * looks), new Int32Array(looks));
  let error = 0;
  ask(
    lattice,
    looks,
    (k, r) => place[3 * k * stride + r]!,
    (k, row) => {
      const exact = lattice.answer.distance[row]!;
      const value = told[k]!;
      // between corners on both sides the middle may be on either
      const off = isMixed[k * stride] ? Math.min(Math.abs(value - exact), Math.abs(value + exact)) : Math.abs(Math.abs(value) - exact);
      error = Math.max(error, off);
    },
  );
  return error;
}

/** Pairs of neighbouring corners that are both free, with the surface between them and they on opposite sides of it. */
function countTwoSided(lattice: Lattice): number {
  const { corner, place, reached, distance, step } = lattice;
  let count = 0;
  for (let id = 0; id < reached.length; id++) {
    if (reached[id] === 0 || distance[id]! > step || distance[id]! === 0) continue;
    const [x, y, z] = [0, 1, 2].map((r) => place[3 * id + r]) as [number, number, number];
    for (let r = 0; r < 3; r++) {
      const next = [x, y, z] as [number, number, number];
      next[r] = next[r]! + 1;
      if (next[r]! > lattice.counts[r]! * cubes + 1) continue;
      const other = corner.get(keyOf(lattice, ...next));
      if (other === undefined || reached[other] === 0 || distance[id]! + distance[other]! > step * (1 + 1e-9)) continue;
      if (cosineBetween(lattice, id, other) < -0.5) count++;
    }
  }
  return count;
}
