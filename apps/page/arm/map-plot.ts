/** A map as a chart: a line through its points, the line of the question before, and a mark at each point for the limit that is met. */
import uPlot from "uplot";
import type { PayloadEnd } from "../../../src/capacity/index.ts";
import type { Inks } from "../view/theme.ts";
import { drawMark } from "./limit-marks.tsx";

export interface ChartLine {
  /** null: not known, a gap; undefined: no point of this line */
  readonly values: readonly (number | null | undefined)[];
  /** `main` is filled to the axis, the next are told apart by their dashes, `before` is pale */
  readonly look: "main" | "second" | "third" | "fourth" | "before";
  /** bars instead of a line */
  readonly bars?: true;
}

export interface ChartData {
  /** in the shown unit, growing */
  readonly at: readonly number[];
  readonly lines: readonly ChartLine[];
  /** one a place of `at`, for those places where the first line has one */
  readonly ends?: readonly (PayloadEnd | undefined)[];
  /** a place that is told apart: the arm's own pretension */
  readonly own?: number;
  readonly from?: number;
  readonly to?: number;
  /** text at the places of a chart that goes through cases */
  readonly names?: readonly string[];
}

export interface MapPlot {
  /** index into `at`; undefined for none */
  point(index: number | undefined): void;
  dispose(): void;
}

const font = "11px system-ui, sans-serif";

/** @param pointed called with the place under the pointer */
export function createMapPlot(
  host: HTMLElement,
  data: ChartData,
  inks: Inks,
  width: number,
  height: number,
  pointed: (index: number) => void,
): MapPlot {
  const values = data.lines.flatMap((line) => line.values.filter((value): value is number => typeof value === "number"));
  const top = 1.1 * values.reduce((most, value) => Math.max(most, value), 0) || 1;
  const ends = [...data.at];
  const margin = data.names === undefined ? 0 : 0.6;
  const least = data.from ?? (ends[0] ?? 0) - margin;
  const most = data.to ?? (ends.at(-1) ?? 1) + margin;
  let at: number | undefined;
  const plot = new uPlot(
    {
      width,
      height,
      padding: [8, 12, 0, 0],
      legend: { show: false },
      cursor: { show: true, x: false, y: false, points: { show: false }, drag: { x: false, y: false } },
      scales: { x: { time: false, range: () => [least, most > least ? most : least + 1] }, y: { range: () => [0, top] } },
      series: [{}, ...data.lines.map((line) => seriesOf(line, inks))],
      axes: [axisOf(inks, 22, data.names), { ...axisOf(inks, 44), side: 3 }],
      hooks: {
        draw: [(chart) => drawMarks(chart, data, inks, at)],
        setCursor: [
          (chart) => {
            const over = chart.cursor.idx;
            if (over !== null && over !== undefined && chart.cursor.left !== undefined && chart.cursor.left >= 0) pointed(over);
          },
        ],
      },
    },
    [[...data.at], ...data.lines.map((line) => [...line.values])] as uPlot.AlignedData,
    host,
  );
  return {
    point(index) {
      if (at === index) return;
      at = index;
      plot.redraw(false);
    },
    dispose: () => plot.destroy(),
  };
}

const dashes = { second: [6, 3], third: [2, 2], fourth: [9, 3, 2, 3] } as const;

function seriesOf(line: ChartLine, inks: Inks): uPlot.Series {
  const paths = line.bars === true ? uPlot.paths.bars?.({ size: [0.62, 26] }) : undefined;
  const common = { points: { show: false }, spanGaps: false, ...(paths === undefined ? {} : { paths }) };
  if (line.look === "main") return { ...common, stroke: inks.ok, width: 1.75, fill: inks.okFill };
  if (line.look !== "before") return { ...common, stroke: inks.text, width: 1.25, dash: [...dashes[line.look]] };
  return { ...common, stroke: inks.faint, width: 1, dash: [1.5, 3] };
}

function axisOf(inks: Inks, size: number, names?: readonly string[]): uPlot.Axis {
  const common = {
    size,
    gap: 3,
    font,
    stroke: inks.faint,
    grid: { stroke: inks.line, width: 0.25 },
    ticks: { stroke: inks.faint, width: 1, size: 4 },
  };
  if (names === undefined) return { ...common, values: (_, splits) => splits.map((value) => shortNumber(value)) };
  return {
    ...common,
    grid: { show: false },
    splits: () => names.map((_, k) => k),
    values: (chart, splits) => {
      const room = chart.bbox.width / devicePixelRatio / Math.max(1, names.length);
      const every = Math.max(1, Math.ceil(26 / room));
      return splits.map((k) => (k % every === 0 ? (names[k] ?? "") : ""));
    },
  };
}

function drawMarks(chart: uPlot, data: ChartData, inks: Inks, pointed: number | undefined): void {
  const { ctx, bbox } = chart;
  const main = data.lines.find((line) => line.look === "main");
  ctx.save();
  const upright = (value: number, ink: string, dash: readonly number[]): void => {
    const x = Math.round(chart.valToPos(value, "x", true)) + 0.5;
    ctx.beginPath();
    ctx.strokeStyle = ink;
    ctx.lineWidth = devicePixelRatio;
    ctx.setLineDash(dash.map((one) => one * devicePixelRatio));
    ctx.moveTo(x, bbox.top);
    ctx.lineTo(x, bbox.top + bbox.height);
    ctx.stroke();
    ctx.setLineDash([]);
  };
  if (data.own !== undefined) upright(data.own, inks.text, [2, 3]);
  if (pointed !== undefined && data.at[pointed] !== undefined) upright(data.at[pointed] as number, inks.cursor, []);
  data.at.forEach((at, k) => {
    const value = main?.values[k];
    if (value === null || value === undefined) return;
    const end = data.ends?.[k];
    ctx.fillStyle = k === pointed ? inks.cursor : inks.ok;
    ctx.strokeStyle = k === pointed ? inks.cursor : inks.ok;
    ctx.lineWidth = 1.5 * devicePixelRatio;
    if (end !== undefined) drawMark(ctx, end, chart.valToPos(at, "x", true), chart.valToPos(value, "y", true), 4.5 * devicePixelRatio);
    else if (main?.bars !== true) {
      ctx.beginPath();
      ctx.arc(chart.valToPos(at, "x", true), chart.valToPos(value, "y", true), 2.2 * devicePixelRatio, 0, 2 * Math.PI);
      ctx.fill();
    }
  });
  ctx.restore();
}

function shortNumber(value: number): string {
  return String(Number(value.toPrecision(4)));
}
