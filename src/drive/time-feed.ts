/**
 * How fast the arm may be fed so that no drive is asked for more speed or acceleration than it has: the fastest law along the way, the
 * square of the feed's speed stepped forwards and backwards under its bound (Bobrow, Dubowsky and Gibson 1985, on a grid).
 * @see docs/sources.md#time-along-a-way
 */
import { type Joined, rateAt } from "./join-depths.ts";

export interface FeedLimits {
  /** m/s, > 0 */
  readonly rate: number;
  /** [drive] greatest speed and acceleration, in the drive's own unit; Infinity for none */
  readonly speed: Float64Array;
  readonly acceleration: Float64Array;
}

export interface TimeLaw {
  /** [sample] s from the start; feed, m/s */
  readonly time: Float64Array;
  readonly rate: Float64Array;
  /** [sample, drive] speed of each, in its own unit */
  readonly driveRate: Float64Array;
  /** [drive] greatest speed and acceleration of each anywhere, and greatest change a unit of way */
  readonly speed: Float64Array;
  readonly acceleration: Float64Array;
  readonly steepest: Float64Array;
  /** the slowest place that is not a start or a stop; drive -1 where the rate asked for is kept */
  readonly slowest: { readonly sample: number; readonly rate: number; readonly drive: number; readonly by: "speed" | "acceleration" };
}

/** Cells between two samples. */
const cells = 16;

/** Where any drive has an acceleration limit, both ends are at rest; where none has, speeds come at once. */
export function timeFeed(joined: Joined, limits: FeedLimits): TimeLaw {
  const { samples, drives, along } = joined;
  const nodes = samples > 1 ? (samples - 1) * cells + 1 : 1;
  const grid = createGrid(joined, limits, nodes);
  const { bound, first, second, step } = grid;
  const square = bound.slice();
  const rests = limits.acceleration.some((value) => Number.isFinite(value));
  if (rests) {
    square[0] = 0;
    square[nodes - 1] = 0;
    for (let i = 0; i + 1 < nodes; i++) square[i + 1] = Math.min(square[i + 1] as number, reach(i, square[i] as number));
    for (let i = nodes - 1; i > 0; i--) square[i - 1] = Math.min(square[i - 1] as number, reach(i - 1, square[i] as number));
  }

  /** Greatest square of the speed at the other end of cell i. */
  function reach(i: number, from: number): number {
    let to = Number.POSITIVE_INFINITY;
    const ds = step[i] as number;
    for (let d = 0; d < drives; d++) {
      const most = limits.acceleration[d] as number;
      const p = first[i * drives + d] as number;
      if (!Number.isFinite(most) || p === 0) continue;
      const c = second[i * drives + d] as number;
      // |p| a + c u <= most at both ends of the cell
      const ahead = (from + (2 * ds * most) / p) / (1 + (2 * ds * c) / p);
      const here = from + (2 * ds * Math.max(0, most - c * from)) / p;
      to = Math.min(to, ahead, here);
    }
    return to;
  }

  const time = new Float64Array(samples);
  const rate = new Float64Array(samples);
  const speed = new Float64Array(drives);
  const acceleration = new Float64Array(drives);
  let clock = 0;
  for (let i = 0; i < nodes; i++) {
    if (i % cells === 0) {
      time[i / cells] = clock;
      rate[i / cells] = Math.sqrt(square[i] as number);
    }
    if (i + 1 === nodes) break;
    const [u0, u1, ds] = [square[i] as number, square[i + 1] as number, step[i] as number];
    clock += (2 * ds) / (Math.sqrt(u0) + Math.sqrt(u1));
    const grow = Math.abs(u1 - u0) / (2 * ds);
    for (let d = 0; d < drives; d++) {
      const p = first[i * drives + d] as number;
      const c = second[i * drives + d] as number;
      speed[d] = Math.max(speed[d] as number, p * Math.sqrt(Math.max(u0, u1)));
      acceleration[d] = Math.max(acceleration[d] as number, p * grow + c * Math.max(u0, u1));
    }
  }
  const driveRate = joined.slope.map((value, k) => value * (rate[Math.floor(k / drives)] as number));
  return { time, rate, driveRate, speed, acceleration, steepest: grid.steepest, slowest: findSlowest(grid, limits, nodes, along.length) };
}

interface Grid {
  /** [node] greatest square of the feed's speed by speeds and by what bends in the way alone, and which drive bounds it: -1 the rate */
  readonly bound: Float64Array;
  readonly boundBy: Int32Array;
  readonly boundKind: Uint8Array;
  /** [cell] length */
  readonly step: Float64Array;
  /** [cell, drive] greatest size in it of the first and second derivative */
  readonly first: Float64Array;
  readonly second: Float64Array;
  /** [drive] */
  readonly steepest: Float64Array;
}

function createGrid(joined: Joined, limits: FeedLimits, nodes: number): Grid {
  const { drives, along } = joined;
  const grid: Grid = {
    bound: new Float64Array(nodes).fill(limits.rate ** 2),
    boundBy: new Int32Array(nodes).fill(-1),
    boundKind: new Uint8Array(nodes),
    step: new Float64Array(Math.max(0, nodes - 1)),
    first: new Float64Array(Math.max(0, nodes - 1) * drives),
    second: new Float64Array(Math.max(0, nodes - 1) * drives),
    steepest: new Float64Array(drives),
  };
  const at = new Float64Array(2);
  for (let i = 0; i + 1 < nodes; i++) {
    const k = Math.floor(i / cells);
    grid.step[i] = ((along[k + 1] as number) - (along[k] as number)) / cells;
    for (let d = 0; d < drives; d++) {
      let p = 0;
      let c = 0;
      for (const share of [0, 0.5, 1]) {
        rateAt(joined, k, d, ((i % cells) + share) / cells, at);
        p = Math.max(p, Math.abs(at[0] as number));
        c = Math.max(c, Math.abs(at[1] as number));
      }
      grid.first[i * drives + d] = p;
      grid.second[i * drives + d] = c;
      grid.steepest[d] = Math.max(grid.steepest[d] as number, p);
      for (const node of [i, i + 1]) {
        lower(grid, node, d, 0, ((limits.speed[d] as number) / p) ** 2);
        lower(grid, node, d, 1, (limits.acceleration[d] as number) / c);
      }
    }
  }
  return grid;
}

function lower(grid: Grid, node: number, drive: number, kind: 0 | 1, square: number): void {
  if (!(square < (grid.bound[node] as number))) return;
  grid.bound[node] = square;
  grid.boundBy[node] = drive;
  grid.boundKind[node] = kind;
}

function findSlowest(grid: Grid, limits: FeedLimits, nodes: number, samples: number): TimeLaw["slowest"] {
  let node = -1;
  for (let i = 0; i < nodes; i++)
    if (grid.boundBy[i] !== -1 && (node < 0 || (grid.bound[i] as number) < (grid.bound[node] as number))) node = i;
  if (node < 0) return { sample: 0, rate: limits.rate, drive: -1, by: "speed" };
  return {
    sample: Math.min(samples - 1, Math.round(node / cells)),
    rate: Math.sqrt(grid.bound[node] as number),
    drive: grid.boundBy[node] as number,
    by: grid.boundKind[node] === 0 ? "speed" : "acceleration",
  };
}
