/** The arm in the machine as seen from the side and from above, to scale, drawn from the result. */
import type { ArmModel } from "../arm/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { Job } from "../job/index.ts";
import { type PlanResult, tubeLine } from "../plan/index.ts";
import { drawBody } from "../space/index.ts";
import type { Measure, Measures } from "./measure.ts";
import { figure, mark, type Page, picture, tag } from "./page.ts";
import { chooseViews, cutTriangles, cylinderOutline, onPaper, outline, type View } from "./project.ts";
import { axes, border, chooseWindow, fixed, paperWidth, pathOf, scaleBar, toPixels, type Window } from "./view-window.ts";

/** A place with a letter on the pictures, explained below them. */
export interface Sign {
  readonly letter: string;
  readonly says: string;
  /** [3] m, world */
  readonly place: readonly number[];
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
  const drawn = job.bodies.map((body) => drawBody(body, job.bodies));
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
  return kind === "box" || kind === "cylinder" || kind === "ring" || kind === "plate" || kind === "sphere" || kind === "vanes";
}

/** Each vertebra past the guide's exit, then the tool. */
export function armOutlines(view: View, arm: ArmModel, record: DepthRecord): [number, number][][] {
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

export function drawArmPiece(
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

export function guideLine(view: View, job: Job): [number, number][] {
  const { centre, axis } = job.port;
  if (job.launch?.tube !== undefined) return polyline(view, tubeLine(job.launch.tube));
  return [0, job.guideLength].map((back) =>
    onPaper(view, centre[0] - back * axis[0], centre[1] - back * axis[1], centre[2] - back * axis[2]),
  );
}

function polyline(view: View, points: ArrayLike<number>): [number, number][] {
  return Array.from({ length: points.length / 3 }, (_, k) => onPaper(view, points[3 * k]!, points[3 * k + 1]!, points[3 * k + 2]!));
}

/** Segments outside of the window and those shorter than can be seen are left out. */
export function cutPath(view: View, drawn: readonly Float64Array[], window: Window): string {
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
