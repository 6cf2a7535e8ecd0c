/**
 * Margins of what may fail: how deep a cable may break, a drive stall or the power go so that the arm can still be drawn out, and the pull that
 * takes. They are told as conditions: that something fails is no part of the plan.
 */
import { nameCable } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import {
  type FaultEvent,
  type FaultFinding,
  type FaultKind,
  type FaultResult,
  isAnswered,
  type Link,
  reachOf,
  type WayFound,
} from "../faults/index.ts";
import type { Facts } from "./facts.ts";
import type { MarginPlace } from "./model.ts";
import { mm } from "./places.ts";
import type { Draft } from "./rows.ts";

const kinds: readonly { readonly id: string; readonly title: string; readonly of: readonly FaultKind[] }[] = [
  { id: "cable-broken", title: "Cable broken", of: ["broken"] },
  { id: "drive-stalled", title: "Drive stalled", of: ["stalled"] },
  { id: "power-lost", title: "Power lost", of: ["locked", "released"] },
];

/** What the words need: to which section a cable belongs, and what the bodies are called. */
export interface FaultNames {
  readonly arm: { readonly sectionOfCable: ArrayLike<number> };
  readonly bodies: readonly { readonly name: string }[];
}

/** What these margins are read from. */
export interface FaultFacts extends Pick<Facts, "arm" | "bodies"> {
  readonly faults: FaultResult;
  /** depth of the target, m */
  readonly deepest: number;
}

export function faultRows(facts: FaultFacts): Draft[] {
  const { faults, deepest } = facts;
  if (faults.findings.length === 0) return [];
  return [...kinds.map((kind) => depthRow(facts, faults, kind, deepest)), pullRow(facts, faults)];
}

function depthRow(facts: FaultFacts, faults: FaultResult, { id, title, of }: (typeof kinds)[number], deepest: number): Draft {
  const findings = faults.findings.filter((finding) => of.includes(finding.kind));
  let limit = Number.POSITIVE_INFINITY;
  let worst: FaultFinding | undefined;
  let alone = Number.POSITIVE_INFINITY;
  for (const finding of findings) {
    const reach = reachOf(finding, "helping");
    if (reach.depth < limit) [limit, worst] = [reach.depth, finding];
    alone = Math.min(alone, reachOf(finding, "holding").depth);
  }
  const way = worst === undefined ? undefined : reachOf(worst, "helping").way;
  const where: MarginPlace = {
    way: "out",
    ...(way === undefined ? {} : { depth: way.depth, ...placeOf(facts, way) }),
    ...(worst === undefined || worst.cable < 0 ? {} : { cable: worst.cable, section: facts.arm.sectionOfCable[worst.cable] as number }),
  };
  const holding = of.includes("broken") || of.includes("stalled");
  return {
    id,
    title,
    unit: "m",
    demand: deepest,
    limit,
    use: deepest / limit,
    told: true,
    where,
    whereSays:
      worst === undefined || way === undefined ? "at every depth that was looked at" : `${sayFault(facts, worst)}, ${sayWay(facts, way)}`,
    note: `Depth of the target against the depth down to which ${holding ? "any one may fail" : "it may go"} and the arm still be drawn out, keeping off what must not be touched${
      holding && Number.isFinite(alone) ? `; down to ${mm(alone)} with the healthy drives only holding, beyond that they must help` : ""
    }. Depths looked at are refined to where the answer changes; the shapes on the way are ${mm(faults.step)} apart or less.`,
  };
}

/** A fault in words. */
export function sayFault(facts: Pick<FaultNames, "arm">, { kind, cable }: Pick<FaultFinding, "kind" | "cable">): string {
  if (kind === "locked") return "power lost, drives that hold";
  if (kind === "released") return "power lost, drives that let go";
  return kind === "broken" ? `${nameCable(facts.arm, cable)} broken` : `drive of ${nameCable(facts.arm, cable)} stalled`;
}

/** What ends a way, in words. */
export function sayWay({ bodies }: Pick<FaultNames, "bodies">, { depth, stop, by }: WayFound): string {
  const from = `at ${mm(depth)}`;
  if (stop === undefined) return `${from}: drawn out${by === "hold" ? "" : ` by ${recipes[by]}`}`;
  const place = `${mm(stop.depth)} deep`;
  const body = bodies[stop.body]?.name ?? "a body";
  const says = {
    touch: `it comes to ${body}, which must not be touched, ${place}`,
    press: `it presses ${body} with ${newton(stop.is)}, ${place}`,
    pull: `it takes ${newton(stop.is)} where ${newton(stop.limit)} hold, ${place}`,
    cable: `cable ${stop.cable + 1} would break at ${newton(stop.limit)}, ${place}`,
    rod: `a rod at joint ${stop.vertebra} is strained beyond what it is allowed, ${place}`,
    balance: `no balance was found ${place}`,
    between: `what lies between two shapes could not be shown clear, ${place}`,
  }[stop.kind];
  return `${from}: ${says}`;
}

/** What drives that help do, as an operator would say it. */
export const recipes = {
  hold: "holding",
  plan: "running the plan's lengths backwards",
  ease: "running them backwards, the cables of the same section let go",
  limp: "letting all cables go",
} as const;

function placeOf({ bodies }: FaultFacts, { stop }: WayFound): MarginPlace {
  if (stop === undefined) return {};
  return {
    ...(stop.body >= 0 && stop.body < bodies.length ? { body: stop.body } : {}),
    ...(stop.vertebra >= 0 ? { vertebra: stop.vertebra } : {}),
  };
}

function newton(force: number): string {
  return formatQuantity(force, "force", "metric", 3);
}

function pullRow(facts: FaultFacts, faults: FaultResult): Draft {
  let found: { readonly finding: FaultFinding; readonly way: WayFound } | undefined;
  for (const finding of faults.findings) {
    for (const way of [...finding.holding, ...finding.helping]) {
      if (!isAnswered(way) || Number.isNaN(way.pullUse)) continue;
      if (found === undefined || way.pullUse > found.way.pullUse || (way.pullUse === found.way.pullUse && way.pull > found.way.pull))
        found = { finding, way };
    }
  }
  const link = found?.way.link;
  const none = Number.NaN;
  return {
    id: "pull-out",
    title: "Pull-out force",
    unit: "N",
    demand: link?.demand ?? none,
    limit: link?.strength ?? none,
    use: found?.way.pullUse ?? none,
    told: true,
    where: {
      way: "out",
      ...(found === undefined ? {} : { depth: found.way.pullAt }),
      ...(link === undefined || link.section < 0 ? {} : { section: link.section }),
    },
    whereSays:
      found === undefined
        ? "no way out was found to pull along"
        : `${sayFault(facts, found.finding)}, from ${mm(found.way.depth)}; greatest ${newton(found.way.pull)} at ${mm(found.way.pullAt)}`,
    note: `${link === undefined ? "" : `${sayLink(facts, link)} `}${faults.notes.join(" ")}`,
  };
}

/** What gives first, and what stays inside then. */
export function sayLink({ arm }: Pick<Facts, "arm">, { kind, section }: Link): string {
  if (kind === "given" && section < 0) return "Its weak link is the connector at the base: should it part, the whole arm stays inside.";
  const { sections } = arm.description;
  const name = sections[section]?.name ?? "";
  const beyond = sections.slice(section + (kind === "given" ? 1 : 0)).map((one) => one.name);
  const inside = [...beyond, arm.description.tool.name].join(", ");
  const what = kind === "given" ? `the weak link in ${name}` : kind === "rods" ? `a rod in ${name}` : `the cables in ${name}`;
  return `First to give would be ${what}; inside would stay ${inside}, as far as its cables do not hold it.`;
}

/** Where drives must help, and where nothing that was tried leads out. */
export function faultConditions(facts: FaultFacts): string[] {
  const { faults } = facts;
  return [
    ...kinds.flatMap(({ title, of }) => {
      const findings = faults.findings.filter((finding) => of.includes(finding.kind));
      const lines: string[] = [];
      for (const outcome of ["stuck", "unknown"] as const) {
        const bad = findings
          .map((finding) => ({ finding, ...reachOf(finding, "helping") }))
          .filter(({ way }) => way?.outcome === outcome)
          .sort((a, b) => a.depth - b.depth);
        const first = bad[0];
        if (first?.way === undefined) continue;
        const more = bad.length === 1 ? "" : ` (and ${bad.length - 1} more)`;
        const answer = outcome === "stuck" ? "no way out was found within the rules" : "it is not known whether the arm comes out";
        lines.push(`${title}: ${answer}: ${sayFault(facts, first.finding)}${more}, ${sayWay(facts, first.way)}.`);
      }
      return lines;
    }),
    ...sayDrop(facts),
  ];
}

/** What a cable does that breaks under load, before anybody draws anything. */
function sayDrop(facts: FaultFacts): string[] {
  let drop: { readonly finding: FaultFinding; readonly depth: number; readonly event: FaultEvent } | undefined;
  let strike: typeof drop;
  for (const finding of facts.faults.findings) {
    if (finding.kind !== "broken") continue;
    for (const { depth, event } of [...finding.helping, ...finding.holding]) {
      if (event === undefined) continue;
      if (event.drop > (drop?.event.drop ?? 0)) drop = { finding, depth, event };
      if (event.swingSpare < (strike?.event.swingSpare ?? 0)) strike = { finding, depth, event };
    }
  }
  return [
    ...(drop === undefined
      ? []
      : [
          `A cable that breaks lets the tip drop by up to ${mm(drop.event.drop)}, and swing by up to ${mm(drop.event.swing)} at first (${sayFault(facts, drop.finding)}, ${mm(drop.depth)} deep), with ${Number(drop.event.stored.toPrecision(2))} J stored in the cables.`,
        ]),
    ...(strike === undefined
      ? []
      : [
          `On that swing it may strike what must not be touched: nothing better is shown with ${sayFault(facts, strike.finding)}, ${mm(strike.depth)} deep.`,
        ]),
  ];
}
