/** The arm files of a folder. What cannot be read is named with its faults and stops no other. */
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { join, relative, resolve } from "node:path";
import { type Fault, InputError, refuse } from "../../src/base/index.ts";
import type { RackArm, RackEntry } from "../../src/study/index.ts";
import { openArm } from "./read-files.ts";

export interface ReadRack {
  readonly arms: readonly RackArm[];
  readonly faulty: readonly RackEntry[];
}

/**
 * Paths of the arm files from the folder: YAML files right in it, and an arm.yaml in each folder right below it.
 *
 * @param job  path of the job file or its folder: a job is no arm if it lies there
 * @throws InputError when there is no such folder, or no arm file in it; the system's own errors pass through
 */
function listArms(folder: string, job: string): string[] {
  const hint = "Name a folder with arm files (*.yaml), or with a folder for each arm that holds an arm.yaml.";
  const there = statSync(folder, { throwIfNoEntry: false });
  if (there?.isDirectory() !== true) {
    const problem = there === undefined ? "is not there." : "is a file, not a folder.";
    refuse([{ code: "file.missing", path: "", file: folder, problem, hint }]);
  }
  const names = readdirSync(folder, { withFileTypes: true })
    .flatMap((entry) => {
      if (entry.isDirectory()) return existsSync(join(folder, entry.name, "arm.yaml")) ? [join(entry.name, "arm.yaml")] : [];
      return /\.ya?ml$/i.test(entry.name) ? [entry.name] : [];
    })
    .filter((name) => ![resolve(job), resolve(job, "job.yaml")].includes(resolve(folder, name)))
    .sort();
  if (names.length === 0) refuse([{ code: "file.missing", path: "", file: folder, problem: "holds no arm file.", hint }]);
  return names;
}

/** Their bytes as they are. @throws as `readRack` */
export function readRackFiles(folder: string, job: string): Map<string, Uint8Array> {
  return new Map(listArms(folder, job).map((name) => [name.replaceAll("\\", "/"), new Uint8Array(readFileSync(join(folder, name)))]));
}

/** Each arm read. @param job  path of the job file or its folder @throws as `listArms` */
export function readRack(folder: string, job: string): ReadRack {
  const names = listArms(folder, job);
  const arms: RackArm[] = [];
  const faulty: RackEntry[] = [];
  for (const name of names) {
    const file = name.replaceAll("\\", "/");
    try {
      const { arm, ranges, inputs } = openArm(join(folder, name));
      // by their place in the rack, so that two arms are told apart
      const own = (path: string): string => relative(folder, join(folder, name, "..", path)).replaceAll("\\", "/");
      const named = Object.entries(ranges).map(([path, value]) => [
        own(path.split("#")[0] as string) + path.slice(path.indexOf("#")),
        value,
      ]);
      const placed = inputs.map((input) => ({ ...input, file: own(input.file) }));
      arms.push({ file, loaded: { arm, ranges: Object.fromEntries(named), inputs: placed } });
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      faulty.push({ kind: "faulty", file, faults: error.faults as readonly Fault[] });
    }
  }
  return { arms, faulty };
}
