/** Distance to triangles, one after the other, with nothing clever: what the tree is held against. */

type Point = readonly [number, number, number];

/** @param corners [triangle, 9] */
export function slowDistance(corners: Float64Array, x: number, y: number, z: number): number {
  let least = Infinity;
  for (let k = 0; k < corners.length; k += 9) {
    const at = (i: number): Point => [corners[k + i]!, corners[k + i + 1]!, corners[k + i + 2]!];
    least = Math.min(least, toTriangle([x, y, z], at(0), at(3), at(6)));
  }
  return least;
}

/** The plane's distance where the foot is inside (by signed areas), else the nearest edge's. */
function toTriangle(p: Point, a: Point, b: Point, c: Point): number {
  const n = cross(minus(b, a), minus(c, a));
  const area = Math.sqrt(dot(n, n));
  const edges = Math.min(toSegment(p, a, b), toSegment(p, b, c), toSegment(p, c, a));
  if (area === 0) return edges;
  const within = [[a, b], [b, c], [c, a]].every(([u, v]) => dot(cross(minus(v!, u!), minus(p, u!)), n) >= 0); // biome-ignore format: one row
  return within ? Math.min(edges, Math.abs(dot(minus(p, a), n)) / area) : edges;
}

function toSegment(p: Point, a: Point, b: Point): number {
  const along = minus(b, a);
  const long = dot(along, along);
  const t = long === 0 ? 0 : Math.min(1, Math.max(0, dot(minus(p, a), along) / long));
  const off = minus(p, [a[0] + t * along[0], a[1] + t * along[1], a[2] + t * along[2]]);
  return Math.sqrt(dot(off, off));
}

function minus(a: Point, b: Point): Point {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function cross(a: Point, b: Point): Point {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function dot(a: Point, b: Point): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
