/** Hatching of cut material: parallel lines within loops, even and odd crossings told apart. */

type Pixel = readonly [number, number];

/**
 * @param loops closed lines, px
 * @param leans 1: lines fall to the right; -1: they rise
 * @returns [line] both ends of each, px
 */
export function hatch(loops: readonly (readonly Pixel[])[], leans: 1 | -1, spacing: number): [Pixel, Pixel][] {
  const out: [Pixel, Pixel][] = [];
  // across a line: c = y - leans x; along it: x
  const crossings = new Map<number, number[]>();
  const step = spacing * Math.SQRT2;
  for (const loop of loops) {
    for (let k = 1; k < loop.length; k++) {
      const [a, b] = [loop[k - 1]!, loop[k]!];
      const [ca, cb] = [a[1] - leans * a[0], b[1] - leans * b[0]];
      const [low, high] = [Math.min(ca, cb), Math.max(ca, cb)];
      // a line through a corner meets one of its two edges alone: low end in, high end out
      for (let n = Math.ceil(low / step); n * step < high; n++) {
        const x = a[0] + ((n * step - ca) / (cb - ca)) * (b[0] - a[0]);
        const here = crossings.get(n);
        if (here === undefined) crossings.set(n, [x]);
        else here.push(x);
      }
    }
  }
  for (const [n, xs] of [...crossings].sort((p, q) => p[0] - q[0])) {
    xs.sort((p, q) => p - q);
    for (let k = 1; k < xs.length; k += 2) {
      const at = (x: number): Pixel => [x, n * step + leans * x];
      out.push([at(xs[k - 1]!), at(xs[k]!)]);
    }
  }
  return out;
}
