/** What `withy fit` found, in tables and as data. */
import type { Fitted } from "../../src/arm/index.ts";
import { formatQuantity, type QuantityKind } from "../../src/base/index.ts";
import { type FitModel, type FitResult, type FittedParameter, outlierFrom, sayNotes } from "../../src/fit/index.ts";
import { createFrameAlong } from "../../src/math/index.ts";
import type { CommonOptions } from "./console.ts";
import { layTable } from "./lay-table.ts";

export function sayFit(model: FitModel, result: FitResult, options: CommonOptions): string {
  const say = (value: number, kind: QuantityKind): string => (Number.isNaN(value) ? "" : formatQuantity(value, kind, options.units, 4));
  const names = model.tables.map((table) => `${table.file} (${table.rows.length} rows)`).join(", ");
  const lines = [
    `${model.arm.description.name}: ${sayStatus(result)} to ${names}.`,
    "",
    layTable(
      [
        ["parameter", "as described", "fitted", "spread", "of it", ""],
        ...result.parameters.map((p) => [
          p.title,
          say(p.shown.before, p.shown.quantity),
          say(p.shown.after, p.shown.quantity),
          say(p.shown.spread, p.shown.quantity),
          Number.isNaN(p.spread) ? "" : `${(100 * Math.abs(p.shown.spread / p.shown.after)).toPrecision(2)} %`,
          sayState(p),
        ]),
      ],
      [1, 2, 3, 4],
    ),
    ...sayAxes(model),
    "Spread: one standard deviation. Modulus and effective length are those of the first section; the others change alike.",
    "",
    layTable(
      [
        ["readings", "of", outliersIn(result) ? "without outliers" : "count", "rms before", "rms fitted", "spread"],
        ...result.groups.map((g) => {
          const kind = kindOf(g.name);
          return [
            g.name,
            model.tables[g.table]?.file ?? "",
            String(g.count),
            say(g.rmsBefore, kind),
            say(g.rmsAfter, kind),
            say(g.spread, kind),
          ];
        }),
      ],
      [2, 3, 4, 5],
    ),
  ];
  const outliers = result.readings.filter((r) => r.outlier);
  if (outliers.length > 0) {
    lines.push(
      "",
      `Readings more than ${outlierFrom} spreads off, which count little. Look at them: a slip of the hand, or something that the model does not know.`,
      layTable(
        [
          ["table", "row", "column", "read", "fitted model", "off by"],
          ...outliers.map((r) => {
            const kind = kindOf(r.name);
            const off = `${(Math.abs(r.after - r.measured) / r.spread).toPrecision(2)} spreads`;
            return [model.tables[r.table]?.file ?? "", String(r.row), r.heading, say(r.measured, kind), say(r.after, kind), off];
          }),
        ],
        [1, 3, 4, 5],
      ),
    );
  }
  const lost = result.readings.filter((r) => Number.isNaN(r.weight));
  if (lost.length > 0)
    lines.push("", `No balance was found in: ${[...new Set(lost.map((r) => `${model.tables[r.table]?.file} row ${r.row}`))].join(", ")}.`);
  const notes = sayNotes(result);
  if (notes.length > 0) lines.push("", ...notes);
  return `${lines.join("\n")}\n`;
}

/** Where cables and bends are counted from, when the tables speak of single ones. */
function sayAxes(model: FitModel): string[] {
  if (!model.tables.some((table) => table.columns.some(({ name }) => name === "draw" || name === "towards"))) return [];
  const frame = createFrameAlong([0, 0, 0], model.rig.axis);
  const along = (k: number): string => [0, 3, 6].map((r) => (frame[r + k] as number).toFixed(3)).join(", ");
  return [
    `At the guide, unrolled, the arm's x points along ${along(0)}, its y along ${along(1)}: cables and directions are counted from x towards y.`,
  ];
}

function outliersIn(result: FitResult): boolean {
  return result.readings.some((r) => r.outlier);
}

function sayStatus({ status }: FitResult): string {
  if (status === "converged") return "fitted";
  return status === "stopped"
    ? "not fitted, the steps ran out, tried"
    : "not fitted, the model found no balance near what is described, tried";
}

function sayState({ state, untold, shown }: FittedParameter): string {
  if (state === "bound") return "at the end of what is possible";
  if (state === "kept") return untold?.why === "mixed" ? "cannot be told apart: kept" : "not told: kept";
  const moved = Math.abs(shown.after - shown.before) / shown.spread;
  return moved < 2 ? "as described, within its spread" : "";
}

function kindOf(name: string): QuantityKind {
  return name === "twist" ? "angle" : name === "tension" ? "force" : "length";
}

/** SI; a spread that is not known is null. */
export function fitData(model: FitModel, result: FitResult, record: Fitted) {
  const known = (x: number): number | null => (Number.isFinite(x) ? x : null);
  return {
    arm: model.arm.description.name,
    status: result.status,
    date: record.date,
    tables: record.tables,
    parameters: result.parameters.map((p) => ({
      name: p.name,
      state: p.state,
      unit: p.unit,
      before: p.before,
      after: p.after,
      spread: known(p.spread),
      ...(p.mostlyFrom === undefined ? {} : { mostlyFrom: p.mostlyFrom }),
      ...(p.untold === undefined ? {} : { why: p.untold.why, mixedWith: p.untold.with ?? null }),
    })),
    spreads: record.spreads,
    correlations: record.correlations,
    groups: result.groups.map((g) => ({ ...g, rmsBefore: known(g.rmsBefore), rmsAfter: known(g.rmsAfter), spread: known(g.spread) })),
    readings: result.readings.map((r) => ({
      table: model.tables[r.table]?.file,
      row: r.row,
      heading: r.heading,
      measured: r.measured,
      before: known(r.before),
      after: known(r.after),
      spread: known(r.spread),
      weight: known(r.weight),
      outlier: r.outlier,
    })),
    notes: record.notes,
  };
}
