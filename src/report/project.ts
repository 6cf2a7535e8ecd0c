/** Planes to look at a machine by: where to cut, and how places fall onto the paper. */

/** A view along a direction. Paper coordinates are m from the port, right and up. */
export interface View {
  readonly name: string;
  /** [3] unit vectors: right and up on the paper, and out of it towards the reader */
  readonly right: readonly number[];
  readonly up: readonly number[];
  readonly towards: readonly number[];
  /** [3] paper origin, m, world */
  readonly origin: readonly number[];
  /** the cut: distance of the plane from the origin towards the reader, m */
  readonly cut: number;
}

/**
 * Side view (up is against gravity; right follows the way in) and top view.
 *
 * @param points [n, 3] along the way, m, world; decides directions and where the cuts go
 */
export function chooseViews(
  origin: readonly number[],
  gravity: readonly number[],
  axis: readonly number[],
  points: ArrayLike<number>,
): [View, View] {
  const up = unit(gravity.map((value) => -value)) ?? [0, 0, 1];
  const right = alongGround(up, origin, axis, points);
  const away = cross(up, right);
  const side = { name: "Side", right, up, towards: away.map((value) => -value), origin, cut: 0 };
  const top = { name: "Top", right, up: away, towards: up, origin, cut: 0 };
  return [
    { ...side, cut: chooseCut(side, points) },
    { ...top, cut: chooseCut(top, points) },
  ];
}

/** The horizontal direction in which the way goes farthest from its start; a port that looks sideways decides where it goes straight down. */
function alongGround(up: readonly number[], origin: readonly number[], axis: readonly number[], points: ArrayLike<number>): number[] {
  let farthest: number[] = [0, 0, 0];
  let reach = 0;
  for (let k = 0; k < points.length; k += 3) {
    const flat = level(
      up,
      [0, 1, 2].map((i) => points[k + i]! - origin[i]!),
    );
    const length = Math.sqrt(dot(flat, flat));
    if (length > reach) {
      reach = length;
      farthest = flat;
    }
  }
  const least = [0, 1, 2].reduce((a, b) => (Math.abs(up[b]!) < Math.abs(up[a]!) ? b : a));
  const any = level(
    up,
    [0, 1, 2].map((i) => (i === least ? 1 : 0)),
  );
  return (reach > 1e-3 ? unit(farthest) : undefined) ?? unit(level(up, axis)) ?? unit(any)!;
}

/** Where most of the way, as seen in this view, lies: the middle of its distances, weighted by length on the paper. */
function chooseCut(view: View, points: ArrayLike<number>): number {
  const steps: { at: number; weight: number }[] = [];
  for (let k = 3; k < points.length; k += 3) {
    const step = [0, 1, 2].map((i) => points[k + i]! - points[k - 3 + i]!);
    const middle = [0, 1, 2].map((i) => (points[k + i]! + points[k - 3 + i]!) / 2 - view.origin[i]!);
    steps.push({ at: dot(middle, view.towards), weight: Math.sqrt(dot(step, view.right) ** 2 + dot(step, view.up) ** 2) });
  }
  steps.sort((a, b) => a.at - b.at);
  const half = steps.reduce((sum, step) => sum + step.weight, 0) / 2;
  let sum = 0;
  for (const step of steps) if ((sum += step.weight) >= half) return step.at;
  return 0;
}

/** A world point on the paper, m. */
export function onPaper(view: View, x: number, y: number, z: number): [number, number] {
  const [dx, dy, dz] = [x - view.origin[0]!, y - view.origin[1]!, z - view.origin[2]!];
  return [dx * view.right[0]! + dy * view.right[1]! + dz * view.right[2]!, dx * view.up[0]! + dy * view.up[1]! + dz * view.up[2]!];
}

/**
 * Where triangles meet the plane of the cut.
 *
 * @param corners [triangle, 9] m, world
 * @returns [segment, 4] x, y, x, y on the paper, m
 */
export function cutTriangles(view: View, corners: Float64Array): Float64Array {
  const out: number[] = [];
  const { towards, origin, cut } = view;
  const offset = dot(origin, towards) + cut;
  const height = [0, 0, 0];
  for (let t = 0; t < corners.length; t += 9) {
    for (let i = 0; i < 3; i++) {
      const at = t + 3 * i;
      height[i] = corners[at]! * towards[0]! + corners[at + 1]! * towards[1]! + corners[at + 2]! * towards[2]! - offset;
    }
    // a corner on the plane counts as above, so that neighbours agree
    if (height[0]! < 0 === height[1]! < 0 && height[1]! < 0 === height[2]! < 0) continue;
    for (let i = 0; i < 3; i++) {
      const j = (i + 1) % 3;
      const [a, b] = [height[i]!, height[j]!];
      if (a < 0 === b < 0) continue;
      // from the corner above to the one below, whichever triangle it is: neighbours give the same place to the last bit
      const [p, q] = a < 0 ? [t + 3 * j, t + 3 * i] : [t + 3 * i, t + 3 * j];
      const share = Math.max(a, b) / (Math.max(a, b) - Math.min(a, b));
      const mix = (r: number): number => corners[p + r]! + share * (corners[q + r]! - corners[p + r]!);
      out.push(...onPaper(view, mix(0), mix(1), mix(2)));
    }
  }
  return Float64Array.from(out);
}

/** Corners of the convex outline of points on the paper, in order (Andrew's monotone chain). */
export function outline(points: readonly (readonly [number, number])[]): [number, number][] {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const turn = (o: readonly number[], a: readonly number[], b: readonly number[]): number =>
    (a[0]! - o[0]!) * (b[1]! - o[1]!) - (a[1]! - o[1]!) * (b[0]! - o[0]!);
  const chain = (from: readonly (readonly [number, number])[]): [number, number][] => {
    const out: [number, number][] = [];
    for (const point of from) {
      while (out.length > 1 && turn(out[out.length - 2]!, out[out.length - 1]!, point) <= 0) out.pop();
      out.push([point[0], point[1]]);
    }
    out.pop();
    return out;
  };
  return [...chain(sorted), ...chain(sorted.reverse())];
}

const sides = 20;

/**
 * Outline of a cylinder on the paper.
 *
 * @param frames [.., 12] read at 12 i; the cylinder lies about its z from `from` to `to`, m
 */
export function cylinderOutline(
  view: View,
  frames: ArrayLike<number>,
  i: number,
  radius: number,
  from: number,
  to: number,
): [number, number][] {
  const f = 12 * i;
  const points: [number, number][] = [];
  for (let k = 0; k < sides; k++) {
    const x = radius * Math.cos((2 * Math.PI * k) / sides);
    const y = radius * Math.sin((2 * Math.PI * k) / sides);
    for (const z of [from, to]) {
      const at = (r: number): number =>
        frames[f + 9 + r]! + frames[f + 3 * r]! * x + frames[f + 3 * r + 1]! * y + frames[f + 3 * r + 2]! * z;
      points.push(onPaper(view, at(0), at(1), at(2)));
    }
  }
  return outline(points);
}

export function dot(a: readonly number[], b: readonly number[]): number {
  return a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
}

export function cross(a: readonly number[], b: readonly number[]): number[] {
  return [a[1]! * b[2]! - a[2]! * b[1]!, a[2]! * b[0]! - a[0]! * b[2]!, a[0]! * b[1]! - a[1]! * b[0]!];
}

function level(up: readonly number[], v: readonly number[]): number[] {
  const d = dot(up, v);
  return v.map((value, i) => value - d * up[i]!);
}

export function unit(v: readonly number[]): number[] | undefined {
  const length = Math.sqrt(dot(v, v));
  return length > 1e-9 ? v.map((value) => value / length) : undefined;
}
