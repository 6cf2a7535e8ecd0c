/** A fit as one HTML file: what was found, how sure it is, and every residual drawn. Nothing is fetched and nothing runs. */
import * as Plot from "@observablehq/plot";
import type { Fitted } from "../arm/index.ts";
import { assert, formatQuantity, type UnitSystem } from "../base/index.ts";
import { type FitModel, type FitResult, type FittedReading, outlierFrom } from "../fit/index.ts";
import { type Measure, type Measures, measuresOf, say } from "./measure.ts";
import { bullets, type Child, createPage, facts, figure, type Page, part, table, tag, writePage } from "./page.ts";
import { style } from "./style.ts";

export interface FitReportOptions {
  readonly units?: UnitSystem;
}

/** The same fit, record and options give the same text. */
export function fitHtml(model: FitModel, result: FitResult, record: Fitted, options: FitReportOptions = {}): string {
  const units = options.units ?? "metric";
  const measures = measuresOf(units);
  const page = createPage(`${model.arm.description.name}: fit`, style);
  page.document.body.append(
    tag(
      page,
      "main",
      {},
      tag(page, "h1", {}, model.arm.description.name),
      tag(page, "p", { class: "soft" }, `Fitted to measurements, ${record.date}`),
      part(page, "What was found", parameterTable(page, result, units), notesOf(page, record)),
      part(
        page,
        "Residuals",
        tag(page, "p", { class: "soft" }, legend),
        tag(page, "div", { class: "pair" }, ...result.groups.map((_, g) => draw(page, model, result, g, measures))),
      ),
      part(page, "Readings", ...model.tables.map((_, t) => readingTable(page, model, result, t, measures))),
      part(page, "What this rests on", basis(page, model, record)),
    ),
  );
  return writePage(page);
}

const legend = `Model minus reading, row by row. Crosses: the arm as described; dots: as fitted; the band is one spread either way. Ringed: more than ${outlierFrom} spreads off; where it lies beyond the picture, its number stands beside it.`;

function parameterTable(page: Page, result: FitResult, units: UnitSystem): HTMLElement {
  const rows = result.parameters.map(({ title, shown, state, untold }): Child[] => {
    const value = (x: number): string => (Number.isNaN(x) ? "not known" : formatQuantity(x, shown.quantity, units, 4));
    const says =
      state === "fitted"
        ? "fitted"
        : state === "bound"
          ? "at the end of what is possible"
          : untold?.why === "mixed"
            ? "kept: cannot be told apart"
            : "kept: not told";
    return [title, value(shown.before), value(shown.after), value(shown.spread), says];
  });
  return table(
    page,
    "Parameters, of the first section where they are lengths and moduli",
    ["Parameter", "As described", "Fitted", "Spread (one standard deviation)", "State"],
    rows,
    [1, 2, 3],
  );
}

function notesOf(page: Page, { notes, correlations }: Fitted): HTMLElement {
  const pairs = correlations.map(({ between, is }) => `Correlation of ${between[0]} and ${between[1]}: ${is}.`);
  return bullets(page, [...notes, ...pairs]);
}

function measureOfReading(name: string, measures: Measures): Measure {
  return name === "twist" ? measures.angle : name === "tension" ? measures.force : measures.length;
}

/** A first look that is far off would flatten what was found: beyond this many times the greatest residual it is left out, and said. */
const farOff = 12;

function draw(page: Page, model: FitModel, result: FitResult, g: number, measures: Measures): HTMLElement {
  const group = result.groups[g];
  assert(group !== undefined, "a group of readings");
  const measure = measureOfReading(group.name, measures);
  const own = result.readings.filter((r) => r.table === group.table && r.name === group.name);
  const point = (value: (r: FittedReading) => number) => (r: FittedReading) => ({ x: r.row, y: (value(r) - r.measured) / measure.size });
  const after = own.map(point((r) => r.after)).filter((p) => Number.isFinite(p.y));
  const before = own.map(point((r) => r.before)).filter((p) => Number.isFinite(p.y));
  const outliers = own.filter((r) => r.outlier).map(point((r) => r.after));
  const most = (points: readonly { y: number }[]): number => points.reduce((size, p) => Math.max(size, Math.abs(p.y)), 0);
  const band = own.map((r) => ({ x: r.row, low: -r.spread / measure.size, high: r.spread / measure.size }));
  const within = after.filter((p) => !outliers.some((o) => o.x === p.x && o.y === p.y));
  const reach = Math.max(most(within), ...band.map((b) => b.high));
  const fair = before.filter((p) => !outliers.some((o) => o.x === p.x));
  const far = most(fair) > farOff * reach;
  const edge = 1.25 * (far ? reach : Math.max(reach, most(fair)));
  // outliers stand at the edge, with where they really are
  const rings = outliers.map((o) => ({ x: o.x, y: Math.max(-edge, Math.min(edge, o.y)), is: sayTick(o.y) }));
  const drawing = Plot.plot({
    document: page.document,
    width: 334, height: 215, marginLeft: 50, marginRight: 12, marginTop: 12, marginBottom: 40,
    style: { fontSize: "11px", fontFamily: "inherit" },
    x: { label: "row", labelAnchor: "center", labelArrow: "none", ticks: 6, tickFormat: sayTick },
    y: { label: `model minus reading, ${measure.name}`, labelAnchor: "center", labelArrow: "none", domain: [-1.1 * edge, 1.1 * edge], grid: true, ticks: 5, tickFormat: sayTick },
    marks: [
      Plot.areaY(band, { x: "x", y1: "low", y2: "high", fill: "#56b4e9", fillOpacity: 0.25 }),
      Plot.ruleY([0], { stroke: "#333", strokeWidth: 0.8 }),
      ...(far ? [] : [Plot.dot(fair, { x: "x", y: "y", symbol: "times", stroke: "#6b2f00", r: 3 })]),
      Plot.dot(within, { x: "x", y: "y", fill: "#16202a", r: 2.6 }),
      Plot.dot(rings, { x: "x", y: "y", fill: "#16202a", r: 2.6 }),
      Plot.dot(rings, { x: "x", y: "y", stroke: "#16202a", strokeWidth: 1.4, r: 7 }),
      Plot.text(rings, { x: "x", y: "y", text: "is", dx: 12, textAnchor: "start", fill: "#16202a" }),
    ],
  }) as unknown as SVGElement; // biome-ignore format: one setting a row
  drawing.setAttribute("role", "img");
  drawing.setAttribute("aria-label", `Residuals of ${group.name} by row, in ${measure.name}`);
  const file = model.tables[group.table]?.file ?? "";
  const caption = ` of ${file}: rms ${say(group.rmsBefore, measure)} as described, ${say(group.rmsAfter, measure)} as fitted${outliers.length > 0 ? ", without what is ringed" : ""}.${far ? " As described it lies far off and is not drawn." : ""}`;
  return figure(page, drawing, [tag(page, "b", {}, group.name), caption]);
}

function sayTick(value: number): string {
  return String(Number(value.toPrecision(6))).replace("-", "−");
}

function readingTable(page: Page, model: FitModel, result: FitResult, t: number, measures: Measures): HTMLElement {
  const rows = result.readings
    .filter((r) => r.table === t)
    .map((r): Child[] => {
      const measure = measureOfReading(r.name, measures);
      const off = (r.after - r.measured) / r.spread;
      return [
        String(r.row),
        r.heading,
        say(r.measured, measure),
        say(r.before, measure),
        say(r.after, measure),
        Number.isNaN(off) ? "no balance found" : `${off.toFixed(1).replace("-", "−")}`,
        Number.isNaN(r.weight) ? "left out" : `${Math.round(100 * r.weight)} %${r.outlier ? ", outlier" : ""}`,
      ];
    });
  const heads = ["Row", "Reading", "Read", "As described", "As fitted", "Off, in spreads", "Counts"];
  return table(page, model.tables[t]?.file ?? "", heads, rows, [2, 3, 4, 5, 6], "grid depths");
}

function basis(page: Page, model: FitModel, record: Fitted): HTMLElement {
  return facts(page, "Tables", [
    ...record.tables.map(({ file, hash }, t) => [file, `${model.tables[t]?.rows.length ?? 0} rows, content hash ${hash}`] as const),
    ["Model", "the same that plans: every row is a loaded shape of the whole arm"],
    ["Weights", "least squares, Huber's loss (1.345 spreads); spreads as stated in the table, else found with the fit"],
  ]);
}
