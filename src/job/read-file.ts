/** One YAML file of ours through its first stages: syntax, version, shape. Each stage reports all its faults or none. */
import type * as z from "zod";
import { type Fault, refuse } from "../base/index.ts";
import { checkShape } from "./check-shape.ts";
import type { OpenFault } from "./convert-arm.ts";
import { fileVersion } from "./schema-arm.ts";
import { placeOf, readYaml, sayPath, type YamlText } from "./yaml-text.ts";

/** @throws InputError `yaml.*`, `file.*`, `version.*` */
export function openYaml(file: string, bytes: Uint8Array): YamlText {
  const yaml = readYaml(file, bytes);
  if (!("data" in yaml)) {
    refuse(yaml);
    throw new Error("bug: a file that was refused without a fault");
  }
  checkVersion(yaml);
  return yaml;
}

/** @throws InputError `shape.*` */
export function shapeYaml<T>(schema: z.ZodType<T>, yaml: YamlText): T {
  const shaped = checkShape(schema, yaml);
  if ("value" in shaped) return shaped.value;
  refuse(shaped);
  throw new Error("bug: a file that was refused without a fault");
}

/** Gives faults found after conversion their line. */
export function placeFaults(faults: readonly OpenFault[], yaml: YamlText): Fault[] {
  return faults.map(({ at, ...fault }) => {
    const { received, ...rest } = fault;
    return { ...rest, ...(received === undefined ? {} : { received }), path: sayPath(at), ...placeOf(yaml, at) };
  });
}

/**
 * A newer file is refused before anything else of it is judged: its keys may mean what this program cannot know.
 * An older version would be carried over here, step by step; 1 is the first.
 */
function checkVersion(yaml: YamlText): void {
  const version = (yaml.data as Record<string, unknown>)["withy"];
  if (version === fileVersion) return;
  const place = placeOf(yaml, ["withy"]);
  const received = String(version);
  if (version === undefined) {
    refuse([
      {
        code: "version.missing",
        path: "withy",
        ...place,
        problem: "is missing: the file does not say its version.",
        hint: `Begin the file with withy: ${fileVersion}.`,
      },
    ]);
  }
  if (typeof version === "number" && Number.isInteger(version) && version > fileVersion) {
    refuse([
      {
        code: "version.newer",
        path: "withy",
        received,
        ...place,
        problem: `is ${received}, newer than this program reads (${fileVersion}).`,
        hint: "Take a newer Withy. The file was left untouched.",
      },
    ]);
  }
  refuse([
    {
      code: "version.unknown",
      path: "withy",
      received,
      ...place,
      problem: `is ${received}, which is no version.`,
      hint: `Write withy: ${fileVersion}.`,
    },
  ]);
}
