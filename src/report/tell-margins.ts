/** The margins and the changes that were planned again, as tables. */
import type { PlanResult } from "../plan/index.ts";
import type { MarginRow } from "../verdict/index.ts";
import { keepUnits, type Measures, measureOf, say, sayUse } from "./measure.ts";
import { bullets, type Child, type Page, table, tag } from "./page.ts";

const states = { ok: "\u25cb holds", warning: "\u25d0 close", over: "\u25cf over", unknown: "? not known" } as const;

export function tellMargins(page: Page, result: PlanResult, measures: Measures): HTMLElement[] {
  const rows = result.verdict.rows.map((row): Child[] => {
    const measure = measureOf(row.unit, measures);
    return [
      row.title,
      states[row.state],
      sayUse(row.use),
      say(row.demand, measure),
      say(row.limit, measure),
      keepUnits(row.whereSays),
      gainsOf(page, row),
    ];
  });
  if (rows.length === 0) return [tag(page, "p", {}, "No margin could be computed.")];
  const heads = ["Margin", "State", "Use", "Demand", "Limit", "Where", "What would gain it"];
  const caption = "Margins (simulated); use is demand over limit, for clearance what is asked for over what there is";
  return [table(page, caption, heads, rows, [2, 3, 4], "grid margins"), tellNotes(page, result.verdict.rows)];
}

/** What each number means and leaves out. */
function tellNotes(page: Page, rows: readonly MarginRow[]): HTMLElement {
  const notes = rows.flatMap((row) =>
    row.note === undefined ? [] : [tag(page, "dt", {}, row.title), tag(page, "dd", {}, keepUnits(row.note))],
  );
  return tag(page, "dl", { class: "key" }, ...notes);
}

function gainsOf(page: Page, row: MarginRow): Child {
  if (row.gains.length === 0) return row.use > 1 || Number.isNaN(row.use) ? "nothing was found" : "no estimate";
  return bullets(
    page,
    row.gains.map((gain) => `${keepUnits(gain.says)} (${gain.from === "planned" ? "planned again" : "estimated"})`),
  );
}

export function tellTurns(page: Page, result: PlanResult): HTMLElement[] {
  const { turns } = result;
  if (turns === undefined) return [];
  if (turns.length === 0) return [tag(page, "p", {}, "No change of the arm was planned again.")];
  const rows = turns.map((turn): Child[] => [turn.says, turn.answer, turn.tightest, usesOf(result, turn.uses)]);
  return [table(page, "Changes of the arm that were planned again (simulated)", ["Change", "Answer", "Tightest margin", "Uses"], rows)];
}

function usesOf(result: PlanResult, uses: Readonly<Record<string, number>>): string {
  const titles = new Map(result.verdict.rows.map((row) => [row.id, row.title]));
  return Object.entries(uses)
    .map(([id, use]) => `${titles.get(id) ?? id} ${sayUse(use)}`)
    .join("; ");
}
