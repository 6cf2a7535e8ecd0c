/**
 * A section through port and target as a drawing to scale on A4: the machine cut by the plane, the arm at the target and on its way, and
 * the dimensions that an owner's engineer asks for.
 */
import { type ArmModel, createArm } from "../arm/index.ts";
import type { UnitSystem } from "../base/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { Job } from "../job/index.ts";
import { type PlanResult, tubeLine } from "../plan/index.ts";
import { drawBody, isPipe } from "../space/index.ts";
import { arrowHead, levelDimension, plumbDimension } from "./dimension-lines.ts";
import { armOutlines } from "./draw-views.ts";
import { hatch } from "./hatch.ts";
import { measuresOf, niceStep } from "./measure.ts";
import { createPage, mark, type Page } from "./page.ts";
import { fontSize, leaderStart, lineHeight, type PlacedLabel, placeLabels, textWidth } from "./place-labels.ts";
import { onPaper, type View } from "./project.ts";
import { gatherNotes, inkOf, posesOf } from "./section-notes.ts";
import { beforePlane, type Cut, cutBody, isWithin, sectionPlane } from "./section-plane.ts";
import { createSheet, fixed, frame, ink, lineOf, type Pixel, pane, paper, type Sheet, short } from "./section-sheet.ts";

export interface SectionOptions {
  readonly units?: UnitSystem;
  /** [3] of another plane through the port's centre; that through port and target when absent */
  readonly normal?: readonly number[];
  /** m of feed at which the arm is drawn beside that at the target; a third and two thirds of the way when absent */
  readonly depths?: readonly number[];
}

/** @returns an SVG document */
export function sectionSvg(job: Job, result: PlanResult, options: SectionOptions = {}): string {
  const page = createPage("section", "");
  return `<?xml version="1.0" encoding="UTF-8"?>\n${String(drawSection(page, job, result, options))}\n`;
}

/** The drawing as an element of a page. */
export function drawSection(page: Page, job: Job, result: PlanResult, options: SectionOptions = {}): SVGElement {
  const arm = createArm(job.arm);
  const { length } = measuresOf(options.units ?? "metric");
  const view = sectionPlane(job, options.normal);
  const last = result.wayIn.at(-1);
  const outlines = last === undefined ? [] : armOutlines(view, arm, last);
  const sheet = createSheet(page, view, length, job, outlines.flat());
  const cuts = job.bodies.map((body) => cutBody(view, drawBody(body, job.bodies)));
  const side = drawSides(sheet, job);
  const { notes, marks } = gatherNotes(sheet, job, arm, result, last, options.depths);
  const labels = placeLabels(
    notes,
    { ...pane, x: pane.x + 4, y: pane.y + 4, width: pane.width - 8, height: pane.height - 8 },
    [],
    inkOf(sheet, job, cuts, outlines),
  );
  return mark(
    page,
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      viewBox: `0 0 ${paper.width} ${paper.height}`,
      width: "297mm",
      height: "210mm",
      role: "img",
      "aria-label": "Section through the port and the target, to scale, with dimensions",
      "font-family": "Arial, Helvetica, sans-serif",
      "font-size": fontSize,
      fill: ink,
      class: "drawing",
    },
    mark(page, "rect", { x: 0, y: 0, width: paper.width, height: paper.height, fill: "#fff" }),
    mark(page, "rect", { ...frame, fill: "none", stroke: ink, "stroke-width": 1.6 }),
    mark(
      page,
      "svg",
      { x: pane.x, y: pane.y, width: pane.width, height: pane.height, viewBox: `${pane.x} ${pane.y} ${pane.width} ${pane.height}`, overflow: "hidden" },
      ...job.bodies.flatMap((body, k) => drawCut(sheet, cuts[k]!, k, body.zone !== undefined, isFilled(sheet, job, k, cuts[k]!, result))),
      ...drawWay(sheet, job, result),
      ...outlines.map((corners, k) =>
        mark(page, "path", { d: lineOf(sheet.toPixels(corners), true), fill: k === outlines.length - 1 ? "#ffd98a" : "#e9eef1", stroke: ink, "stroke-width": 0.9 }),
      ),
      ...posesOf(result, options.depths).map((record) => drawPose(sheet, arm, record)),
      ...marks,
    ),
    mark(page, "rect", { ...pane, fill: "none", stroke: "#bbb", "stroke-width": 0.6 }),
    ...side,
    ...labels.flatMap((label) => drawLabel(page, label)),
    ...titleBlock(sheet, job, result, last === undefined ? 0 : farthestOff(view, arm, last)),
  ); // biome-ignore format: one layer a line
}

/** Words, set to the side that the leader leaves from; a white rim keeps them apart from lines below. */
function drawLabel(page: Page, label: PlacedLabel): SVGElement[] {
  const { box, anchor, lines } = label;
  const [x, y] = leaderStart(label);
  const right = x >= box.x + box.width - 0.5;
  const at = right ? { x: fixed(box.x + box.width - 4), "text-anchor": "end" } : { x: fixed(box.x + 4) };
  return [
    mark(page, "path", { d: lineOf([[x, y], [...anchor] as Pixel], false), fill: "none", stroke: ink, "stroke-width": 0.8 }),
    arrowHead(page, [x, y], anchor),
    ...lines.map((text, k) =>
      mark(
        page,
        "text",
        {
          ...at,
          y: fixed(box.y + lineHeight * (k + 1) - 2),
          "paint-order": "stroke",
          stroke: "#fff",
          "stroke-width": 3.5,
          "stroke-linejoin": "round",
        },
        text,
      ),
    ),
  ];
}

/** Material is hatched: of drawn solids, and of a mesh whose cut closes and does not hold the way. */
function isFilled(sheet: Sheet, job: Job, k: number, cut: Cut, result: PlanResult): boolean {
  const { shape, zone } = job.bodies[k]!;
  if (zone !== undefined || cut.loops.length === 0) return false;
  if (shape.kind === "annulus") return true;
  if (isPipe(shape)) return false;
  if (shape.kind !== "mesh") return true;
  const points = result.route.curve?.point;
  if (points === undefined || cut.lines.length > 0) return false;
  let near = 0;
  for (let i = 0; i < points.length; i += 3) {
    const place = points.subarray(i, i + 3);
    if (Math.abs(beforePlane(sheet.view, place)) > 5e-3) continue;
    near++;
    if (isWithin(cut.loops, onPaper(sheet.view, place[0]!, place[1]!, place[2]!))) return false;
  }
  return near > 0;
}

function drawCut(sheet: Sheet, cut: Cut, k: number, unseen: boolean, filled: boolean): SVGElement[] {
  const { page } = sheet;
  const loops = cut.loops.map(sheet.toPixels);
  const d = [...loops.map((loop) => lineOf(loop, true)), ...cut.lines.map((line) => lineOf(sheet.toPixels(line), false))].join("");
  if (d === "") return [];
  const look = unseen ? { stroke: "#a33", "stroke-width": 1.2, "stroke-dasharray": "8 4" } : { stroke: ink, "stroke-width": 2 };
  const seen = ([a, b]: readonly (readonly [number, number])[]): boolean =>
    Math.max(a![0], b![0]) > pane.x &&
    Math.min(a![0], b![0]) < pane.x + pane.width &&
    Math.max(a![1], b![1]) > pane.y &&
    Math.min(a![1], b![1]) < pane.y + pane.height;
  const lines = filled ? hatch(loops, k % 2 === 0 ? 1 : -1, 6).filter(seen) : [];
  return [
    ...(lines.length > 0
      ? [
          mark(page, "path", {
            d: lines.map(([a, b]) => lineOf([[...a], [...b]], false)).join(""),
            fill: "none",
            stroke: "#777",
            "stroke-width": 0.7,
          }),
        ]
      : []),
    mark(page, "path", { d, fill: "none", "stroke-linejoin": "round", ...look }),
  ];
}

/** The guide, the route, and the arm's middle line at the depths between. */
function drawWay(sheet: Sheet, job: Job, result: PlanResult): SVGElement[] {
  const { page } = sheet;
  const { centre, axis, bore } = job.port;
  const tube = job.launch?.tube;
  const line = (points: ArrayLike<number>): Pixel[] =>
    Array.from({ length: points.length / 3 }, (_, k) => sheet.toPixel([points[3 * k]!, points[3 * k + 1]!, points[3 * k + 2]!]));
  const back = (far: number): number[] => [0, 1, 2].map((i) => centre[i]! - far * axis[i]!);
  const guide = tube === undefined ? [sheet.toPixel(back(0)), sheet.toPixel(back(job.guideLength))] : line(tubeLine(tube));
  const axisLine = [sheet.toPixel(back(2 * bore)), sheet.toPixel(back(-2 * bore))];
  const route = result.route.curve?.point;
  const dash = { fill: "none", stroke: "#555", "stroke-width": 0.9 };
  return [
    mark(page, "path", { d: lineOf(guide, false), fill: "none", stroke: "#777", "stroke-width": 6, "stroke-opacity": 0.35 }),
    mark(page, "path", { d: lineOf(axisLine, false), ...dash, "stroke-dasharray": "14 3 2 3" }),
    ...(route === undefined
      ? []
      : [mark(page, "path", { d: lineOf(line(route), false), ...dash, stroke: "#0072b2", "stroke-dasharray": "7 3" })]),
  ];
}

/** The arm's middle line and the outline of its tool. */
function drawPose({ page, view, toPixel, toPixels }: Sheet, arm: ArmModel, record: DepthRecord): SVGElement {
  const line: Pixel[] = [];
  for (let i = record.firstFree; i <= arm.spans; i++) line.push(toPixel(record.frames.subarray(12 * i + 9, 12 * i + 12)));
  const tool = armOutlines(view, arm, record).at(-1) ?? [];
  return mark(page, "path", {
    d: `${lineOf(line, false)}${lineOf(toPixels(tool), true)}`,
    fill: "none",
    stroke: ink,
    "stroke-width": 1.1,
    "stroke-dasharray": "5 2.5",
  });
}

/** Offsets of the target from the port, below and to the left. */
function drawSides(sheet: Sheet, job: Job): SVGElement[] {
  const { page, length } = sheet;
  const [a, b] = [sheet.toPixel(job.port.centre), sheet.toPixel(job.target.place)];
  const [from, to] = [job.port.centre, job.target.place].map((p) => onPaper(sheet.view, p[0]!, p[1]!, p[2]!)) as [[number, number], [number, number]];
  const out: SVGElement[] = [];
  if (Math.abs(b[0] - a[0]) > 2) out.push(...levelDimension(page, a, b, pane.y + pane.height + 30, short(Math.abs(to[0] - from[0]), length), pane.y + pane.height));
  if (Math.abs(b[1] - a[1]) > 2) out.push(...plumbDimension(page, a, b, pane.x - 30, short(Math.abs(to[1] - from[1]), length), pane.x));
  return out;
} // biome-ignore format: one dimension a line

/** Greatest distance of the arm's middle line from the plane, m. */
function farthestOff(view: View, arm: ArmModel, { frames, firstFree }: DepthRecord): number {
  let far = 0;
  for (let i = firstFree; i <= arm.spans; i++) far = Math.max(far, Math.abs(beforePlane(view, frames.subarray(12 * i + 9, 12 * i + 12))));
  return far;
}

function titleBlock(sheet: Sheet, job: Job, result: PlanResult, off: number): SVGElement[] {
  const { page, length, scale } = sheet;
  const top = frame.y + frame.height - 84;
  const [left, width] = [frame.x, frame.width];
  const bar = niceStep((120 * scale) / paper.mm / 1e3 / length.size);
  const barPx = (bar * length.size * 1e3 * paper.mm) / scale;
  const [x, y] = [left + width - 20 - barPx, top + 66];
  const text = (at: number, line: number, says: string, more: Record<string, string | number> = {}): SVGElement =>
    mark(page, "text", { x: at, y: top + 20 + 19 * line, ...more }, says);
  const cutShort = (says: string, room: number): string => {
    const most = Math.floor(room / textWidth("x"));
    return says.length > most ? `${says.slice(0, most - 1)}\u2026` : says;
  };
  const way = result.route.status === "found" ? "Route: blue" : "No route was found; the best attempt: blue";
  return [
    mark(page, "path", { d: `M${left},${top}h${width}M${left + 640},${top}v84`, stroke: ink, "stroke-width": 1.2, fill: "none" }),
    text(left + 12, 0, cutShort(`Section through ${job.port.name} and ${job.target.name}`, 610), { "font-weight": 700 }),
    text(left + 12, 1, cutShort(`${result.job}; arm: ${result.arm}`, 610)),
    text(left + 12, 2, "Cut surfaces thick, solids hatched, kept out of: red, broken. Arm at the target as seen square to the plane,", {
      "font-size": 12,
    }),
    text(left + 12, 2.8, `up to ${short(off, length)} off it; on its way broken. Radii are true ones, of the route. ${way}.`, {
      "font-size": 12,
    }),
    text(left + 652, 0, `Scale 1 : ${scale}, on A4`, { "font-weight": 700 }),
    text(left + 652, 1, `Dimensions in ${length.name === "in" ? "inch" : length.name}; simulated`),
    mark(page, "path", { d: `M${fixed(x)},${y - 5}v10m0,-5h${fixed(barPx)}m0,-5v10`, stroke: ink, "stroke-width": 1.4, fill: "none" }),
    mark(page, "text", { x: fixed(x - 8), y: y + 5, "text-anchor": "end" }, `${bar}\u00a0${length.name}`),
  ];
}
