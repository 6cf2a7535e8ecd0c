/** A verdict of a plan, once what may fail on it was looked at: margins, conditions, and what is no longer unchecked. */
import { type FaultFacts, faultConditions, faultRows } from "./fault-rows.ts";
import { sayUnchecked, unseenFaults } from "./judge.ts";
import type { MarginRow, Verdict } from "./model.ts";
import { finish, sortRows } from "./rows.ts";

/** The answer stands, but that what is looked at here no longer makes it a `go` with conditions. */
export function addFaults(verdict: Verdict, facts: FaultFacts): Verdict {
  // where the other rows have a spread, these say that theirs is not computed
  const spreads = verdict.rows.some((row) => row.spread !== undefined) ? {} : undefined;
  const added = faultRows(facts).map((draft) => finish(draft, { gains: {}, spreads }));
  const ids = added.map((row) => row.id);
  const rows = sortRows([...verdict.rows.filter((row) => !ids.includes(row.id)), ...added]);
  const notChecked = verdict.notChecked.filter((one) => !unseenFaults.includes(one));
  if (!verdict.answer.startsWith("go")) return { ...verdict, rows, notChecked };
  const before = sayUnchecked(verdict.notChecked);
  const close = added
    .filter((row) => row.state === "warning" && row.use <= 1)
    .map((row) => `${row.title} is at ${Math.round(100 * row.use)} % of its limit (${row.whereSays}).`);
  const conditions = [
    ...sayUnchecked(notChecked),
    ...verdict.conditions.filter((one) => !before.includes(one)),
    ...faultConditions(facts),
    ...close,
  ];
  return {
    ...verdict,
    answer: conditions.length > 0 ? "go with conditions" : "go",
    says: `${verdict.says.split(risksHead)[0]}${sayRisks(added)}`,
    rows,
    notChecked,
    conditions,
  };
}

const risksHead = " Not so if something fails on the way: ";

/** Beside "all margins hold": what does not once something has failed. */
function sayRisks(added: readonly MarginRow[]): string {
  const risks = added.filter((row) => row.state === "warning" && row.use > 1).map((row) => row.title.toLowerCase());
  return risks.length === 0 ? "" : `${risksHead}${risks.join(", ")} (see the conditions).`;
}
