/** Temperature and creep in words, and what they take beyond the arm as it was set up. */
import { type ArmDescription, linearStrainAt, type Section } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import type { Warming } from "../rod/index.ts";
import type { Facts } from "./facts.ts";

/** The ends that a margin was worst at, as `at 60 degC, conduits at 20 degC`. */
export function sayWarm(facts: Facts, at: Warming): string {
  const { temperature } = facts;
  const crept = at.creep ? "cables crept" : "";
  if (temperature === undefined) return crept;
  const say = (by: number): string => formatQuantity(temperature.setUp + by, "temperature", "metric", 4);
  const conduit = facts.arm.description.conduitLength > 0 && at.conduit !== at.arm ? `, conduits at ${say(at.conduit)}` : "";
  return `at ${say(at.arm)}${conduit}${crept === "" ? "" : `, ${crept}`}`;
}

/** How near a rod comes to the end of its straight line: the worst share, with the strain, the end, where, and in what. */
export interface LineFact {
  readonly use: number;
  readonly strain: number;
  readonly limit: number;
  readonly material: string;
  readonly says: string;
}

/** @returns undefined when all materials are straight throughout */
export function worstLine(facts: Facts): LineFact | undefined {
  const { arm } = facts;
  let found: LineFact | undefined;
  const nearest = (section: Section, by: number) =>
    section.rods.map((rod) => rod.material).reduce((a, b) => (linearStrainAt(b, by) < linearStrainAt(a, by) ? b : a));
  const take = (strain: number, span: number, by: number, says: string): void => {
    const material = nearest(arm.description.sections[arm.sectionOfSpan[span] as number] as Section, by);
    const limit = linearStrainAt(material, by);
    const use = limit > 0 ? strain / limit : Number.POSITIVE_INFINITY;
    if (use > (found?.use ?? 0)) found = { use, strain, limit, material: material.name, says };
  };
  for (const record of [...facts.wayIn, ...facts.wayOut]) for (let i = 0; i < arm.spans; i++) take(record.strain[i] as number, i, 0, "");
  const line = facts.warm?.line;
  if (line !== undefined && line.use > 0) take(line.strain, line.span, line.at.arm, sayWarm(facts, line.at));
  return found;
}

/** The condition a rod beyond its straight line puts on the answer. */
export function sayLine(facts: Facts): string[] {
  const line = worstLine(facts);
  if (line === undefined || line.use <= 1) return [];
  const softened = facts.arm.softens;
  const percent = (value: number): string => `${(100 * value).toFixed(2)} %`;
  return [
    `Rod strain ${percent(line.strain)} leaves the straight line of ${line.material}, which ends at ${percent(line.limit)}${line.says === "" ? "" : ` (${line.says})`}: ${
      softened
        ? "its softer line is followed, for loading only; on the way back it pulls less."
        : "it is softer there than planned with, and pulls less on the way back. Give its plateau-modulus, or keep the strain below."
    }`,
  ];
}

/** Names of the parts that are given no expansion: none is taken for them. */
export function untoldExpansions({ sections, conduitLength, conduitExpansion }: ArmDescription): string[] {
  const names = [
    ...sections.flatMap((s) => s.rods.filter((r) => r.material.expansion === undefined).map((r) => r.material.name)),
    ...sections.filter((s) => s.cable.expansion === undefined).map((s) => s.cable.name),
    ...(conduitLength > 0 && conduitExpansion === undefined ? ["conduits"] : []),
  ];
  return [...new Set(names)];
}

/** What the answer takes for granted of temperature and creep. */
export function assumeWarm(facts: Facts): string[] {
  const { temperature, warm, arm } = facts;
  const { sections } = arm.description;
  const creeps = sections.some(({ cable }) => (cable.creep ?? 0) > 0);
  const crept = creeps
    ? ["Cables creep by what their stock allows for, in proportion to their pull: the slack margin has it, the others not."]
    : [];
  if (temperature === undefined) return crept;
  const say = (value: number): string => formatQuantity(value, "temperature", "metric", 4);
  const [low, high] = temperature.arm;
  const still = untoldExpansions(arm.description);
  return [
    `Set up at ${say(temperature.setUp)}, used from ${say(low)} to ${say(high)} with the drives locked as planned: cable load, strain and slack take the worst end, the other margins are as set up.`,
    ...(warm === undefined
      ? []
      : [
          `Temperature alone moves the tool point by up to ${formatQuantity(warm.shift.size, "length", "metric", 2)} (${sayWarm(facts, warm.shift.at)}); the operator steers that off.`,
        ]),
    ...(still.length > 0 ? [`No expansion is given for ${still.join(", ")}: none is taken.`] : []),
    "Moduli do not change with temperature; the arm is as warm all along.",
    ...crept,
  ];
}
