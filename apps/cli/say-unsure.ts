/** Margins as ranges and the chance of trouble, for a person and for a machine. */
import type { UnitSystem } from "../../src/base/index.ts";
import type { Chance, MarginRange, Mattering, Unknown, UnsureResult } from "../../src/study/index.ts";
import type { Verdict } from "../../src/verdict/index.ts";
import { layTable } from "./lay-table.ts";
import { sayAmount, sayUse } from "./say-verdict.ts";

export function sayUnsure(found: UnsureResult, planned: Verdict["answer"], asked: number, units: UnitSystem): string {
  const { draws, holds, trouble, troubleAtMost, notKnown, unknowns, margins, mode } = found;
  const short = draws < asked ? ` of ${asked} asked` : "";
  const parts = [
    `${draws} draws${short} of ${unknowns.length} number${unknowns.length === 1 ? "" : "s"} (seed ${found.seed}): ${found.job}, arm ${found.arm}\n${
      mode === "held"
        ? `The plan (${planned}) is driven as it stands: each depth solved again with the drives locked at its lengths, for an arm and a port as drawn.`
        : "Each draw is planned anew, as if its numbers were known."
    }`,
    [
      `Holds in ${holds}, passes a margin in ${trouble.count}, not known in ${draws - holds - trouble.count}.`,
      `Trouble in ${sayChance(trouble)}${troubleAtMost.count > trouble.count ? `; ${sayChance(troubleAtMost)} with all that is not known counted as trouble` : ""}.`,
    ].join("\n"),
  ];
  if (unknowns.length === 0)
    parts.push(
      "Nothing is written with a range or a spread, nothing was fitted, and the port has no tolerance: every draw is the plan's own.",
    );
  parts.push(`Margins, worst first\n${sayMargins(margins, units)}`);
  if (margins.some(({ trimmed }) => trimmed)) parts.push("* is trimmed by the tip's camera, and is counted in no trouble.");
  parts.push(`What matters most for the worst margin of each draw\n${sayMatters(found.matters, unknowns)}`);
  if (notKnown.length > 0)
    parts.push(
      `Not known\n${notKnown
        .slice(0, 5)
        .map(({ says, count }) => `  - ${count} x ${says}`)
        .join("\n")}`,
    );
  parts.push(
    `Taken for granted\n${assumed(found)
      .map((line) => `  - ${line}`)
      .join("\n")}`,
  );
  return `${parts.join("\n\n")}\n`;
}

function sayMargins(margins: readonly MarginRange[], units: UnitSystem): string {
  const rows = margins.map(({ title, trimmed, unit, found, use, over, planned, matters, atLeast }) => {
    const say = (value: number): string => sayAmount(value, unit, units);
    return [
      `${title}${trimmed ? " *" : ""}`,
      ...found.map(say),
      `${atLeast ? "at least" : "at most"} ${say(planned.allowed)}`,
      say(planned.found),
      sayUse(use[2]),
      trimmed ? "" : `${percent(over.count / Math.max(1, over.of))}, ${percent(over.low)} to ${percent(over.high)}`,
      matters
        .slice(0, 2)
        .map(({ name, share }) => `${name} ${percent(share)}`)
        .join(", "),
    ];
  });
  const head = ["margin", "5 %", "50 %", "95 %", "allowed", "planned at worst", "95 % use", "passed", "most by"];
  return layTable([head, ...rows], [1, 2, 3, 5, 6]);
}

function sayMatters(matters: readonly Mattering[], unknowns: readonly Unknown[]): string {
  if (matters.length === 0) return "  Nothing stands out of what chance alone gives.";
  return layTable(
    [
      ["number", "share of its variance", "chance alone", "goes"],
      ...matters.slice(0, 8).map(({ name, share, noise, trend }) => {
        const from = unknowns.find((one) => one.name === name)?.from;
        return [
          `${name}${from === "fit" ? " (fitted)" : ""}`,
          percent(share),
          percent(noise),
          Math.abs(trend) < 0.1 ? "both ways" : trend > 0 ? "worse with more" : "better with more",
        ];
      }),
    ],
    [1, 2],
  );
}

/** What a chance rests on. */
function assumed({ mode, margins }: UnsureResult): string[] {
  const draws = [
    "A range is drawn evenly, a spread (+-) is one standard deviation of a normal, fitted values keep their correlations, the port lies anywhere within its tolerances.",
    "What has no range, spread or tolerance is as it is written.",
  ];
  if (mode === "anew")
    return [...draws, "The numbers of a draw are known before it is planned: the chance that no plan would do, not that one plan fails."];
  return [
    ...draws,
    "Cables rub with the coefficient drawn, each having slid the way it slid in the plan; drives count from the straight arm at its pretension.",
    "Play is taken all one way; between depths as much is taken off as the plan takes off there.",
    `Not drawn: ${["the ends of the temperatures", "the drum", "what the way out differs by"].join(", ")}.`,
    ...(margins.some(({ id }) => id === "touch-force")
      ? ["Leaning is solved where the plan leans; the greatest push told there is the plan's own."]
      : []),
  ];
}

function sayChance({ count, of, low, high }: Chance): string {
  return `${percent(count / Math.max(1, of))} of the draws (between ${percent(low)} and ${percent(high)} at 95 %)`;
}

function percent(share: number): string {
  const value = 100 * share;
  return `${value > 0 && value < 10 ? value.toFixed(1) : Math.round(value)} %`;
}
