/** A closed, bumpy surface of any number of triangles, and points about it. Coordinates are exact in single precision. */

/**
 * A torus of radii 0.3 and 0.1 m with waves on it.
 *
 * @param triangles  about how many
 * @returns [triangle, 9] m
 */
export function bumpyMesh(triangles: number): Float64Array {
  const around = Math.max(3, Math.round(Math.sqrt((triangles * 3) / 2)));
  const across = Math.max(3, Math.round(triangles / 2 / around));
  const grid = new Float64Array(3 * around * across);
  for (let i = 0; i < around; i++) {
    for (let j = 0; j < across; j++) {
      const u = (2 * Math.PI * i) / around;
      const v = (2 * Math.PI * j) / across;
      const bar = 0.1 + 0.008 * Math.sin(9 * u) * Math.cos(5 * v) + 0.002 * Math.sin(41 * u + 17 * v);
      const out = 0.3 + bar * Math.cos(v);
      const at = 3 * (i * across + j);
      grid[at] = Math.fround(out * Math.cos(u));
      grid[at + 1] = Math.fround(out * Math.sin(u));
      grid[at + 2] = Math.fround(bar * Math.sin(v));
    }
  }
  const corners = new Float64Array(9 * 2 * around * across);
  let used = 0;
  const put = (i: number, j: number): void => {
    const at = 3 * ((i % around) * across + (j % across));
    corners[used++] = grid[at]!;
    corners[used++] = grid[at + 1]!;
    corners[used++] = grid[at + 2]!;
  };
  for (let i = 0; i < around; i++) {
    for (let j = 0; j < across; j++) {
      put(i, j);
      put(i + 1, j);
      put(i + 1, j + 1);
      put(i, j);
      put(i + 1, j + 1);
      put(i, j + 1);
    }
  }
  return corners;
}

/** [n, 3] points anywhere in a box about the mesh, m, exact in single precision */
export function pointsAbout(n: number, random: () => number): Float64Array {
  return Float64Array.from({ length: 3 * n }, (_, k) => Math.fround((random() - 0.5) * (k % 3 === 2 ? 0.4 : 1)));
}

/** [n, 3] points within `gap` of the surface, m, exact in single precision */
export function pointsNear(corners: Float64Array, n: number, gap: number, random: () => number): Float64Array {
  const points = new Float64Array(3 * n);
  for (let k = 0; k < n; k++) {
    const at = 9 * Math.floor((random() * corners.length) / 9);
    const a = random();
    const b = random() * (1 - a);
    for (let i = 0; i < 3; i++) {
      const on = corners[at + i]! * (1 - a - b) + corners[at + 3 + i]! * a + corners[at + 6 + i]! * b;
      points[3 * k + i] = Math.fround(on + ((2 * random() - 1) * gap) / Math.sqrt(3));
    }
  }
  return points;
}

/** [n, 3] points along a helix inside the surface, step by step as a body is checked, m, exact in single precision */
export function pointsAlong(n: number): Float64Array {
  const points = new Float64Array(3 * n);
  for (let k = 0; k < n; k++) {
    const u = (2 * Math.PI * k) / n;
    const v = (2 * Math.PI * k) / 16;
    const out = 0.3 + 0.05 * Math.cos(v);
    points[3 * k] = Math.fround(out * Math.cos(u));
    points[3 * k + 1] = Math.fround(out * Math.sin(u));
    points[3 * k + 2] = Math.fround(0.05 * Math.sin(v));
  }
  return points;
}
