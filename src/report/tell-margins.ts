/** The margins and the changes that were planned again, as tables. */
import type { PlanResult } from "../plan/index.ts";
import type { MarginRow } from "../verdict/index.ts";
import { type Measures, measureOf, say, sayUse } from "./measure.ts";
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
      [row.whereSays, row.note === undefined ? undefined : tag(page, "span", { class: "note" }, row.note)],
      gainsOf(page, row),
    ];
  });
  if (rows.length === 0) return [tag(page, "p", {}, "No margin could be computed.")];
  return [
    table(page, "Margins (simulated); use is demand over limit, for clearance what is asked for over what there is", ["Margin", "State", "Use", "Demand", "Limit", "Where", "What would gain it"], rows, [2, 3, 4], "grid margins"),
  ]; // biome-ignore format: one row
}

function gainsOf(page: Page, row: MarginRow): Child {
  if (row.gains.length === 0) return row.use > 1 || Number.isNaN(row.use) ? "nothing was found" : "no estimate";
  return bullets(
    page,
    row.gains.map((gain) => `${gain.says} (${gain.from === "planned" ? "planned again" : "estimated"})`),
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
