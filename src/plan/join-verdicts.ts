/** One answer for several targets: the worst of each margin, and what is said of one target alone under its name. */
import type { MarginRow, Verdict } from "../verdict/index.ts";

export interface NamedVerdict {
  readonly target: string;
  readonly verdict: Verdict;
}

/** Worst first; what is not known keeps a whole from going as well as from not going. */
const answers = ["no go", "undecided", "go with conditions", "go"] as const;

/** @param visits in the order made @param more what the whole assumes beside its parts */
export function joinVerdicts(visits: readonly NamedVerdict[], more: readonly string[]): Verdict {
  const verdicts = visits.map(({ verdict }) => verdict);
  const answer = answers.find((a) => verdicts.some((v) => v.answer === a)) ?? "undecided";
  const rows = joinRows(visits);
  const failed = visits.filter(({ verdict }) => verdict.answer === answer && !answer.startsWith("go"));
  const worst = rows[0];
  return {
    answer,
    says:
      failed.length > 0
        ? failed.map(({ target, verdict }) => `${target}: ${verdict.says}`).join(" ")
        : worst === undefined
          ? `All computed margins hold for ${visits.length} targets.`
          : `All computed margins hold for ${visits.length} targets; the tightest is ${worst.title.toLowerCase()}, at ${Math.round(worst.use * 100)} % of its limit (${worst.whereSays}).`,
    reasons: gather(visits, (v) => v.reasons),
    rows,
    conditions: gather(visits, (v) => v.conditions),
    notChecked: [...new Set(verdicts.flatMap((v) => v.notChecked))],
    assumptions: [...gather(visits, (v) => v.assumptions), ...more],
    cautions: [...new Set(verdicts.flatMap((v) => v.cautions))],
  };
}

/** Each margin once, where it is worst. */
function joinRows(visits: readonly NamedVerdict[]): MarginRow[] {
  const worst = new Map<string, MarginRow>();
  visits.forEach(({ target, verdict }, visit) => {
    for (const row of verdict.rows) {
      const there = worst.get(row.id);
      if (there !== undefined && rank(there) >= rank(row)) continue;
      const named = row.whereSays.includes(target) ? row.whereSays : `${target}: ${row.whereSays}`;
      worst.set(row.id, { ...row, where: { ...row.where, visit }, whereSays: named });
    }
  });
  return [...worst.values()].sort((a, b) => rank(b) - rank(a));
}

function rank(row: MarginRow): number {
  return row.state === "unknown" ? Number.MAX_VALUE : row.use;
}

/** What all say once, what some say under their names. */
function gather(visits: readonly NamedVerdict[], of: (verdict: Verdict) => readonly string[]): string[] {
  const by = new Map<string, string[]>();
  for (const { target, verdict } of visits) for (const says of of(verdict)) by.set(says, [...(by.get(says) ?? []), target]);
  return [...by].map(([says, names]) => (names.length === visits.length ? says : `${names.join(", ")}: ${says}`));
}
