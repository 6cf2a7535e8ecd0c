/** What hot and dose zones do to the parts of the arm that come into them: against their ratings, or told where there are none. */
import type { Ratings } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import { outsideZone, type Zone } from "../space/index.ts";
import type { Facts } from "./facts.ts";
import { mm } from "./places.ts";
import type { Draft } from "./rows.ts";

/** A part of the arm in a zone. */
interface Presence {
  /** section index; the tool is one past the last */
  readonly part: number;
  /** depth at which it first is in it, m */
  readonly from: number;
  /** on the way in and out, s; NaN where the job gives no feed rate */
  readonly passing: number;
  /** at the target, s: 0 where it is out of the zone there; NaN where the job gives no stay */
  readonly staying: number;
  readonly ratings: Ratings | undefined;
}

/** At this temperature things are before they come to a heat, K (20 degC): shares of a rated temperature count from here. */
const room = 293.15;

export function zoneRows(facts: Facts): Draft[] {
  const rows: Draft[] = [];
  const hot = worst(facts, "hot", ({ holds }, { ratings }) =>
    holds.kind !== "hot" || ratings?.temperature === undefined ? undefined : (holds.temperature - room) / (ratings.temperature - room),
  );
  if (hot !== undefined) {
    const { zone, presence, use } = hot;
    const is = zone.holds.kind === "hot" ? zone.holds.temperature : 0;
    rows.push({
      id: "hot-zone",
      title: "Heat of zones",
      unit: "1",
      demand: use,
      limit: 1,
      use: presence.ratings !== undefined && (presence.ratings.temperature as number) <= room ? Number.POSITIVE_INFINITY : use,
      where: { depth: presence.from, ...(presence.part < facts.arm.sections ? { section: presence.part } : {}) },
      whereSays: `${sayPart(facts, presence.part)} in ${zone.name}, ${sayTemperature(is)} against a rated ${sayTemperature(presence.ratings?.temperature ?? 0)}, from ${mm(presence.from)} of depth on`,
      note: "Rise over 20 degC against the rated one: what comes in is taken to get as hot as the zone, however short it is there.",
    });
  }
  const dose = worst(facts, "dose", (zone, presence) => {
    const { ratings } = presence;
    return ratings?.dose === undefined ? undefined : doseOf(zone, presence) / ratings.dose;
  });
  if (dose !== undefined) {
    const { zone, presence } = dose;
    const gathered = (facts.zones ?? []).reduce((sum, other) => {
      const there = other.holds.kind === "dose" ? presences(facts, other).find(({ part }) => part === presence.part) : undefined;
      return sum + (there === undefined ? 0 : doseOf(other, there));
    }, 0);
    const rated = presence.ratings?.dose as number;
    rows.push({
      id: "dose",
      title: "Dose of zones",
      unit: "1",
      demand: gathered / rated,
      limit: 1,
      use: gathered / rated,
      where: { depth: presence.from, ...(presence.part < facts.arm.sections ? { section: presence.part } : {}) },
      whereSays: `${sayPart(facts, presence.part)}, most of it in ${zone.name}: ${formatQuantity(gathered, "dose", "metric", 3)} against a rated ${formatQuantity(rated, "dose", "metric", 3)}`,
      note: "Of this one entry; what earlier ones gathered comes on top.",
    });
  }
  return rows;
}

/** Zones that the arm comes into where no row can tell. */
export function zoneConditions(facts: Facts): string[] {
  return (facts.zones ?? []).flatMap((zone) => {
    const { holds } = zone;
    const there = presences(facts, zone);
    if (there.length === 0) return [];
    const unrated = there.filter(({ ratings }) => (holds.kind === "hot" ? ratings?.temperature : ratings?.dose) === undefined);
    const untimed = holds.kind === "dose" && there.some((presence) => Number.isNaN(doseOf(zone, presence)));
    if (unrated.length === 0 && !untimed) return [];
    const parts = there.map((presence) => {
      const time = presence.passing + presence.staying;
      const says = Number.isNaN(time)
        ? ""
        : holds.kind === "dose"
          ? ` (${sayTime(time)}, ${formatQuantity(doseOf(zone, presence), "dose", "metric", 3)})`
          : ` (${sayTime(time)})`;
      return `${sayPart(facts, presence.part)} from ${mm(presence.from)} of depth on${says}`;
    });
    const what = holds.kind === "hot" ? sayTemperature(holds.temperature) : formatQuantity(holds.rate, "dose-rate", "metric", 3);
    const open = [
      ...(unrated.length > 0 ? [`the arm's file gives no rating to hold that against`] : []),
      ...(untimed ? ["the job gives no feed rate or no stay to time it with"] : []),
    ];
    return [`${zone.name} (${what}) is entered by ${parts.join(", ")}: ${open.join("; ")}.`];
  });
}

export function assumeZones({ zones, bodies }: Facts): string[] {
  const kept = bodies.filter((body) => body.zone === "keep-out").map((body) => body.name);
  return [
    ...(kept.length > 0 ? [`Kept out of as if it were a body: ${kept.join(", ")}.`] : []),
    ...((zones?.length ?? 0) > 0
      ? [
          "A part is in a zone when any of its vertebrae comes into it with its rim; heat and dose are even over a zone, and nothing shields.",
        ]
      : []),
  ];
}

function worst(
  facts: Facts,
  kind: Zone["holds"]["kind"],
  share: (zone: Zone, presence: Presence) => number | undefined,
): { zone: Zone; presence: Presence; use: number } | undefined {
  let best: { zone: Zone; presence: Presence; use: number } | undefined;
  for (const zone of facts.zones ?? []) {
    if (zone.holds.kind !== kind) continue;
    for (const presence of presences(facts, zone)) {
      const use = share(zone, presence);
      // what cannot be timed is told as a condition
      if (use !== undefined && !Number.isNaN(use) && !(use <= (best?.use ?? Number.NEGATIVE_INFINITY))) best = { zone, presence, use };
    }
  }
  return best;
}

function doseOf({ holds }: Zone, { passing, staying }: Presence): number {
  return holds.kind === "dose" ? holds.rate * (passing + staying) : 0;
}

/** Every part that comes into a zone on the way in or out, from the base on. */
function presences(facts: Facts, zone: Zone): Presence[] {
  const { arm, wayIn, wayOut, stay, feedRate = Number.NaN } = facts;
  const last = wayIn[wayIn.length - 1];
  const { tool, ratings } = arm.description;
  const found: Presence[] = [];
  for (let part = 0; part <= arm.sections; part++) {
    if (part === arm.sections && tool.length === 0 && tool.mass === 0) continue;
    let from = Number.POSITIVE_INFINITY;
    let length = 0;
    for (const way of [wayIn, wayOut]) {
      way.forEach((record, k) => {
        if (!isIn(facts, zone, record, part)) return;
        from = Math.min(from, record.depth);
        // half the way to either neighbour
        const before = way[k - 1]?.depth ?? record.depth;
        const after = way[k + 1]?.depth ?? record.depth;
        length += Math.abs(after - before) / 2;
      });
    }
    if (from === Number.POSITIVE_INFINITY) continue;
    const stays = last !== undefined && facts.failure === "" && isIn(facts, zone, last, part);
    found.push({
      part,
      from,
      passing: length === 0 ? 0 : length / feedRate,
      staying: stays ? (stay ?? Number.NaN) : 0,
      ratings: part === arm.sections ? (tool.ratings ?? ratings) : ratings,
    });
  }
  return found;
}

function isIn({ arm }: Facts, zone: Zone, record: DepthRecord, part: number): boolean {
  const { frames } = record;
  if (part === arm.sections) {
    const { tool } = arm.description;
    const f = 12 * arm.spans;
    const steps = Math.max(1, Math.ceil((2 * tool.length) / Math.max(tool.diameter, 1e-3)));
    for (let k = 0; k <= steps; k++) {
      const z = (tool.length * k) / steps;
      const at = (r: number): number => (frames[f + 9 + r] as number) + z * (frames[f + 3 * r + 2] as number);
      if (outsideZone(zone, at(0), at(1), at(2)) <= tool.diameter / 2) return true;
    }
    return false;
  }
  for (let i = Math.max(1, record.firstFree); i <= arm.spans; i++) {
    if (arm.sectionOfSpan[i - 1] !== part) continue;
    const f = 12 * i + 9;
    const away = outsideZone(zone, frames[f] as number, frames[f + 1] as number, frames[f + 2] as number);
    if (away <= (arm.description.sections[part]?.outerDiameter ?? 0) / 2) return true;
  }
  return false;
}

function sayPart({ arm }: Facts, part: number): string {
  return part === arm.sections ? "the tool" : `section ${part + 1}`;
}

function sayTemperature(kelvin: number): string {
  return formatQuantity(kelvin, "temperature", "metric", 3);
}

function sayTime(seconds: number): string {
  return formatQuantity(seconds, "time", "metric", 2);
}
