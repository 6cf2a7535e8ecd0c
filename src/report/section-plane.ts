/** The plane of a section through a port and a target, and what it cuts. */
import type { Job } from "../job/index.ts";
import { cross, cutTriangles, dot, unit, type View } from "./project.ts";

type Point = readonly [number, number];

/**
 * The plane through the port's axis and the target; against gravity is up where the plane allows, the target to the right.
 *
 * @param normal [3] of another plane through the port's centre, any length
 */
export function sectionPlane({ port, target, conditions }: Job, normal?: readonly number[]): View {
  const { centre, axis } = port;
  const to = [0, 1, 2].map((i) => target.place[i]! - centre[i]!);
  const against = unit(conditions.gravity.map((value) => -value)) ?? [0, 0, 1];
  const least = [0, 1, 2].reduce((a, b) => (Math.abs(axis[b]!) < Math.abs(axis[a]!) ? b : a));
  const any = [0, 1, 2].map((i) => (i === least ? 1 : 0));
  const square = (v: readonly number[]): number[] | undefined => {
    const out = cross(axis, v);
    return Math.sqrt(dot(out, out)) > 1e-3 * Math.sqrt(dot(v, v)) ? unit(out) : undefined;
  };
  const n = (normal === undefined ? undefined : unit(normal)) ?? square(to) ?? square(against) ?? square(any)!;
  const level = (v: readonly number[]): number[] => v.map((value, i) => value - dot(v, n) * n[i]!);
  const high = level(against);
  // a plane that lies nearly flat is seen from above, the port's axis to the right
  const up = (dot(high, high) > 0.04 ? unit(high) : undefined) ?? unit(cross(n, level(axis))) ?? unit(level(any))!;
  const right = cross(up, n);
  const flip = dot(to, right) < 0 ? -1 : 1;
  return { name: "Section", right: right.map((x) => flip * x), up, towards: n.map((x) => flip * x), origin: centre, cut: 0 };
}

/** Distance of a place from the plane towards the reader, m. */
export function beforePlane(view: View, place: ArrayLike<number>): number {
  return [0, 1, 2].reduce((sum, i) => sum + (place[i]! - view.origin[i]!) * view.towards[i]!, 0) - view.cut;
}

/** Where a body is cut: lines that close, and those that do not; m on the paper. */
export interface Cut {
  readonly loops: readonly (readonly Point[])[];
  readonly lines: readonly (readonly Point[])[];
}

/** @param corners [triangle, 9] m, world */
export function cutBody(view: View, corners: Float64Array): Cut {
  const { ends, points } = joinEnds(cutTriangles(view, corners));
  const count = ends.length / 2;
  const at = new Map<number, [number, number][]>();
  for (let k = 0; k < count; k++) {
    for (const end of [0, 1]) {
      const here = at.get(ends[2 * k + end]!);
      if (here === undefined) at.set(ends[2 * k + end]!, [[k, end]]);
      else here.push([k, end]);
    }
  }
  const point = (k: number, end: number): Point => points[ends[2 * k + end]!]!;
  const used = new Uint8Array(count);
  const follow = (start: number, from: number): Point[] => {
    const out = [point(start, from)];
    let [k, end] = [start, from];
    for (;;) {
      used[k] = 1;
      out.push(point(k, 1 - end));
      const next = at.get(ends[2 * k + 1 - end]!)?.find(([other]) => used[other] === 0);
      if (next === undefined) return out;
      [k, end] = next;
    }
  };
  const loops: Point[][] = [];
  const lines: Point[][] = [];
  const closes = (line: readonly Point[]): boolean => {
    const [a, b] = [line[0]!, line.at(-1)!];
    return line.length > 3 && a === b;
  };
  // loose ends first, so that a line is not started in its middle
  for (const loose of [true, false]) {
    for (let k = 0; k < count; k++) {
      for (const end of [0, 1]) {
        if (used[k] !== 0 || (loose && at.get(ends[2 * k + end]!)!.length !== 1)) continue;
        const line = follow(k, end);
        (closes(line) ? loops : lines).push(line);
      }
    }
  }
  return { loops, lines };
}

/** Ends nearer than this are one: a plane through a corner is met there by several edges, each to its own rounding. m */
const joined = 1e-8;

/** @param segments [segment, 4] @returns [segment, 2] which point each end is; segments without length are left out */
function joinEnds(segments: Float64Array): { ends: number[]; points: Point[] } {
  const points: Point[] = [];
  const cells = new Map<string, number[]>();
  const idOf = (x: number, y: number): number => {
    const [i, j] = [Math.round(x / joined), Math.round(y / joined)];
    for (let di = -1; di <= 1; di++) {
      for (let dj = -1; dj <= 1; dj++) {
        for (const id of cells.get(`${i + di},${j + dj}`) ?? [])
          if (Math.abs(points[id]![0] - x) < joined && Math.abs(points[id]![1] - y) < joined) return id;
      }
    }
    const id = points.push([x, y]) - 1;
    const cell = cells.get(`${i},${j}`);
    if (cell === undefined) cells.set(`${i},${j}`, [id]);
    else cell.push(id);
    return id;
  };
  const ends: number[] = [];
  for (let k = 0; k < segments.length; k += 4) {
    const [a, b] = [idOf(segments[k]!, segments[k + 1]!), idOf(segments[k + 2]!, segments[k + 3]!)];
    if (a !== b) ends.push(a, b);
  }
  return { ends, points };
}

/** Whether a place lies within loops, by crossings of a line from it. */
export function isWithin(loops: Cut["loops"], [x, y]: Point): boolean {
  let inside = false;
  for (const loop of loops) {
    for (let k = 1; k < loop.length; k++) {
      const [a, b] = [loop[k - 1]!, loop[k]!];
      if (a[1] > y !== b[1] > y && x < a[0] + ((y - a[1]) / (b[1] - a[1])) * (b[0] - a[0])) inside = !inside;
    }
  }
  return inside;
}
