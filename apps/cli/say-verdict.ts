/** A plan's answer as a person reads it in a terminal, and as a machine does. */
import { formatQuantity, type QuantityKind, type UnitSystem } from "../../src/base/index.ts";
import type { PlanResult } from "../../src/plan/index.ts";
import type { MarginRow, MarginUnit } from "../../src/verdict/index.ts";
import { layTable } from "./lay-table.ts";

const kindOf: Readonly<Record<MarginUnit, QuantityKind>> = {
  m: "length",
  rad: "angle",
  N: "force",
  Pa: "pressure",
  "1": "ratio",
  kg: "mass",
};

export function sayVerdict(result: PlanResult, units: UnitSystem): string {
  const { verdict } = result;
  const parts = [`${verdict.answer.toUpperCase()}: ${result.job}, arm ${result.arm}\n${verdict.says}`];
  const add = (title: string, lines: readonly string[]): void => {
    if (lines.length > 0) parts.push(`${title}\n${lines.map((line) => `  - ${line}`).join("\n")}`);
  };
  add("Because", verdict.reasons);
  if (verdict.rows.length > 0) parts.push(`Margins, tightest first\n${sayRows(verdict.rows, units)}`);
  add(
    "What would gain",
    verdict.rows.flatMap((row) => row.gains.map((gain) => `${row.title}: ${gain.says} (${gain.from})`)),
  );
  add(
    "Planned again",
    (result.turns ?? []).map((turn) => `${turn.says}: ${turn.answer}. ${turn.tightest}`),
  );
  add("Conditions", verdict.conditions);
  add("Not checked yet", verdict.notChecked);
  add("Assumed", verdict.assumptions);
  add("Cautions", verdict.cautions);
  return `${parts.join("\n\n")}\n`;
}

function sayRows(rows: readonly MarginRow[], units: UnitSystem): string {
  // what is left of a zero after rounding is not worth its digits
  const value = (row: MarginRow, number: number): string =>
    formatQuantity(Math.abs(number) < 1e-9 ? 0 : number, kindOf[row.unit], units, 3);
  const cells = rows.map((row) => [
    Number.isFinite(row.use) ? `${Math.round(100 * row.use)} %` : "-",
    row.state,
    row.title,
    value(row, row.demand),
    value(row, row.limit),
    row.whereSays,
  ]);
  const table = layTable([["used", "state", "margin", "demand", "limit", "where"], ...cells], [0, 3, 4]);
  const notes = rows.flatMap((row) => (row.note === undefined ? [] : [`  ${row.title}: ${row.note}`]));
  return [table, ...notes].join("\n");
}

/** The answer without the arrays of every depth: those are in plan.json. Numbers that are not finite are null. */
export function verdictData(result: PlanResult, written: readonly string[]): object {
  const { version, withy, job, arm, inputs, route, verdict, turns } = result;
  const length = route.curve === undefined ? undefined : route.curve.arc[route.curve.count - 1];
  return {
    version,
    withy,
    job,
    arm,
    inputs,
    route: { status: route.status, ...(length === undefined ? {} : { lengthM: length }), obstacles: route.obstacles },
    depths: { wayIn: result.wayIn.length, wayOut: result.wayOut.length },
    verdict,
    ...(turns === undefined ? {} : { turns }),
    written,
  };
}
