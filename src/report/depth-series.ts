/** Numbers by depth, read off the records of a plan: one place for figures and tables. */
import type { ArmModel, Section } from "../arm/index.ts";
import type { DepthRecord } from "../insertion/index.ts";

export interface Extreme {
  readonly value: number;
  /** span or cable that has it */
  readonly index: number;
}

/** The greatest tension anywhere from a drive to its cable's end, friction at its highest, as its margin counts it. */
export function strongest(record: DepthRecord): Extreme {
  return greatest(record.rub?.most ?? record.tension);
}

/** The least tension of all cables. */
export function slackest(record: DepthRecord): Extreme {
  const found = greatest(record.tension.map((value) => -value));
  return { value: -found.value, index: found.index };
}

/** Joint with the greatest share of its own limit. */
export function worstJoint(arm: ArmModel, record: DepthRecord): Extreme & { readonly limit: number } {
  const { index } = greatest(record.jointAngle.map((value, i) => value / sectionOf(arm, i).jointLimit));
  return { value: record.jointAngle[index]!, index, limit: sectionOf(arm, index).jointLimit };
}

/** Joint whose rods carry the greatest share of their allowed strain. */
export function worstStrain(arm: ArmModel, record: DepthRecord): Extreme & { readonly limit: number; readonly repeated: number } {
  const { index } = greatest(record.strain.map((value, i) => value / allowed(sectionOf(arm, i))));
  const section = sectionOf(arm, index);
  return {
    value: record.strain[index]!,
    index,
    limit: allowed(section),
    repeated: Math.min(...section.rods.map((rod) => rod.material.fatigueStrain)),
  };
}

/** Clearance beyond what is asked for, guaranteed at this depth and on the way to it from the depth before. */
export function sureSpare(record: DepthRecord): number {
  return Math.min(record.spare, record.sweptSpare);
}

export function tipTwist(record: DepthRecord): number {
  return record.twist[record.twist.length - 1]!;
}

function sectionOf(arm: ArmModel, span: number): Section {
  return arm.description.sections[arm.sectionOfSpan[span]!]!;
}

function allowed(section: Section): number {
  return Math.min(...section.rods.map((rod) => rod.material.allowedStrain));
}

function greatest(values: ArrayLike<number>): Extreme {
  let index = 0;
  for (let k = 1; k < values.length; k++) if (values[k]! > values[index]!) index = k;
  return { value: values[index]!, index };
}
