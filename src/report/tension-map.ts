/** Every cable's tension at every depth as shades, light to dark: it reads in grey. */
import * as Plot from "@observablehq/plot";
import type { ArmModel } from "../arm/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import { type Measures, niceStep } from "./measure.ts";
import { figure, mark, type Page, picture, tag } from "./page.ts";

export function tensionMap(page: Page, arm: ArmModel, records: readonly DepthRecord[], measures: Measures): HTMLElement {
  const { length, force } = measures;
  const cells = records.flatMap((record, k) => {
    const x1 = (records[k - 1] === undefined ? 0 : (records[k - 1]!.depth + record.depth) / 2) / length.size;
    const x2 = (records[k + 1] === undefined ? record.depth : (records[k + 1]!.depth + record.depth) / 2) / length.size;
    return Array.from(record.tension, (tension, c) => ({ x1, x2, y1: c + 0.5, y2: c + 1.5, tension: tension / force.size }));
  });
  const most = cells.reduce((high, cell) => Math.max(high, cell.tension), 0) || 1;
  const every = Math.ceil(arm.cables / 24);
  const numbers = Array.from({ length: arm.cables }, (_, c) => c + 1).filter((c) => (c - 1) % every === 0);
  const edges = Array.from(arm.firstCable.subarray(1, arm.sections), (c) => c + 0.5);
  const drawing = Plot.plot({
    document: page.document,
    width: 680, height: Math.min(420, 80 + 13 * arm.cables), marginLeft: 50, marginRight: 12, marginTop: 12, marginBottom: 40,
    style: { fontSize: "11px", fontFamily: "inherit" },
    x: { label: `depth of feed, ${length.name}`, labelAnchor: "center", labelArrow: "none", ticks: 10 },
    y: { label: "cable, number", labelAnchor: "center", labelArrow: "none", ticks: numbers, tickFormat: (value: number) => String(value), reverse: true, tickSize: 0 },
    color: { type: "linear", scheme: "ylgnbu", domain: [0, most] },
    marks: [
      Plot.rect(cells, { x1: "x1", x2: "x2", y1: "y1", y2: "y2", fill: "tension", inset: 0, shapeRendering: "crispEdges" }),
      Plot.ruleY(edges, { stroke: "#fff", strokeWidth: 1.5 }),
    ],
  }); // biome-ignore format: one setting a row
  const shade = drawing.scale("color")!.apply!;
  const svg = drawing as unknown as SVGElement;
  svg.setAttribute("role", "img");
  svg.setAttribute("aria-label", `Tension of every cable by depth of feed, in ${force.name}`);
  const element = figure(
    page,
    svg,
    [
      tag(page, "b", {}, "Tension of every cable by depth"),
      " on the way in (simulated, without friction). White lines part the sections, the first one on top.",
    ],
    shadeKey(page, most, force.name, shade),
  );
  element.setAttribute("class", "wide");
  return element;
}

/** The library's own continuous key needs a canvas. */
function shadeKey(page: Page, most: number, unit: string, shade: (value: number) => string): SVGElement {
  const [left, width, steps] = [50, 260, 52];
  const boxes = Array.from({ length: steps }, (_, k) =>
    mark(page, "rect", {
      x: left + (k * width) / steps,
      y: 4,
      width: width / steps + 0.3,
      height: 12,
      fill: shade((most * (k + 0.5)) / steps),
    }),
  );
  const step = niceStep(most / 5);
  const ticks = Array.from({ length: Math.floor(most / step) + 1 }, (_, k) =>
    mark(page, "text", { x: left + (k * step * width) / most, y: 29, "text-anchor": "middle" }, String(Number((k * step).toPrecision(6)))),
  );
  return picture(
    page,
    420,
    34,
    `Shades from 0 to the highest tension, in ${unit}`,
    ...boxes,
    ...ticks,
    mark(page, "text", { x: left + width + 28, y: 14 }, `tension, ${unit}`),
  );
}
