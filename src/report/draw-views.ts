/** The arm in the machine as seen from the side and from above, to scale, drawn from the result. */
import type { ArmModel } from "../arm/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { Job } from "../job/index.ts";
import type { PlanResult } from "../plan/index.ts";
import { drawBody } from "../space/index.ts";
import { type Measure, type Measures, niceStep } from "./measure.ts";
import { figure, mark, type Page, picture, tag } from "./page.ts";
import { chooseViews, cutTriangles, cylinderOutline, onPaper, outline, type View } from "./project.ts";

const paperWidth = 680;
const tallest = 420;
const border = { left: 56, right: 14, top: 14, bottom: 44 };

/** A place with a letter on the pictures, explained below them. */
export interface Sign {
  readonly letter: string;
  readonly says: string;
  /** [3] m, world */
  readonly place: readonly number[];
}

/** What part of the paper is shown, m, and how large. */
interface Window {
  readonly left: number;
  readonly bottom: number;
  readonly width: number;
  readonly height: number;
  /** px a m */
  readonly scale: number;
}

export function viewFigures(
  page: Page,
  job: Job,
  arm: ArmModel,
  result: PlanResult,
  signs: readonly Sign[],
  measures: Measures,
): HTMLElement[] {
  const last = result.wayIn[result.wayIn.length - 1];
  const points = result.route.curve?.point ?? Float64Array.of(...job.port.centre, ...job.target.place);
  const views = chooseViews(job.port.centre, job.conditions.gravity, job.port.axis, points);
  const drawn = job.bodies.map((body) => drawBody(body));
  return views.map((view) => viewFigure(page, view, job, arm, last, result, drawn, signs, measures));
}

function viewFigure(
  page: Page,
  view: View,
  job: Job,
  arm: ArmModel,
  last: DepthRecord | undefined,
  result: PlanResult,
  drawn: readonly Float64Array[],
  signs: readonly Sign[],
  measures: Measures,
): HTMLElement {
  const bodies = last === undefined ? [] : armOutlines(view, arm, last);
  const line = result.route.curve === undefined ? [] : polyline(view, result.route.curve.point);
  const guide = guideLine(view, job);
  const window = chooseWindow([
    ...bodies.flat(),
    ...line,
    ...guide,
    ...signs.map(({ place }) => onPaper(view, place[0]!, place[1]!, place[2]!)),
  ]);
  const [width, height] = [window.width * window.scale, window.height * window.scale];
  const found = result.route.status === "found";
  const inside = mark(
    page,
    "svg",
    { x: border.left, y: border.top, width: fixed(width), height: fixed(height), overflow: "hidden" },
    ...job.bodies.flatMap((body, k) => (isSolid(body.shape.kind) ? [outlineOf(page, view, drawn[k]!, window)] : [])),
    mark(page, "path", { d: cutPath(view, drawn, window), fill: "none", stroke: "#222", "stroke-width": 1.6, "stroke-linecap": "round" }),
    mark(page, "path", { d: pathOf(guide, window, false), fill: "none", stroke: "#555", "stroke-width": 4, "stroke-opacity": 0.45 }),
    ...bodies.map((corners, k) => drawArmPiece(page, corners, k === bodies.length - 1, last!.firstFree + k, arm, window)),
    mark(page, "path", {
      d: pathOf(line, window, false),
      fill: "none",
      stroke: found ? "#0072b2" : "#d55e00",
      "stroke-width": 1.4,
      "stroke-dasharray": found ? "7 3" : "2 4",
    }),
    ...job.bodies.flatMap((body, k) => (isSolid(body.shape.kind) ? [bodyNumber(page, view, drawn[k]!, k, window)] : [])),
    ...signs.flatMap((sign) => drawSign(page, view, sign, window)),
  );
  const says = `${view.name} view of the arm at the target in the machine, to scale`;
  const drawing = picture(
    page,
    paperWidth,
    fixed(height + border.top + border.bottom),
    says,
    ...axes(page, view, window, measures.length, width, height),
    inside,
    scaleBar(page, window, measures.length, width, height),
  );
  const up = view.name === "Side" ? "up is against gravity" : "seen from above, along gravity";
  return figure(
    page,
    drawing,
    `${view.name} view; ${up}. Thick lines: surfaces cut by the plane ${sayCut(view, measures.length)}; thin broken lines: outlines of drawn bodies before or behind it. ` +
      `${last === undefined ? "No arm is drawn: none was laid on a route." : "Arm at the target, true size, sections in turns light and dark (simulated)."} ` +
      (found ? "Broken line: the route." : "Dotted line: the best attempt at a route. It is no way in."),
  );
}

function sayCut(view: View, length: Measure): string {
  const [before, behind] = view.name === "Side" ? ["in front of", "behind"] : ["above", "below"];
  const digits = length.digits > 2 ? 2 : 0;
  const away = Math.abs(view.cut / length.size).toFixed(digits);
  return Number(away) === 0 ? "through the port" : `${away}\u00a0${length.name} ${view.cut > 0 ? before : behind} the port`;
}

function isSolid(kind: string): boolean {
  return kind === "box" || kind === "cylinder" || kind === "ring" || kind === "plate";
}

/** Each vertebra past the guide's exit, then the tool. */
function armOutlines(view: View, arm: ArmModel, record: DepthRecord): [number, number][][] {
  const out: [number, number][][] = [];
  for (let i = Math.max(record.firstFree, 1); i <= arm.spans; i++) {
    const section = arm.description.sections[arm.sectionOfSpan[i - 1]!]!;
    const ahead = i < arm.spans ? arm.lead[i]! : arm.tail[i - 1]!;
    out.push(cylinderOutline(view, record.frames, i, section.outerDiameter / 2, -arm.tail[i - 1]!, ahead));
  }
  const { tool } = arm.description;
  out.push(cylinderOutline(view, record.frames, arm.spans, tool.diameter / 2, 0, tool.length));
  return out;
}

function drawArmPiece(
  page: Page,
  corners: readonly (readonly [number, number])[],
  isTool: boolean,
  vertebra: number,
  arm: ArmModel,
  window: Window,
): SVGElement {
  const section = arm.sectionOfSpan[Math.min(Math.max(vertebra, 1), arm.spans) - 1]!;
  const fill = isTool ? "#e69f00" : section % 2 === 0 ? "#8fa3b0" : "#d3dde3";
  return mark(page, "path", { d: pathOf(corners, window, true), fill, stroke: "#33424b", "stroke-width": 0.6 });
}

function guideLine(view: View, job: Job): [number, number][] {
  const { centre, axis } = job.port;
  return [0, job.guideLength].map((back) =>
    onPaper(view, centre[0] - back * axis[0], centre[1] - back * axis[1], centre[2] - back * axis[2]),
  );
}

function polyline(view: View, points: ArrayLike<number>): [number, number][] {
  return Array.from({ length: points.length / 3 }, (_, k) => onPaper(view, points[3 * k]!, points[3 * k + 1]!, points[3 * k + 2]!));
}

/** All that must be seen, and some of the machine about it. */
function chooseWindow(points: readonly (readonly [number, number])[]): Window {
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

function toPixels(window: Window, point: readonly [number, number]): [number, number] {
  return [(point[0] - window.left) * window.scale, (window.height - (point[1] - window.bottom)) * window.scale];
}

function pathOf(points: readonly (readonly [number, number])[], window: Window, closed: boolean): string {
  const at = points.map((point) => toPixels(window, point).map(fixed).join(","));
  return at.length === 0 ? "" : `M${at.join("L")}${closed ? "Z" : ""}`;
}

/** Segments outside of the window and those shorter than can be seen are left out. */
function cutPath(view: View, drawn: readonly Float64Array[], window: Window): string {
  const out: string[] = [];
  const [width, height] = [window.width * window.scale, window.height * window.scale];
  for (const corners of drawn) {
    const cut = cutTriangles(view, corners);
    for (let k = 0; k < cut.length; k += 4) {
      const a = toPixels(window, [cut[k]!, cut[k + 1]!]);
      const b = toPixels(window, [cut[k + 2]!, cut[k + 3]!]);
      if (Math.max(a[0], b[0]) < 0 || Math.min(a[0], b[0]) > width || Math.max(a[1], b[1]) < 0 || Math.min(a[1], b[1]) > height) continue;
      const [from, to] = [a.map(fixed).join(","), b.map(fixed).join(",")];
      if (from !== to) out.push(`M${from}L${to}`);
    }
  }
  return out.join("");
}

/** A body that fills much of the picture is not shaded: it would darken all the rest. */
function outlineOf(page: Page, view: View, corners: Float64Array, window: Window): SVGElement {
  const around = outline(polyline(view, corners));
  const size = [0, 1].map((i) => Math.max(...around.map((point) => point[i]!)) - Math.min(...around.map((point) => point[i]!)));
  const shaded = size[0]! * size[1]! < 0.1 * window.width * window.height;
  return mark(page, "path", {
    d: pathOf(around, window, true),
    fill: shaded ? "#777" : "none",
    "fill-opacity": 0.12,
    stroke: "#666",
    "stroke-width": 0.8,
    "stroke-dasharray": "3 2",
  });
}

function bodyNumber(page: Page, view: View, corners: Float64Array, index: number, window: Window): SVGElement {
  const around = outline(polyline(view, corners)).map((point) => toPixels(window, point));
  const rightmost = around.reduce((best, p) => (p[0] > best[0] ? p : best), around[0]!);
  const x = Math.min(rightmost[0] + 3, window.width * window.scale - 12);
  return label(page, x, rightmost[1] - 3, String(index + 1), "start");
}

function drawSign(page: Page, view: View, sign: Sign, window: Window): SVGElement[] {
  const [x, y] = toPixels(window, onPaper(view, sign.place[0]!, sign.place[1]!, sign.place[2]!));
  // letters stand off in their own directions, so that signs at one place can be told apart
  const angle = ((sign.letter.charCodeAt(0) * 137.5) % 360) * (Math.PI / 180);
  const [dx, dy] = [22 * Math.cos(angle), 22 * Math.sin(angle)];
  return [
    mark(page, "path", { d: `M${fixed(x)},${fixed(y)}l${fixed(dx)},${fixed(dy)}`, stroke: "#000", "stroke-width": 0.8 }),
    mark(page, "circle", { cx: fixed(x), cy: fixed(y), r: 3, fill: "#fff", stroke: "#000", "stroke-width": 1.4 }),
    mark(page, "circle", { cx: fixed(x + dx), cy: fixed(y + dy), r: 8, fill: "#fff", stroke: "#000", "stroke-width": 0.8 }),
    mark(page, "text", { x: fixed(x + dx), y: fixed(y + dy + 3.6), "text-anchor": "middle", "font-weight": 600 }, sign.letter),
  ];
}

function label(page: Page, x: number, y: number, says: string, anchor: string): SVGElement {
  return mark(
    page,
    "text",
    { x: fixed(x), y: fixed(y), "text-anchor": anchor, "paint-order": "stroke", stroke: "#fff", "stroke-width": 3 },
    says,
  );
}

/** Below the frame, at its right end. */
function scaleBar(page: Page, window: Window, length: Measure, width: number, height: number): SVGElement {
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

function axes(page: Page, view: View, window: Window, length: Measure, width: number, height: number): SVGElement[] {
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

function fixed(value: number): number {
  return Math.round(value * 10) / 10 + 0;
}

/** What the letters and numbers on the pictures mean. */
export function signKey(page: Page, job: Job, signs: readonly Sign[]): HTMLElement {
  const solids = job.bodies.flatMap((body, k) => (isSolid(body.shape.kind) ? [`${k + 1} ${body.name}`] : []));
  const walls = job.bodies.flatMap((body) => (isSolid(body.shape.kind) ? [] : [body.name]));
  return tag(
    page,
    "dl",
    { class: "key" },
    ...signs.flatMap((sign) => [tag(page, "dt", {}, sign.letter), tag(page, "dd", {}, sign.says)]),
    ...(solids.length > 0 ? [tag(page, "dt", {}, "1 \u2026"), tag(page, "dd", {}, `${solids.join(", ")} (outlined)`)] : []),
    ...(walls.length > 0 ? [tag(page, "dt", {}, "\u2013"), tag(page, "dd", {}, `${walls.join(", ")} (cut only)`)] : []),
  );
}
