/** The files that bodies name -> triangles. A CAD file's are made by the caller, whose kernel they need: here is what to ask of it. */
import { type Fault, InputError } from "../base/index.ts";
import { type CadKind, cadKindOf, checkCadText, inspectMesh, type MeshData, readMesh, readSurface } from "../formats/index.ts";
import { contentHash } from "./content-hash.ts";
import { type MeshFile, metresOf, usualTolerance } from "./convert-mesh.ts";
import type { BodyFile } from "./schema-job.ts";
import { type PathStep, placeOf, sayPath, type YamlText } from "./yaml-text.ts";

/** A surface to be made of triangles. The answer is given among the files, under `key`, as `writeSurface` makes it. */
export interface SurfaceAsk {
  /** tells content, kind and fineness: the same for the same surface, whatever its file is called */
  readonly key: string;
  /** path of the file */
  readonly file: string;
  readonly kind: CadKind;
  /** greatest distance between surface and triangles, in the unit of the triangles: mm for STEP and IGES, its own for BREP; > 0 */
  readonly deflection: number;
}

/** A body's file, where its path stands, and the body. */
export interface NamedMesh {
  readonly path: string;
  readonly at: readonly PathStep[];
  readonly body: number;
}

export interface Meshes {
  /** [body] */
  readonly meshes: ReadonlyMap<number, MeshData>;
  readonly faults: readonly Fault[];
  readonly remarks: readonly string[];
}

/**
 * @returns the surfaces that are still to be made, each once
 * @throws InputError `mesh.*` where a text is broken, `job.body` where it cannot be known how finely to go
 */
export function askSurfaces(
  named: readonly NamedMesh[],
  bodies: readonly BodyFile[],
  files: ReadonlyMap<string, Uint8Array>,
  missing: ReadonlyMap<string, string>,
  yaml: YamlText,
): SurfaceAsk[] {
  const asks = new Map<string, SurfaceAsk>();
  const faults: Fault[] = [];
  for (const { path, at, body } of named) {
    const bytes = files.get(path) as Uint8Array;
    const ask = askOf(path, bodies[body] as MeshFile, bytes);
    if (ask === undefined) continue;
    const own = place(yaml, at);
    if (typeof ask === "string") {
      faults.push({
        code: "job.body",
        ...place(yaml, [...at.slice(0, -1), ask]),
        problem: ask === "unit" ? "is missing, and a BREP file does not say its own." : "is 0 mm, and no triangles follow a curve exactly.",
        hint: ask === "unit" ? `Give one of: ${Object.keys(metresOf).join(", ")}.` : "Give a length above 0, as 0.1 mm.",
      });
      continue;
    }
    if (asks.has(ask.key) || files.has(ask.key)) continue;
    asks.set(ask.key, ask);
    const reason = missing.get(ask.key);
    try {
      checkCadText(ask.kind, bytes);
      if (reason === undefined) continue;
      faults.push({
        code: "mesh.cad",
        problem: `${path} was not made into triangles: ${reason}.`,
        hint: "Export it again as STEP from where it was made, or as STL. A coarser tolerance takes less time and memory.",
        ...own,
      });
    } catch (error) {
      faults.push(...faultsOf(error, path, own));
    }
  }
  if (faults.length > 0) throw new InputError(faults);
  return [...asks.values()];
}

/** Each file is read once, however many bodies show it. */
export function readMeshes(
  named: readonly NamedMesh[],
  bodies: readonly BodyFile[],
  files: ReadonlyMap<string, Uint8Array>,
  yaml: YamlText,
): Meshes {
  const meshes = new Map<number, MeshData>();
  const read = new Map<string, MeshData>();
  const faults: Fault[] = [];
  const remarks: string[] = [];
  for (const { path, at, body } of named) {
    try {
      const ask = askOf(path, bodies[body] as MeshFile, files.get(path) as Uint8Array);
      const key = typeof ask === "object" ? ask.key : path;
      let found = read.get(key);
      if (found === undefined) {
        found = typeof ask === "object" ? readMade(files.get(ask.key) as Uint8Array) : readMesh(path, files.get(path) as Uint8Array);
        read.set(key, found);
        remarks.push(...found.remarks.map((remark) => `${path}: ${remark}`));
      }
      meshes.set(body, found);
    } catch (error) {
      faults.push(...faultsOf(error, path, place(yaml, at)));
    }
  }
  return { meshes, faults, remarks };
}

function readMade(bytes: Uint8Array): MeshData {
  const mesh = readSurface(bytes);
  return { ...mesh, remarks: [...mesh.remarks, ...inspectMesh(mesh.corners)] };
}

/** @returns nothing for a file of triangles, or the key of what is wrong */
function askOf(path: string, body: MeshFile, bytes: Uint8Array): SurfaceAsk | "unit" | "tolerance" | undefined {
  const kind = cadKindOf(path);
  if (kind === undefined) return undefined;
  const tolerance = body.tolerance ?? usualTolerance;
  if (!(tolerance > 0)) return "tolerance";
  if (kind === "brep" && body.unit === undefined) return "unit";
  const deflection = tolerance / (kind === "brep" ? metresOf[body.unit ?? "mm"] : metresOf.mm);
  return { key: `surface ${contentHash(bytes)} ${kind} ${deflection}`, file: path, kind, deflection };
}

function faultsOf(error: unknown, path: string, own: ReturnType<typeof place>): Fault[] {
  if (!(error instanceof InputError)) throw error;
  return error.faults.map((fault) => ({ ...fault, problem: `${path} ${fault.problem}`, ...own }));
}

function place(yaml: YamlText, at: readonly PathStep[]) {
  return { path: sayPath(at), ...placeOf(yaml, at) };
}
