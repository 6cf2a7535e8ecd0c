/** The sheet that a section is drawn on: its size, its scale, and how places fall onto it. */
import type { Job } from "../job/index.ts";
import { type Measure, sayNumber } from "./measure.ts";
import type { Page } from "./page.ts";
import type { Box } from "./place-labels.ts";
import { onPaper, type View } from "./project.ts";

export type Pixel = [number, number];

/** A4 across, 1000 px for 297 mm. */
export const paper = { width: 1000, height: 707, mm: 1000 / 297 };
export const frame: Box = { x: 20, y: 20, width: 960, height: 667 };
/** Where the machine is seen; beside it dimensions, below it the title. */
export const pane: Box = { x: 90, y: 34, width: 876, height: 505 };
export const scales = [1, 2, 2.5, 4, 5].flatMap((step) => [0.1, 1, 10, 100, 1000].map((power) => step * power)).sort((a, b) => a - b);
export const ink = "#111";

export interface Sheet {
  readonly page: Page;
  readonly view: View;
  readonly length: Measure;
  /** 1 to this */
  readonly scale: number;
  toPixel(place: ArrayLike<number>): Pixel;
  toPixels(points: readonly (readonly [number, number])[]): Pixel[];
}

/** The largest usual scale at which arm, port and target have their room. */
export function createSheet(page: Page, view: View, length: Measure, job: Job, outline: readonly (readonly [number, number])[]): Sheet {
  const flat = (place: ArrayLike<number>): [number, number] => onPaper(view, place[0]!, place[1]!, place[2]!);
  const { centre, axis, bore } = job.port;
  const behind = [0, 1, 2].map((i) => centre[i]! - Math.min(job.guideLength, 0.06) * axis[i]!);
  const seen = [...outline, flat(centre), flat(behind), flat(job.target.place)];
  const low = [0, 1].map((i) => Math.min(...seen.map((p) => p[i]!)) - bore) as [number, number];
  const high = [0, 1].map((i) => Math.max(...seen.map((p) => p[i]!)) + bore) as [number, number];
  const [room, tall] = [pane.width - 120, pane.height - 70].map((px) => px / paper.mm / 1e3) as [number, number];
  const scale = scales.find((s) => (high[0] - low[0]) / s <= room && (high[1] - low[1]) / s <= tall) ?? (scales.at(-1) as number);
  const px = (1e3 * paper.mm) / scale;
  const middle = [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2] as const;
  const toPixel = (p: readonly [number, number]): Pixel => [
    pane.x + pane.width / 2 + (p[0] - middle[0]) * px,
    pane.y + pane.height / 2 - (p[1] - middle[1]) * px,
  ];
  return { page, view, length, scale, toPixel: (place) => toPixel(flat(place)), toPixels: (points) => points.map(toPixel) };
}

export function lineOf(points: readonly Pixel[], closed: boolean): string {
  return points.length === 0 ? "" : `M${points.map((p) => p.map(fixed).join(",")).join("L")}${closed ? "Z" : ""}`;
}

/** A dimension without its unit, which the title names: no digits that nobody measures. */
export function short(value: number, length: Measure): string {
  const digits = Math.max(0, length.digits - 1);
  const shown = sayNumber(value, length, Math.abs(value) / length.size >= 100 && length.digits <= 2 ? 0 : digits);
  return shown.includes(".") ? shown.replace(/0+$/, "").replace(/\.$/, "") : shown;
}

export function fixed(value: number): number {
  return Math.round(value * 10) / 10 + 0;
}
