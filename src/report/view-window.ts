/** The part of a view that is drawn: its size, its frame with axes, its scale bar. */
import { type Measure, niceStep } from "./measure.ts";
import { mark, type Page } from "./page.ts";
import type { View } from "./project.ts";

export const paperWidth = 680;
const tallest = 420;
export const border = { left: 56, right: 14, top: 14, bottom: 44 };

/** What part of the paper is shown, m, and how large. */
export interface Window {
  readonly left: number;
  readonly bottom: number;
  readonly width: number;
  readonly height: number;
  /** px a m */
  readonly scale: number;
}

/** All that must be seen, and some of the machine about it. */
export function chooseWindow(points: readonly (readonly [number, number])[]): Window {
  const low = [0, 1].map((i) => points.reduce((least, p) => Math.min(least, p[i]!), Number.POSITIVE_INFINITY)) as [number, number];
  const high = [0, 1].map((i) => points.reduce((most, p) => Math.max(most, p[i]!), Number.NEGATIVE_INFINITY)) as [number, number];
  const room = 0.1 * Math.max(high[0] - low[0], high[1] - low[1]) + 0.01;
  const width = high[0] - low[0] + 2 * room;
  // a flat view is given some height, so that what stands about the arm is seen
  const height = Math.max(high[1] - low[1] + 2 * room, 0.3 * width);
  const scale = Math.min((paperWidth - border.left - border.right) / width, (tallest - border.top - border.bottom) / height);
  const shown = Math.min((paperWidth - border.left - border.right) / scale, 3 * width);
  return { left: (low[0] + high[0] - shown) / 2, bottom: (low[1] + high[1] - height) / 2, width: shown, height, scale };
}

export function toPixels(window: Window, point: readonly [number, number]): [number, number] {
  return [(point[0] - window.left) * window.scale, (window.height - (point[1] - window.bottom)) * window.scale];
}

export function pathOf(points: readonly (readonly [number, number])[], window: Window, closed: boolean): string {
  const at = points.map((point) => toPixels(window, point).map(fixed).join(","));
  return at.length === 0 ? "" : `M${at.join("L")}${closed ? "Z" : ""}`;
}

/** Below the frame, at its right end. */
export function scaleBar(page: Page, window: Window, length: Measure, width: number, height: number): SVGElement {
  const size = niceStep((0.1 * width) / window.scale / length.size);
  const bar = size * length.size * window.scale;
  const [x, y] = [border.left + width - bar, fixed(border.top + height + 36)];
  return mark(
    page,
    "g",
    { class: "scale" },
    mark(page, "path", { d: `M${fixed(x)},${y - 4}v8m0,-4h${fixed(bar)}m0,-4v8`, stroke: "#000", "stroke-width": 1.6, fill: "none" }),
    mark(page, "text", { x: fixed(x - 6), y: y + 4, "text-anchor": "end" }, `${size} ${length.name}`),
  );
}

export function axes(page: Page, view: View, window: Window, length: Measure, width: number, height: number): SVGElement[] {
  const step = niceStep(60 / window.scale / length.size);
  const ticks = (from: number, size: number): number[] => {
    const first = Math.ceil(from / length.size / step);
    const last = Math.floor((from + size) / length.size / step);
    return Array.from({ length: Math.max(0, last - first + 1) }, (_, k) => (first + k) * step);
  };
  const digits = Math.max(0, -Math.floor(Math.log10(step)));
  const say = (value: number): string =>
    value
      .toFixed(digits)
      .replace(/^-(0(\.0*)?)$/, "$1")
      .replace("-", "\u2212");
  const grid = { stroke: "#ccc", "stroke-width": 0.5 };
  const xs = ticks(window.left, window.width).map((value) => ({
    value,
    at: border.left + (value * length.size - window.left) * window.scale,
  }));
  const ys = ticks(window.bottom, window.height).map((value) => ({
    value,
    at: border.top + (window.height - (value * length.size - window.bottom)) * window.scale,
  }));
  const below = border.top + height;
  const across = view.name === "Side" ? "up" : "to the left";
  return [
    mark(page, "path", { d: xs.map(({ at }) => `M${fixed(at)},${border.top}v${fixed(height)}`).join(""), fill: "none", ...grid }),
    mark(page, "path", { d: ys.map(({ at }) => `M${border.left},${fixed(at)}h${fixed(width)}`).join(""), fill: "none", ...grid }),
    mark(page, "rect", { x: border.left, y: border.top, width: fixed(width), height: fixed(height), fill: "none", stroke: "#888" }),
    ...xs.map(({ value, at }) => mark(page, "text", { x: fixed(at), y: fixed(below + 14), "text-anchor": "middle" }, say(value))),
    ...ys.map(({ value, at }) => mark(page, "text", { x: border.left - 6, y: fixed(at + 3.5), "text-anchor": "end" }, say(value))),
    mark(
      page,
      "text",
      { x: fixed(border.left + width / 2), y: fixed(below + 32), "text-anchor": "middle", class: "axis" },
      `along the way in, ${length.name} from the port`,
    ),
    mark(
      page,
      "text",
      { transform: `translate(12,${fixed(border.top + height / 2)})rotate(-90)`, "text-anchor": "middle", class: "axis" },
      `${across}, ${length.name} from the port`,
    ),
  ];
}

export function fixed(value: number): number {
  return Math.round(value * 10) / 10 + 0;
}
