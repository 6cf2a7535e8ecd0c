/** A job file, its arm file and its meshes -> one Job in SI. Bytes come from the caller: nothing is opened here. */
import { type Fault, InputError, refuse } from "../base/index.ts";
import type { MeshData } from "../formats/index.ts";
import { checkJob } from "./check-job.ts";
import { contentHash } from "./content-hash.ts";
import type { OpenFault } from "./convert-arm.ts";
import { convertJob } from "./convert-job.ts";
import { reading } from "./field.ts";
import { pathInside } from "./inside-folder.ts";
import { type Draft, draftArm, finishArm, nameRanges, refuseMissing, takeArm } from "./load-arm.ts";
import type { Job } from "./model.ts";
import { openYaml, placeFaults, shapeYaml } from "./read-file.ts";
import { askSurfaces, type Meshes, type NamedMesh, readMeshes, type SurfaceAsk } from "./read-meshes.ts";
import { sayScale } from "./say-scale.ts";
import { type JobFile, jobFields } from "./schema-job.ts";
import { takeQuantities } from "./take-quantities.ts";
import { type PathStep, placeOf, sayPath, type YamlText } from "./yaml-text.ts";

export type JobAnswer =
  /** files to read, or, once all are there, surfaces of CAD files to be made of triangles */
  | { readonly kind: "needs"; readonly paths: readonly string[]; readonly surfaces?: readonly SurfaceAsk[] }
  | { readonly kind: "job"; readonly job: Job };

/**
 * @param main     path of the job file; paths that it names are taken from its folder
 * @param files    [path] bytes, as far as the caller has read them; [key of a surface] its triangles, as `writeSurface` makes them
 * @param missing  [path, or key of a surface] why what was asked for cannot be given
 * @returns the paths and surfaces still needed, or the job
 * @throws InputError with every fault of the first stage that has any: syntax, version, shape, files, quantities, cross-field
 */
export function loadJob(main: string, files: ReadonlyMap<string, Uint8Array>, missing: ReadonlyMap<string, string> = new Map()): JobAnswer {
  const opened = openJobFiles(main, files, missing);
  return opened.kind === "needs" ? opened : { kind: "job", job: finishJob(opened) };
}

/** A job's files read and shaped, its meshes triangles; the numbers are still to be taken. */
export interface OpenedFiles {
  readonly kind: "opened";
  readonly yaml: YamlText;
  readonly shaped: JobFile;
  readonly arm: Draft;
  readonly meshes: Meshes;
  readonly inputs: Job["inputs"];
}

/** @throws InputError of syntax, version, shape, files, quantities, meshes */
export function openJobFiles(
  main: string,
  files: ReadonlyMap<string, Uint8Array>,
  missing: ReadonlyMap<string, string> = new Map(),
): OpenedFiles | (JobAnswer & { readonly kind: "needs" }) {
  const bytes = files.get(main);
  if (bytes === undefined) {
    refuseMissing(main, missing);
    return { kind: "needs", paths: [main] };
  }
  const yaml = openYaml(main, bytes);
  const shaped = shapeYaml(jobFields(reading), yaml);
  const named = nameFiles(main, shaped, yaml, missing);
  const paths = [...new Set(named.map(({ path }) => path))];
  const needs = paths.filter((path) => !files.has(path));
  if (needs.length > 0) return { kind: "needs", paths: needs };

  const armPath = (named[0] as NamedFile).path;
  const arm = draftArm(armPath, files.get(armPath) as Uint8Array);
  const taken = takeQuantities(shaped, yaml);
  const armTaken = takeArm(arm);
  if (!("value" in taken)) throw new InputError([...taken, ...armTaken.faults]);
  refuse(armTaken.faults);

  const ofBodies = named.filter((one): one is NamedMesh => one.body !== undefined);
  const surfaces = askSurfaces(ofBodies, taken.value.bodies, files, missing, yaml);
  if (surfaces.length > 0) return { kind: "needs", paths: [], surfaces };
  const meshes = readMeshes(ofBodies, taken.value.bodies, files, yaml);
  const inputs = [main, ...paths].map((file) => ({ file, hash: contentHash(files.get(file) as Uint8Array) }));
  return { kind: "opened", yaml, shaped, arm, meshes, inputs };
}

/**
 * @param instead  numbers to take in the place of those written, by path in the job's file and in the arm's, SI
 * @throws InputError of quantities, meshes, cross-field
 */
export function finishJob({ yaml, shaped, arm, meshes, inputs }: OpenedFiles, instead?: InsteadNumbers): Job {
  const taken = takeQuantities(shaped, yaml, instead?.job);
  const armTaken = takeArm(arm, instead?.arm);
  if (!("value" in taken)) throw new InputError([...taken, ...armTaken.faults]);
  refuse(armTaken.faults);
  const faults: OpenFault[] = [];
  const { entries, leftOut, ...converted } = convertJob(taken.value, (k) => meshes.meshes.get(k) ?? noMesh, faults);
  const finished = finishArm(armTaken);
  if (faults.length === 0 && finished.faults.length === 0) faults.push(...checkJob(converted, entries, taken.value, finished.arm));
  // a mesh that could not be read is one fault, not a body without triangles as well
  refuse([...(meshes.faults.length > 0 ? meshes.faults : placeFaults(faults, yaml)), ...finished.faults]);
  return {
    name: taken.value.name,
    arm: finished.arm,
    ...converted,
    guideLength: taken.value["guide-length"],
    ranges: { ...nameRanges(yaml.file, taken.ranges), ...finished.ranges },
    inputs,
    remarks: [...meshes.remarks, ...leftOut, ...sayScale(converted, entries, taken.value.bodies)],
  };
}

export interface InsteadNumbers {
  readonly job: ReadonlyMap<string, number>;
  readonly arm: ReadonlyMap<string, number>;
}

interface NamedFile {
  readonly path: string;
  readonly at: readonly PathStep[];
  /** index of the body that names it; none for the arm */
  readonly body?: number;
}

/** The arm's file first, then the meshes'. */
function nameFiles(main: string, job: JobFile, yaml: YamlText, missing: ReadonlyMap<string, string>): NamedFile[] {
  const faults: Fault[] = [];
  const named: NamedFile[] = [];
  const name = (written: string, at: readonly PathStep[], body?: number): void => {
    const path = pathInside(main, written);
    const place = { path: sayPath(at), received: written, ...placeOf(yaml, at) };
    if (typeof path !== "string") {
      faults.push({ code: "file.path", ...path, ...place });
      return;
    }
    const reason = missing.get(path);
    if (reason !== undefined) {
      faults.push({
        code: "file.missing",
        problem: `is ${written}, which cannot be read: ${reason}.`,
        hint: "Name a file inside the job's folder that is there.",
        ...place,
      });
    }
    named.push(body === undefined ? { path, at } : { path, at, body });
  };
  name(job.arm, ["arm"]);
  job.bodies.forEach((body, k) => {
    if (body.shape === "mesh") name(body.file, ["bodies", k, "file"], k);
  });
  refuse(faults);
  return named;
}

const noMesh: MeshData = { corners: new Float64Array(0), parts: [], remarks: [] };
