/** A plan's answer as a person reads it in a terminal, and as a machine does. */
import { formatQuantity, type QuantityKind, type UnitSystem } from "../../src/base/index.ts";
import type { PlanResult } from "../../src/plan/index.ts";
import { headNotChecked, type MarginRow, type MarginUnit, otherConditions, readMargin } from "../../src/verdict/index.ts";
import { layTable } from "./lay-table.ts";

const kindOf: Readonly<Record<MarginUnit, QuantityKind>> = {
  m: "length",
  rad: "angle",
  N: "force",
  Pa: "pressure",
  "1": "ratio",
  kg: "mass",
  "N m": "torque",
  "rad/s": "turn-rate",
};

export function sayVerdict(result: PlanResult, units: UnitSystem): string {
  const { verdict } = result;
  const parts = [`${verdict.answer.toUpperCase()}: ${result.job}, arm ${result.arm}\n${verdict.says}`];
  const add = (title: string, lines: readonly string[]): void => {
    if (lines.length > 0) parts.push(`${title}\n${lines.map((line) => `  - ${line}`).join("\n")}`);
  };
  add("Because", verdict.reasons);
  add("Targets, in the order visited", sayVisits(result, units));
  if (verdict.rows.length > 0) parts.push(`Margins, tightest first\n${sayRows(verdict.rows, units)}`);
  add(
    "What the margins say and leave out",
    verdict.rows.flatMap((row) => (row.note === undefined ? [] : [`${row.title}: ${row.note}`])),
  );
  add(
    "What would gain",
    verdict.rows.flatMap((row) => row.gains.map((gain) => `${row.title}: ${gain.says} (${gain.from})`)),
  );
  add(
    "Planned again",
    (result.turns ?? []).map((turn) => `${turn.says}: ${turn.answer}. ${turn.tightest}`),
  );
  add("Smallest change that would do", saySought(result));
  add("Conditions", otherConditions(verdict));
  add(headNotChecked(verdict), verdict.notChecked);
  add("Assumed", verdict.assumptions);
  add("Cautions", verdict.cautions);
  return `${parts.join("\n\n")}\n`;
}

/** Each target with its own answer, how it is come to, and what else would have done. */
function sayVisits({ visits = [] }: PlanResult, units: UnitSystem): string[] {
  const length = (value: number): string => formatQuantity(value, "length", units, 3);
  return visits.flatMap((visit, k) => [
    `${k + 1} ${visit.target}: ${visit.verdict.answer}, ${visit.wayIn.length === 0 ? "not reached" : visit.from === undefined ? "from the port" : `gone on to from ${length(visit.from)} of depth`}`,
    ...(visit.choices.length > 1
      ? visit.choices.map((choice) => `   ${choice.target}${choice.taken ? " (taken)" : ""}: ${choice.says}`)
      : []),
  ]);
}

/** What a search found, and what it did not plan. */
function saySought({ sought }: PlanResult): string[] {
  if (sought === undefined) return [];
  const { found, leftOut } = sought;
  return [
    found === undefined
      ? "None of the changes that were planned, each by up to 40 %, makes it a go."
      : `${found.says} (${Math.round(100 * (found.size ?? 0))} % of what it changes): ${found.answer}. ${found.tightest}`,
    ...leftOut.map(({ says, why }) => `not planned: ${says}, as ${why}`),
  ];
}

function sayRows(rows: readonly MarginRow[], units: UnitSystem): string {
  const cells = rows.map((row) => {
    const { found, allowed, side } = readMargin(row);
    return [
      sayUse(row.use),
      row.state === "warning" ? sayWarning(row) : states[row.state],
      row.title,
      `${sayAmount(found, row.unit, units)}${saySpread(row, units)}`,
      side === "at most" && allowed === Number.POSITIVE_INFINITY ? "no limit" : `${side} ${sayAmount(allowed, row.unit, units)}`,
      row.whereSays,
    ];
  });
  return layTable([["used", "state", "margin", "found", "allowed", "where"], ...cells], [0, 3, 4]);
}

/** One standard deviation, for how well the arm is known. */
function saySpread({ spread, unit }: MarginRow, units: UnitSystem): string {
  if (spread === undefined) return "";
  return Number.isNaN(spread) ? " +- not found" : ` +- ${sayAmount(Number(spread.toPrecision(2)), unit, units)}`;
}

const states = { ok: "holds", over: "over", unknown: "not known" } as const;

/** Over the limit only once something has failed; near the limit; or far from it, with a condition all the same. */
function sayWarning({ use, warnAbove }: MarginRow): string {
  return use > 1 ? "risk" : use > warnAbove ? "close" : "heed";
}

export function sayUse(use: number): string {
  if (Number.isNaN(use)) return "?";
  if (use === Number.POSITIVE_INFINITY) return "none left";
  return use > 9.99 ? "over 999 %" : `${Math.round(100 * use)} %`;
}

export function sayAmount(value: number, unit: MarginUnit, units: UnitSystem): string {
  if (Number.isNaN(value)) return "not known";
  if (!Number.isFinite(value)) return value > 0 ? "none near" : "none";
  // what is left of a zero after rounding is not worth its digits
  const number = Math.abs(value) < 1e-9 ? 0 : value;
  return unit === "1" ? `${Number((100 * number).toPrecision(3))} %` : formatQuantity(number, kindOf[unit], units, 3);
}

/** The answer without the arrays of every depth: those are in plan.json. Numbers that are not finite are null. */
export function verdictData(result: PlanResult, written: readonly string[]): object {
  const { version, withy, job, arm, inputs, route, verdict, turns, sought } = result;
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
    ...(sought === undefined ? {} : { sought }),
    written,
  };
}
