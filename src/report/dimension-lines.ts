/** Lines of a dimension, as drawing offices draw them: extension lines, a line with arrow heads, the number above it. */
import { mark, type Page } from "./page.ts";
import { textWidth } from "./place-labels.ts";

type Pixel = readonly [number, number];

const thin = { fill: "none", stroke: "#111", "stroke-width": 0.8 };
const head = { long: 10, half: 2.6 };

/** A filled head at `to`, coming from `from`. */
export function arrowHead(page: Page, from: Pixel, to: Pixel): SVGElement {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const size = Math.sqrt(dx * dx + dy * dy) || 1;
  const [u, v] = [dx / size, dy / size];
  const [bx, by] = [to[0] - head.long * u, to[1] - head.long * v];
  const corner = (side: number): string => `${fixed(bx - side * head.half * v)},${fixed(by + side * head.half * u)}`;
  return mark(page, "path", { d: `M${fixed(to[0])},${fixed(to[1])}L${corner(1)}L${corner(-1)}Z`, fill: "#111" });
}

/** A gap within the picture: heads inside where there is room, else from outside. */
export function acrossGap(page: Page, a: Pixel, b: Pixel): SVGElement[] {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const size = Math.sqrt(dx * dx + dy * dy);
  if (size < 1e-6) return [];
  const [u, v] = [dx / size, dy / size];
  const line = mark(page, "path", { d: `M${fixed(a[0])},${fixed(a[1])}L${fixed(b[0])},${fixed(b[1])}`, ...thin });
  if (size > 3 * head.long) return [line, arrowHead(page, b, a), arrowHead(page, a, b)];
  const tail = (p: Pixel, sign: number): Pixel => [p[0] + sign * 22 * u, p[1] + sign * 22 * v];
  const outer = (p: Pixel, from: Pixel): SVGElement =>
    mark(page, "path", { d: `M${fixed(from[0])},${fixed(from[1])}L${fixed(p[0])},${fixed(p[1])}`, ...thin });
  const [before, after] = [tail(a, -1), tail(b, 1)];
  return [line, outer(a, before), outer(b, after), arrowHead(page, before, a), arrowHead(page, after, b)];
}

/** Along the foot of the picture, at height `y`; extension lines come down to `edge` from what is measured. */
export function levelDimension(page: Page, a: Pixel, b: Pixel, y: number, says: string, edge: number): SVGElement[] {
  const [left, right] = a[0] < b[0] ? [a, b] : [b, a];
  const roomy = right[0] - left[0] > textWidth(says) + 4 * head.long;
  const at = roomy ? (left[0] + right[0]) / 2 : right[0] + 30 + textWidth(says) / 2;
  return [
    mark(page, "path", { d: [left, right].map((p) => `M${fixed(p[0])},${fixed(Math.min(p[1] + 8, edge))}V${fixed(y + 6)}`).join(""), ...thin, stroke: "#888" }),
    ...(roomy ? acrossGap(page, [left[0], y], [right[0], y]) : fromOutside(page, [left[0], y], [right[0], y])),
    mark(page, "text", { x: fixed(at), y: fixed(roomy ? y - 5 : y + 5), "text-anchor": "middle" }, says),
  ]; // biome-ignore format: one part a line
}

/** Along the left side of the picture, at `x`; the number reads from the right. */
export function plumbDimension(page: Page, a: Pixel, b: Pixel, x: number, says: string, edge: number): SVGElement[] {
  const [high, low] = a[1] < b[1] ? [a, b] : [b, a];
  const roomy = low[1] - high[1] > textWidth(says) + 4 * head.long;
  const at = roomy ? (high[1] + low[1]) / 2 : high[1] - 30 - textWidth(says) / 2;
  return [
    mark(page, "path", { d: [high, low].map((p) => `M${fixed(Math.max(p[0] - 8, edge))},${fixed(p[1])}H${fixed(x - 6)}`).join(""), ...thin, stroke: "#888" }),
    ...(roomy ? acrossGap(page, [x, high[1]], [x, low[1]]) : fromOutside(page, [x, high[1]], [x, low[1]])),
    mark(page, "text", { transform: `translate(${fixed(roomy ? x - 5 : x + 5)},${fixed(at)})rotate(-90)`, "text-anchor": "middle" }, says),
  ]; // biome-ignore format: one part a line
}

function fromOutside(page: Page, a: Pixel, b: Pixel): SVGElement[] {
  const size = Math.sqrt((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) || 1;
  const [u, v] = [(b[0] - a[0]) / size, (b[1] - a[1]) / size];
  const before: Pixel = [a[0] - 26 * u, a[1] - 26 * v];
  const after: Pixel = [b[0] + 26 * u, b[1] + 26 * v];
  return [
    mark(page, "path", { d: `M${before.map(fixed).join(",")}L${after.map(fixed).join(",")}`, ...thin }),
    arrowHead(page, before, a),
    arrowHead(page, after, b),
  ];
}

function fixed(value: number): number {
  return Math.round(value * 10) / 10 + 0;
}
