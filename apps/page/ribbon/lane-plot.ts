/** One lane as a chart: the way in above the middle line, the way out mirrored below it, over the same depths. */
import uPlot from "uplot";
import type { DepthRecord } from "../../../src/insertion/index.ts";
import type { Inks } from "../view/theme.ts";
import type { Lane } from "./lanes.ts";

export interface LanePlot {
  /** pixels from the chart's left edge to the plotted area, and its width */
  area(): { readonly left: number; readonly width: number };
  resize(width: number, height: number): void;
  dispose(): void;
}

export interface LaneData {
  readonly wayIn: readonly DepthRecord[];
  readonly wayOut: readonly DepthRecord[];
  /** [2] least and greatest depth, in the shown unit */
  readonly span: readonly [number, number];
  /** depth in the shown unit */
  readonly depthOf: (record: DepthRecord) => number;
}

export const axisWidth = 44;

export function createLanePlot(host: HTMLElement, lane: Lane, data: LaneData, inks: Inks, width: number, height: number): LanePlot {
  const table = uPlot.join([tableOf(lane, data.wayIn, data.depthOf, 1), tableOf(lane, data.wayOut, data.depthOf, -1)]) as uPlot.AlignedData;
  const top = topOf(lane, data);
  const limit = lane.limit !== undefined && lane.limit.at <= top ? lane.limit.at : undefined;
  const bad = lane.limit?.shaded === true ? lane.limit.side : undefined;
  const series: uPlot.Series[] = [{}];
  for (let way = 0; way < 2; way++) {
    lane.lines.forEach((_, k) => {
      series.push({
        stroke: k === 0 ? inks.ok : inks.faint,
        width: k === 0 ? 1.5 : 1,
        ...(k === 0 ? { fill: inks.okFill } : { dash: [4, 2] }),
        points: { show: false },
        spanGaps: true,
      });
    });
  }
  const plot = new uPlot(
    {
      width,
      height,
      padding: [3, 8, 3, 0],
      legend: { show: false },
      cursor: { show: false },
      scales: { x: { time: false, range: () => [...data.span] }, y: { range: () => [-top, top] } },
      series,
      axes: [
        { show: false },
        {
          size: axisWidth,
          gap: 4,
          font: "11px system-ui, sans-serif",
          stroke: inks.faint,
          grid: { show: false },
          ticks: { stroke: inks.faint, width: 1, size: 4 },
          splits: () => [-top * 0.85, ...(height >= 54 ? [0] : []), top * 0.85].map((value) => roundTick(value)),
          values: (_, splits) => splits.map((value) => (value === 0 ? "0" : shortNumber(Math.abs(value)))),
        },
      ],
      hooks: { drawClear: [(chart) => drawLimits(chart, limit, bad, top, inks)], draw: [(chart) => drawMiddle(chart, limit, inks)] },
    },
    table,
    host,
  );
  return {
    area: () => ({ left: plot.bbox.left / devicePixelRatio, width: plot.bbox.width / devicePixelRatio }),
    resize: (w, h) => plot.setSize({ width: w, height: h }),
    dispose: () => plot.destroy(),
  };
}

function tableOf(lane: Lane, records: readonly DepthRecord[], depthOf: (record: DepthRecord) => number, sign: 1 | -1): uPlot.AlignedData {
  return [
    records.map(depthOf),
    ...lane.lines.map((line) =>
      records.map((record) => {
        const value = line.of(record);
        // below nothing is the other way's half
        return Number.isFinite(value) ? sign * Math.max(0, value) : null;
      }),
    ),
  ] as uPlot.AlignedData;
}

/** A little above everything shown; the limit too, unless it would press the lines flat. */
function topOf(lane: Lane, data: LaneData): number {
  const values = [...data.wayIn, ...data.wayOut].flatMap((record) =>
    lane.lines.map((line) => line.of(record)).filter((value) => Number.isFinite(value)),
  );
  let most = values.reduce((top, value) => Math.max(top, value), 0);
  if (lane.upTo !== undefined && values.length > 0) most = Math.min(most, lane.upTo(firstLine(lane, data)));
  if (lane.limit !== undefined && (most === 0 || lane.limit.at < 4 * most)) most = Math.max(most, lane.limit.at);
  return most > 0 ? 1.12 * most : 1;
}

function firstLine(lane: Lane, { wayIn, wayOut }: LaneData): number[] {
  const values = [...wayIn, ...wayOut].map((record) => lane.lines[0]?.of(record) ?? Number.NaN);
  return values.filter((value) => Number.isFinite(value));
}

/** The side of the limit where no line should be, shaded on both halves. */
function drawLimits(chart: uPlot, limit: number | undefined, bad: "least" | "most" | undefined, top: number, inks: Inks): void {
  if (limit === undefined || bad === undefined) return;
  const { ctx, bbox } = chart;
  ctx.save();
  ctx.fillStyle = inks.over;
  ctx.globalAlpha = 0.1;
  for (const sign of [1, -1]) {
    const from = chart.valToPos(bad === "least" ? 0 : sign * top, "y", true);
    const to = chart.valToPos(sign * limit, "y", true);
    ctx.fillRect(bbox.left, Math.min(from, to), bbox.width, Math.abs(to - from));
  }
  ctx.restore();
}

function drawMiddle(chart: uPlot, limit: number | undefined, inks: Inks): void {
  const { ctx, bbox } = chart;
  const across = (value: number) => {
    const y = Math.round(chart.valToPos(value, "y", true)) + 0.5;
    ctx.beginPath();
    ctx.moveTo(bbox.left, y);
    ctx.lineTo(bbox.left + bbox.width, y);
    ctx.stroke();
  };
  ctx.save();
  ctx.lineWidth = devicePixelRatio;
  ctx.strokeStyle = inks.text;
  across(0);
  if (limit !== undefined) {
    ctx.strokeStyle = inks.over;
    ctx.setLineDash([6 * devicePixelRatio, 4 * devicePixelRatio]);
    across(limit);
    across(-limit);
  }
  ctx.restore();
}

function roundTick(value: number): number {
  if (value === 0) return 0;
  const size = 10 ** Math.floor(Math.log10(Math.abs(value)));
  const lead = Math.abs(value) / size;
  return Math.sign(value) * size * (lead >= 5 ? 5 : lead >= 2 ? 2 : 1);
}

function shortNumber(value: number): string {
  return String(Number(value.toPrecision(2)));
}
