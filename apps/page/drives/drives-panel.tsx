/** The drives of the plan: one drive at a time, by depth, under the page's one cursor. Draws the plan's own table. */
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { DriveRow, DriveTable } from "../../../src/drive/index.ts";
import { lengthIn, sayDepth } from "../say.ts";
import { saveRunSheet } from "../state/actions.ts";
import { depth, isStale, lengthUnit, picture, plan, record, theme, way } from "../state/store.ts";
import { readInks } from "../view/theme.ts";
import { type DriveChart, listDriveCharts } from "./drive-charts.ts";
import { createDrivePlot, type DrivePlot, isNear } from "./drive-plot.ts";

export function DrivesPanel() {
  const job = picture.value;
  const result = plan.value;
  const [cable, setCable] = useState(0);
  if (job === undefined || result === undefined)
    return <p class="quiet panel-empty">No plan yet. What the drives do stands here when it is made.</p>;
  const table = result.drives;
  const sheet = result.verdict.answer === "go" || result.verdict.answer === "go with conditions";
  const chosen = Math.min(cable, job.arm.cables.length - 1);
  const row = table?.rows.find((one) => one.way === way.value && one.depth === record.value?.depth);
  return (
    <div class="drives">
      {sheet ? (
        <p>
          <button type="button" disabled={isStale.value} onClick={() => void saveRunSheet()} data-test="run-sheet">
            Save the run sheet
          </button>{" "}
          <span class="quiet">for the operator, to be printed</span>
        </p>
      ) : null}
      {table === undefined ? (
        <p class="quiet">
          The arm file says nothing of its drives, nor the job of a feed rate. Give the arm <code>drives</code> or the job{" "}
          <code>feed-rate</code>.
        </p>
      ) : (
        <>
          <label class="drive-choice">
            Drive of{" "}
            <select value={chosen} onChange={(event) => setCable(Number(event.currentTarget.value))} data-test="drive">
              {job.arm.cables.map((one, c) => (
                <option key={c} value={c}>{`cable ${c + 1} (section ${one.section + 1})`}</option>
              ))}
            </select>
          </label>
          {listDriveCharts(job.arm.description, chosen).map((chart) => (
            <OneChart key={`${chart.id} ${chosen}`} chart={chart} rows={table.rows} row={row} />
          ))}
          <WayTimes table={table} />
        </>
      )}
    </div>
  );
}

function OneChart({ chart, rows, row }: { chart: DriveChart; rows: readonly DriveRow[]; row: DriveRow | undefined }) {
  const host = useRef<HTMLDivElement>(null);
  const plot = useRef<DrivePlot | undefined>(undefined);
  const [width, setWidth] = useState(0);
  const unit = lengthUnit.value;
  const shade = theme.value;
  useLayoutEffect(() => {
    const element = host.current;
    if (element === null) return;
    const observer = new ResizeObserver(() => setWidth(element.clientWidth));
    observer.observe(element);
    setWidth(element.clientWidth);
    return () => observer.disconnect();
  }, []);
  useEffect(() => {
    const element = host.current;
    if (element === null || width === 0 || shade === undefined) return;
    const made = createDrivePlot(element, chart, rows, (one) => lengthIn(one.depth, unit), readInks(), width, 96);
    made.cursor(lengthIn(depth.peek(), unit));
    plot.current = made;
    return () => made.dispose();
    // a chart of another drive is another component
  }, [rows, width, unit, shade]);
  useEffect(() => plot.current?.cursor(lengthIn(depth.value, unit)), [depth.value, unit]);
  const far = chart.limits.filter(({ at }) => !isNear(chart, at, rows));
  return (
    <section class="drive-chart" aria-label={`${chart.title} by depth of feed`}>
      <header>
        <h3>
          {chart.title} <span class="quiet">{chart.unit}</span>
        </h3>
        <output data-test={`drive-${chart.id}`}>
          {row === undefined ? "" : chart.lines.map((line) => `${sayNumber(line.of(row), chart)} ${line.says}`).join("; ")}
        </output>
      </header>
      <div ref={host} class="drive-plot" />
      <p class="quiet">
        {chart.limits.length === 0 ? "" : chart.limits.map(({ says, at }) => `${says} ${sayLimit(at, chart)}`).join("; ")}
        {far.length > 0
          ? ` (${far.length === chart.limits.length ? "" : `${far.map(({ says }) => says).join(", ")}: `}far beyond what is drawn)`
          : ""}
      </p>
    </section>
  );
}

/** Without its sign: the words say which way it is. */
function sayLimit(at: number, chart: DriveChart): string {
  return `${Number(Math.abs(at).toFixed(chart.digits))}\u202f${chart.unit}`;
}

function sayNumber(value: number, chart: DriveChart): string {
  return Number.isFinite(value) ? `${value.toFixed(chart.digits).replace("-", "\u2212")}\u202f${chart.unit}` : "not known";
}

function WayTimes({ table }: { table: DriveTable }) {
  const unit = lengthUnit.value;
  const seconds = (value: number) => (value < 180 ? `${Math.round(value)}\u202fs` : `${Math.round(value / 60)}\u202fmin`);
  return (
    <ul class="plain-list" data-test="way-times">
      {table.ways.map((one) => (
        <li key={one.way}>
          {Number.isNaN(one.time)
            ? `Way ${one.way}: not timed, the job gives no feed-rate.`
            : `Way ${one.way}: ${seconds(one.time)} of moving${one.brake === undefined ? "" : `; slowest near ${sayDepth(one.brake.depth, unit)}, held up by ${one.brake.drive === "cable" ? `cable ${one.brake.cable + 1}` : `the ${one.brake.drive}`}`}.`}
        </li>
      ))}
      <li class="quiet">Drawn through: way in; broken: way out; dashed across: limits. Simulated.</li>
    </ul>
  );
}
