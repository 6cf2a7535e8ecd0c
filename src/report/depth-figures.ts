/** Charts over depth of feed, way in and way out, each with its limit. They read in grey: lines differ by their dashes too. */
import * as Plot from "@observablehq/plot";
import type { ArmModel } from "../arm/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { Job } from "../job/index.ts";
import type { PlanResult } from "../plan/index.ts";
import { slackest, strongest, sureSpare, tipTwist, worstJoint, worstStrain } from "./depth-series.ts";
import { type Measure, type Measures, say } from "./measure.ts";
import { figure, mark, type Page, tag } from "./page.ts";

/** How a line looks; most colours are of Okabe and Ito (docs/sources.md#colours). */
interface Look {
  readonly stroke: string;
  readonly strokeWidth: number;
  readonly strokeDasharray?: string;
}

// a dark thin broken line over a light broad one: where both ways agree, both are seen, in grey too
const looks = {
  in: { stroke: "#56b4e9", strokeWidth: 3.6 },
  out: { stroke: "#6b2f00", strokeWidth: 1.4, strokeDasharray: "6 4" },
  inSecond: { stroke: "#009e73", strokeWidth: 2.2 },
  outSecond: { stroke: "#333333", strokeWidth: 1.1, strokeDasharray: "2 3" },
  limit: { stroke: "#000000", strokeWidth: 1.4, strokeDasharray: "10 3 2 3" },
} as const satisfies Record<string, Look>;

interface Line {
  readonly name: string;
  readonly look: Look;
  /** x is a depth; both SI */
  readonly points: readonly { readonly x: number; readonly y: number }[];
}

interface Chart {
  readonly title: string;
  /** the axis, without its unit */
  readonly axis: string;
  readonly measure: Measure;
  readonly lines: readonly Line[];
  readonly note?: string;
  readonly wide?: boolean;
}

export function depthFigures(page: Page, job: Job, arm: ArmModel, result: PlanResult, measures: Measures): HTMLElement[] {
  const { wayIn, wayOut } = result;
  if (wayIn.length === 0) return [];
  const along = (records: readonly DepthRecord[], read: (record: DepthRecord) => number): Line["points"] =>
    records.map((record) => ({ x: record.depth, y: read(record) }));
  const both = (read: (record: DepthRecord) => number): Line[] => [
    { name: "way in", look: looks.in, points: along(wayIn, read) },
    ...(wayOut.length > 0 ? [{ name: "way out", look: looks.out, points: along(wayOut, read) }] : []),
  ];
  const limit = (name: string, read: (record: DepthRecord) => number): Line => ({ name, look: looks.limit, points: along(wayIn, read) });
  const least = Math.min(...arm.workingLoad);
  // elsewhere nothing is asked for beyond not touching, which the chart of what is to spare shows
  const asks = job.limits.clearance > 0 && job.bodies.some((body) => body.touch.kind === "never");
  const clearanceChart: Chart = {
    title: "Clearance",
    axis: "least clearance",
    measure: measures.length,
    wide: true,
    lines: [...both((r) => (r.askedBody < 0 ? Number.NaN : r.asked)), limit("asked for", () => job.limits.clearance)],
    note: "Guaranteed, to the surfaces that must not be touched, at each depth and on the way to it; each body's stand-off is taken off. A gap: none is near.",
  };
  const charts: Chart[] = [
    ...(asks ? [clearanceChart] : []),
    {
      title: "Cable tension", axis: "tension", measure: measures.force, wide: true,
      lines: [
        ...both((r) => strongest(r).value).map((line) => ({ ...line, name: `strongest, ${line.name}` })),
        { name: "slackest, way in", look: looks.inSecond, points: along(wayIn, (r) => slackest(r).value) },
        ...(wayOut.length > 0 ? [{ name: "slackest, way out", look: looks.outSecond, points: along(wayOut, (r) => slackest(r).value) }] : []),
        limit("working load", () => least),
      ],
      note: "Without friction.",
    },
    { title: "Joint angle", axis: "greatest joint angle", measure: measures.angle, lines: [...both((r) => worstJoint(arm, r).value), limit("limit", (r) => worstJoint(arm, r).limit)] },
    {
      title: "Rod strain", axis: "greatest strain", measure: measures.strain,
      lines: [
        ...both((r) => worstStrain(arm, r).value),
        { name: "for many cycles", look: looks.outSecond, points: along(wayIn, (r) => worstStrain(arm, r).repeated) },
        limit("allowed once", (r) => worstStrain(arm, r).limit),
      ],
    },
    { title: "Sag", axis: "sag of the tip", measure: measures.length, lines: [...both((r) => r.sag), limit("limit", () => job.limits.sag)], note: "Gravity and tool on and off, drives locked." },
    { title: "Twist", axis: "twist of the tip", measure: measures.angle, lines: [...both((r) => Math.abs(tipTwist(r))), limit("limit", () => job.limits.twist)], note: "About the arm's own axis, either way." },
    {
      title: "Deviation from the route", axis: "distance from the route", measure: measures.length,
      lines: [...both((r) => r.deviation[1]).map((line) => ({ ...line, name: `greatest, ${line.name}` })), { name: "rms, way in", look: looks.inSecond, points: along(wayIn, (r) => r.deviation[0]) }, limit("sections bend evenly", (r) => r.inherent[1])],
      note: "It already counts in the clearance. Dotted: the greatest that is left however the arm is driven, since a section can only bend evenly.",
    },
    {
      title: "Clearance to spare",
      axis: "clearance to spare",
      measure: measures.length,
      lines: [
        ...both((r) => r.spare),
        { name: "on the way there", look: looks.inSecond, points: along(wayIn, sureSpare) },
        limit("all that is asked for", () => 0),
      ],
      note: "To all surfaces, less each body's stand-off and what the job asks for there.",
    },
    { title: "Base roll", axis: "roll", measure: measures.angle, lines: both((r) => r.roll) },
  ]; // biome-ignore format: one chart a row
  return charts.map((chart) => drawChart(page, chart, measures.length));
}

/** A limit farther off than this many times what it limits would flatten the lines: it is said in words. */
const farOff = 6;

function drawChart(page: Page, chart: Chart, depth: Measure): HTMLElement {
  const curves = chart.lines.filter((line) => line.look !== looks.limit);
  const size = greatest(curves);
  const far = chart.lines.filter((line) => line.look === looks.limit && least(line) > farOff * size && size > 0);
  const lines = chart.lines.filter((line) => !far.includes(line) && line.points.some((point) => Number.isFinite(point.y)));
  const [width, height] = chart.wide ? [680, 230] : [334, 215];
  const drawing = Plot.plot({
    document: page.document,
    width, height, marginLeft: 50, marginRight: 12, marginTop: 12, marginBottom: 40,
    style: { fontSize: "11px", fontFamily: "inherit" },
    x: { label: `depth of feed, ${depth.name}`, labelAnchor: "center", labelArrow: "none", domain: [0, greatestDepth(chart.lines) / depth.size], ticks: chart.wide ? 10 : 5, tickFormat: sayTick },
    y: { label: `${chart.axis}, ${chart.measure.name}`, labelAnchor: "center", labelArrow: "none", domain: domainOf(lines, chart.measure), grid: true, ticks: 5, tickFormat: sayTick },
    marks: [
      Plot.ruleY([0], { stroke: "#999", strokeWidth: 0.8 }),
      ...lines.map((line) => Plot.line(line.points.map((point) => ({ x: point.x / depth.size, y: point.y / chart.measure.size })).map(finite), { x: "x", y: "y", ...line.look })),
    ],
  }) as unknown as SVGElement; // biome-ignore format: one setting a row
  drawing.setAttribute("role", "img");
  drawing.setAttribute("aria-label", `${chart.title} by depth of feed, in ${chart.measure.name}`);
  const beyond = far.map((line) => ` The ${line.name} (${say(least(line), chart.measure)}) lies far above what is drawn.`).join("");
  const element = figure(
    page,
    drawing,
    [tag(page, "b", {}, `${chart.title} by depth`), ` (simulated). ${chart.note ?? ""}${beyond}`],
    tag(page, "div", { class: "lines" }, ...lines.map((line) => sample(page, line))),
  );
  if (chart.wide) element.setAttribute("class", "wide");
  return element;
}

/** No limit and what is not known leave a gap in the line. */
function finite(point: { x: number; y: number }): { x: number; y: number } {
  return { x: point.x, y: Number.isFinite(point.y) ? point.y : Number.NaN };
}

function sayTick(value: number): string {
  return String(Number(value.toPrecision(6))).replace("-", "\u2212");
}

function finiteOf(line: Line): number[] {
  return line.points.map((point) => point.y).filter((value) => Number.isFinite(value));
}

function greatest(lines: readonly Line[]): number {
  return lines.flatMap(finiteOf).reduce((most, value) => Math.max(most, Math.abs(value)), 0);
}

function least(line: Line): number {
  return finiteOf(line).reduce((low, value) => Math.min(low, value), Number.POSITIVE_INFINITY);
}

function greatestDepth(lines: readonly Line[]): number {
  return lines.flatMap((line) => line.points).reduce((most, point) => Math.max(most, point.x), 1e-6);
}

/** From 0 or below, with room above the highest line. */
function domainOf(lines: readonly Line[], measure: Measure): [number, number] {
  const values = lines.flatMap(finiteOf).map((value) => value / measure.size);
  const low = values.reduce((a, b) => Math.min(a, b), 0);
  const high = values.reduce((a, b) => Math.max(a, b), 0);
  const room = 0.06 * (high - low) || 1;
  return [low < 0 ? low - room : 0, high + room];
}

function sample(page: Page, line: Line): HTMLElement {
  const { stroke, strokeWidth } = line.look;
  const dash = line.look.strokeDasharray;
  const stretch = mark(page, "path", {
    d: "M0,5h30",
    stroke,
    "stroke-width": strokeWidth,
    fill: "none",
    ...(dash === undefined ? {} : { "stroke-dasharray": dash }),
  });
  return tag(
    page,
    "span",
    {},
    mark(page, "svg", { viewBox: "0 0 30 10", width: 30, height: 10, "aria-hidden": "true" }, stretch),
    ` ${line.name}`,
  );
}
