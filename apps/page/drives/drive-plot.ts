/** One quantity of one drive over depth: the way in drawn through, the way out broken, limits as dashed lines. */
import uPlot from "uplot";
import type { DriveRow } from "../../../src/drive/index.ts";
import type { Inks } from "../view/theme.ts";
import type { DriveChart } from "./drive-charts.ts";

const font = "11px system-ui, sans-serif";

/** A limit farther off than this many times what it limits is said in words instead. */
const farOff = 4;

export interface DrivePlot {
  /** depth in the shown unit */
  cursor(at: number): void;
  dispose(): void;
}

/** Greatest size of what is drawn. */
export function sizeOf(chart: DriveChart, rows: readonly DriveRow[]): number {
  const values = rows.flatMap((row) => chart.lines.map((line) => Math.abs(line.of(row)))).filter((value) => Number.isFinite(value));
  return values.reduce((most, value) => Math.max(most, value), 0);
}

export function isNear(chart: DriveChart, at: number, rows: readonly DriveRow[]): boolean {
  return Math.abs(at) <= farOff * sizeOf(chart, rows);
}

export function createDrivePlot(
  host: HTMLElement,
  chart: DriveChart,
  rows: readonly DriveRow[],
  depthOf: (row: DriveRow) => number,
  inks: Inks,
  width: number,
  height: number,
): DrivePlot {
  let pointed = Number.NaN;
  const tables = (["in", "out"] as const).map((way) => {
    const own = rows.filter((row) => row.way === way).sort((a, b) => a.depth - b.depth);
    return [own.map(depthOf), ...chart.lines.map((line) => own.map((row) => finite(line.of(row))))] as uPlot.AlignedData;
  });
  const limits = chart.limits.filter(({ at }) => isNear(chart, at, rows)).map(({ at }) => at);
  const shown = [...tables.flatMap((table) => table.slice(1).flatMap((line) => [...line])), ...limits].filter(
    (value) => value !== null,
  ) as number[];
  const low = Math.min(0, ...shown);
  const high = Math.max(0, ...shown);
  const room = 0.08 * (high - low) || 1;
  const plot = new uPlot(
    {
      width,
      height,
      padding: [6, 8, 0, 0],
      legend: { show: false },
      cursor: { show: false },
      scales: { x: { time: false }, y: { range: () => [low < 0 ? low - room : 0, high + room] } },
      series: [
        {},
        ...(["in", "out"] as const).flatMap((way) =>
          chart.lines.map(
            (_, k): uPlot.Series => ({
              stroke: k === 0 ? inks.ok : inks.faint,
              width: k === 0 ? 1.5 : 1,
              ...(way === "out" ? { dash: [5, 3] } : {}),
              points: { show: false },
              spanGaps: true,
            }),
          ),
        ),
      ],
      axes: [
        { size: 24, gap: 3, font, stroke: inks.faint, grid: { show: false }, ticks: { stroke: inks.faint, width: 1, size: 3 } },
        { size: 46, gap: 3, font, stroke: inks.faint, grid: { show: false }, ticks: { stroke: inks.faint, width: 1, size: 3 }, space: 26 },
      ],
      hooks: {
        draw: [
          (chart) => {
            for (const at of [0, ...limits]) across(chart, at, at === 0 ? inks.faint : inks.over, at !== 0);
            if (!Number.isNaN(pointed)) down(chart, pointed, inks.cursor);
          },
        ],
      },
    },
    uPlot.join(tables) as uPlot.AlignedData,
    host,
  );
  return {
    cursor(at) {
      pointed = at;
      plot.redraw(false, false);
    },
    dispose: () => plot.destroy(),
  };
}

function finite(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}

function across({ ctx, bbox, valToPos }: uPlot, at: number, ink: string, dashed: boolean): void {
  const y = Math.round(valToPos(at, "y", true)) + 0.5;
  stroke(ctx, ink, dashed ? [6, 4] : [], [bbox.left, y], [bbox.left + bbox.width, y]);
}

function down({ ctx, bbox, valToPos }: uPlot, at: number, ink: string): void {
  const x = Math.round(valToPos(at, "x", true)) + 0.5;
  stroke(ctx, ink, [], [x, bbox.top], [x, bbox.top + bbox.height]);
}

function stroke(ctx: CanvasRenderingContext2D, ink: string, dash: number[], from: [number, number], to: [number, number]): void {
  ctx.save();
  ctx.strokeStyle = ink;
  ctx.lineWidth = devicePixelRatio;
  ctx.setLineDash(dash.map((value) => value * devicePixelRatio));
  ctx.beginPath();
  ctx.moveTo(...from);
  ctx.lineTo(...to);
  ctx.stroke();
  ctx.restore();
}
