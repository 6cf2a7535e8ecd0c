/** What a broken cable, a stalled drive and lost power do to an arm, in tables. */
import type { CapacityAnswer } from "./describe-capacity.ts";
import { layTable } from "./lay-table.ts";
import { ends, placeWords, type Say } from "./say-capacity.ts";

export function sayFaults(faults: NonNullable<CapacityAnswer["faults"]>, damping: number, say: Say): string[] {
  if (faults.status !== "stable" && faults.status !== "slack")
    return [
      `With ${say(faults.lengthM, "length")} out the arm does not carry itself (${faults.status}): nothing is said of broken cables.`,
    ];
  const sudden = faults.cases.filter((c) => c.what !== "stalled");
  const swing = damping === 0 ? "without damping" : `damped by ${damping} of critical`;
  return [
    `Faults with ${say(faults.lengthM, "length")} out, weight and tool on. The cables store ${joule(faults.storedJ)}, rods and hoses ${joule(faults.storedInRodsJ)}.`,
    `"First swing" is how far a sudden fault may carry it, ${swing}: a bound for small motions, a guide for large ones. Uses are shares of the limits.`,
    `"Lowest" is the lowest place of the arm, below the guide's exit.`,
    "",
    layTable(
      [
        [
          "what",
          "section",
          "comes to rest",
          "tip moves",
          "drops",
          "lowest",
          "first swing",
          "worst cable",
          "on the swing",
          "joint",
          "strain",
          "lets go",
        ],
        ...sudden.map((c) => [
          c.what === "broken" ? `cable ${c.cable} broken` : c.what === "locked" ? "power lost, drives hold" : "power lost, drives run free",
          c.section === null ? "" : String(c.section),
          restOf(c),
          say(c.movedM, "length"),
          say(c.dropM, "length"),
          say(c.lowestM, "length"),
          c.what === "released" ? "far" : say(c.swingM, "length"),
          ...(c.movedM === null ? ["", "", "", ""] : [c.cableUse, c.swingCableUse, c.stopUse, c.strainUse].map(percent)),
          joule(c.lostJ),
        ]),
      ],
      [1, 3, 4, 5, 6, 7, 8, 9, 10, 11],
    ),
    ...sayStalls(
      faults.cases.filter((c) => c.what === "stalled"),
      say,
    ),
    ...(faults.cases.some((c) => (c.stopUse ?? 0) > 1)
      ? ["", "Where a joint is over 100 % its vertebrae touch and lean on each other: its stop is stiff, not rigid."]
      : []),
  ];
}

type Case = NonNullable<CapacityAnswer["faults"]>["cases"][number];

function sayStalls(cases: readonly Case[], say: Say): string[] {
  if (cases.length === 0) return ["", "No drive is stalled: the others have nowhere to go (--bend or --sent would send them)."];
  return [
    "",
    "One drive stalls while the others go where they are sent, all in step:",
    "",
    layTable(
      [
        ["what", "section", "in the end", "astray", "lowest", "first limit passed", "after", "worst cable", "joint", "strain"],
        ...cases.map((c) => [
          `drive ${c.cable} stalled`,
          c.section === null ? "" : String(c.section),
          restOf(c),
          say(c.stall?.astrayM ?? null, "length"),
          say(c.lowestM, "length"),
          c.stall === null || c.stall.limit === null ? "none" : `${ends[c.stall.limit]} (${placeWords(c.stall)})`,
          c.stall === null || c.stall.limit === null ? "" : `${percent(c.stall.shareBeforeLimit)} of the way`,
          ...(c.movedM === null ? ["", "", ""] : [c.cableUse, c.stopUse, c.strainUse].map(percent)),
        ]),
      ],
      [1, 3, 4, 6, 7, 8, 9],
    ),
  ];
}

function percent(use: number | null): string {
  return use === null ? "" : `${Math.round(100 * use)} %`;
}

function restOf(c: Case): string {
  const loose = c.what !== "locked" && c.looseCables.length > 0 ? ` (loose: ${c.looseCables.join(" ")})` : "";
  return `${restWords[c.status]}${loose}${c.leapt ? ", after a leap" : ""}`;
}

const restWords = {
  stable: "stable",
  slack: "stable",
  buckled: "not known: unstable",
  jammed: "not known: jammed",
  "not-converged": "not known",
} as const;

function joule(x: number | null): string {
  return x === null ? "" : x < 1 ? `${Number((1e3 * x).toPrecision(3))} mJ` : `${Number(x.toPrecision(3))} J`;
}
