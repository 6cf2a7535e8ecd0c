/** The margins and the changes that were planned again, as tables. */
import type { PlanResult } from "../plan/index.ts";
import { type MarginRow, readMargin } from "../verdict/index.ts";
import { keepUnits, type Measures, measureOf, say, sayUse } from "./measure.ts";
import { bullets, type Child, type Page, table, tag } from "./page.ts";

const states = { ok: "\u25cb holds", over: "\u25cf over", unknown: "? not known" } as const;

/** Over the limit only once something has failed; near the limit; or far from it, with a condition all the same. */
function sayWarning({ use, warnAbove }: MarginRow): string {
  return `\u25d0 ${use > 1 ? "risk" : use > warnAbove ? "close" : "heed"}`;
}

export function tellMargins(page: Page, result: PlanResult, measures: Measures): HTMLElement[] {
  const rows = result.verdict.rows.map((row): Child[] => {
    const measure = measureOf(row.unit, measures);
    const { found, allowed, side } = readMargin(row);
    return [
      row.title,
      row.state === "warning" ? sayWarning(row) : states[row.state],
      sayUse(row.use),
      found === Number.POSITIVE_INFINITY && side === "at least" ? "none near" : `${say(found, measure)}${saySpread(row, measures)}`,
      Number.isFinite(allowed) ? `${side} ${say(allowed, measure)}` : say(allowed, measure),
      keepUnits(row.whereSays),
      gainsOf(page, row),
    ];
  });
  if (rows.length === 0) return [tag(page, "p", {}, "No margin could be computed.")];
  const heads = ["Margin", "State", "Use", "Found", "Allowed", "Where", "What would gain it"];
  const caption =
    "Margins (simulated); use is the share of what is allowed that is taken up, over 100\u00a0% fails, or is a risk where something has to fail first; heed: within the limit, with a condition";
  return [table(page, caption, heads, rows, [2, 3, 4], "grid margins"), tellNotes(page, result.verdict.rows)];
}

/** One standard deviation, for how well the arm is known. */
function saySpread({ spread, unit }: MarginRow, measures: Measures): string {
  if (spread === undefined) return "";
  return Number.isNaN(spread) ? " \u00b1 not found" : ` \u00b1\u00a0${say(spread, measureOf(unit, measures))}`;
}

/** What each number means and leaves out. */
function tellNotes(page: Page, rows: readonly MarginRow[]): HTMLElement {
  const notes = rows.flatMap((row) =>
    row.note === undefined ? [] : [tag(page, "dt", {}, row.title), tag(page, "dd", {}, keepUnits(row.note))],
  );
  return tag(page, "dl", { class: "key" }, ...notes);
}

function gainsOf(page: Page, row: MarginRow): Child {
  if (row.gains.length === 0) return "no estimate";
  return bullets(
    page,
    row.gains.map((gain) => `${keepUnits(gain.says)} (${gain.from === "planned" ? "planned again" : "estimated"})`),
  );
}

export function tellTurns(page: Page, result: PlanResult): HTMLElement[] {
  const { turns } = result;
  if (turns === undefined) return [];
  if (turns.length === 0) return [tag(page, "p", {}, "No change of the arm was planned again."), ...tellSought(page, result)];
  const rows = turns.map((turn): Child[] => [turn.says, turn.answer, turn.tightest, usesOf(result, turn.uses)]);
  return [
    table(
      page,
      "Changes of the arm that were planned again (simulated)",
      ["Change", "Answer", "Tightest margin", "Uses"],
      rows,
      [],
      "grid turns",
    ),
    ...tellSought(page, result),
  ];
}

/** The smallest change that a search found, and what it did not plan. */
function tellSought(page: Page, { sought }: PlanResult): HTMLElement[] {
  if (sought === undefined) return [];
  const { found, leftOut } = sought;
  const says =
    found === undefined
      ? "None of these changes, each by up to 40 %, makes it a go."
      : `The smallest change found that does: ${found.says}, ${Math.round(100 * (found.size ?? 0))} % of what it changes (${found.answer}).`;
  const out = leftOut.map((one) => `${one.says}: ${one.why}`).join("; ");
  return [tag(page, "p", {}, `${keepUnits(says)}${out === "" ? "" : ` Not planned: ${keepUnits(out)}.`}`)];
}

function usesOf(result: PlanResult, uses: Readonly<Record<string, number>>): string {
  const titles = new Map(result.verdict.rows.map((row) => [row.id, row.title]));
  return Object.entries(uses)
    .map(([id, use]) => `${titles.get(id) ?? id} ${sayUse(use)}`)
    .join("; ");
}
