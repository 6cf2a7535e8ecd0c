/** An arm file's bytes -> ArmDescription. */
import { type ArmDescription, checkArm } from "../arm/index.ts";
import { type Fault, refuse } from "../base/index.ts";
import { contentHash } from "./content-hash.ts";
import { type ConvertedArm, convertArm, filePathOf, type OpenFault } from "./convert-arm.ts";
import { reading } from "./field.ts";
import type { Value } from "./model.ts";
import { openYaml, placeFaults, shapeYaml } from "./read-file.ts";
import { type ArmFile, armFields } from "./schema-arm.ts";
import { takeQuantities, type UnsureNumber } from "./take-quantities.ts";
import { type Place, placeOf, sayPath, type YamlText } from "./yaml-text.ts";

export interface LoadedArm {
  readonly arm: ArmDescription;
  /** `arm.yaml#sections.pitch` -> value with its range, SI */
  readonly ranges: Readonly<Record<string, Value>>;
  readonly inputs: readonly { readonly file: string; readonly hash: string }[];
}

export type ArmAnswer = { readonly kind: "needs"; readonly paths: readonly string[] } | ({ readonly kind: "arm" } & LoadedArm);

/**
 * @param main     path of the arm file
 * @param files    [path] bytes, as far as the caller has read them
 * @param missing  [path] why a path that was asked for cannot be given
 * @throws InputError with every fault of the first stage that has any
 */
export function loadArm(main: string, files: ReadonlyMap<string, Uint8Array>, missing: ReadonlyMap<string, string> = new Map()): ArmAnswer {
  const bytes = files.get(main);
  if (bytes === undefined) {
    refuseMissing(main, missing);
    return { kind: "needs", paths: [main] };
  }
  const taken = takeArm(draftArm(main, bytes));
  refuse(taken.faults);
  const converted = finishArm(taken);
  refuse(converted.faults);
  return { kind: "arm", arm: converted.arm, ranges: converted.ranges, inputs: [{ file: main, hash: contentHash(bytes) }] };
}

/**
 * Where a path of an arm's description, as `sections[2].rods[0].diameter`, stands in the arm file it was read from.
 *
 * @throws InputError when the file itself is at fault
 */
export function findInArmFile(file: string, bytes: Uint8Array, descriptionPath: string): Place & { readonly path: string } {
  const taken = takeArm(draftArm(file, bytes));
  refuse(taken.faults);
  const path = filePathOf(descriptionPath, convertArm(taken.file, []).sectionPaths);
  return { path: sayPath(path), ...placeOf(taken.yaml, path) };
}

/** Stages one by one, so that a job can gather the faults of its own file and the arm's. */
export interface Draft {
  readonly yaml: YamlText;
  readonly shaped: ArmFile;
}

/** Syntax, version and shape: each throws all its faults, since nothing can follow. */
export function draftArm(file: string, bytes: Uint8Array): Draft {
  const yaml = openYaml(file, bytes);
  return { yaml, shaped: shapeYaml(armFields(reading), yaml) };
}

interface TakenArm {
  readonly yaml: YamlText;
  readonly file: ArmFile;
  readonly ranges: Readonly<Record<string, Value>>;
  /** [path in the file] */
  readonly unsure: Readonly<Record<string, UnsureNumber>>;
  readonly faults: readonly Fault[];
}

/** @param instead  as `takeQuantities` */
export function takeArm({ yaml, shaped }: Draft, instead?: ReadonlyMap<string, number>): TakenArm {
  const taken = takeQuantities(shaped, yaml, instead);
  if ("value" in taken) return { yaml, file: taken.value, ranges: nameRanges(yaml.file, taken.ranges), unsure: taken.unsure, faults: [] };
  return { yaml, file: shaped, ranges: {}, unsure: {}, faults: taken };
}

interface FinishedArm extends ConvertedArm {
  readonly ranges: Readonly<Record<string, Value>>;
  readonly faults: readonly Fault[];
}

/** Conversion and what the arm itself says of its description. */
export function finishArm({ yaml, file, ranges }: TakenArm): FinishedArm {
  const open: OpenFault[] = [];
  const converted = convertArm(file, open);
  if (open.length > 0) return { ...converted, ranges, faults: placeFaults(open, yaml) };
  return { ...converted, ranges, faults: placeArmFaults(checkArm(converted.arm), converted, yaml) };
}

/** The arm's own faults at their lines; a pattern that repeats repeats its faults, so each kind is said three times at most. */
function placeArmFaults(found: readonly Fault[], converted: ConvertedArm, yaml: YamlText): Fault[] {
  const groups = new Map<string, { readonly shown: Fault[]; readonly said: Set<string> }>();
  for (const fault of found) {
    const path = filePathOf(fault.path, converted.sectionPaths);
    const key = `${sayPath(path)} ${fault.code}`;
    const group = groups.get(key) ?? { shown: [], said: new Set() };
    groups.set(key, group);
    if (group.said.has(fault.problem)) continue;
    group.said.add(fault.problem);
    if (group.shown.length < 3) group.shown.push({ ...fault, path: sayPath(path), ...placeOf(yaml, path) });
  }
  return [...groups.values()].flatMap(({ shown, said }) => {
    const more = said.size - shown.length;
    return more === 0
      ? shown
      : shown.map((fault, k) => (k < 2 ? fault : { ...fault, problem: `${fault.problem} ${more} more are like it.` }));
  });
}

/** @returns the ranges under names that several files can share */
export function nameRanges(file: string, ranges: Readonly<Record<string, Value>>): Record<string, Value> {
  return Object.fromEntries(Object.entries(ranges).map(([path, value]) => [`${file}#${path}`, value]));
}

export function refuseMissing(path: string, missing: ReadonlyMap<string, string>): void {
  const reason = missing.get(path);
  if (reason === undefined) return;
  refuse([
    {
      code: "file.missing",
      path: "",
      file: path,
      received: path,
      problem: `cannot be read: ${reason}.`,
      hint: "Name a file that is there.",
    },
  ]);
}
