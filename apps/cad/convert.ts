/** A CAD file's bytes -> triangles with names, through the CAD kernel that the caller has loaded. It blocks: for a thread of its own. */
import { gatherParts, type NamedRun, writeSurface } from "../../src/formats/index.ts";
import type { SurfaceAsk } from "../../src/job/index.ts";
import type { CadKernel, KernelNode, KernelResult } from "./kernel.ts";

/** Bytes as `writeSurface` makes them, or why there are none, without a full stop. */
export type SurfaceAnswer = Uint8Array | string;

/** Greatest angle between two neighbouring triangles of one face, rad: fine enough for a curve far smaller than the deflection's own pace. */
const angularDeflection = 0.5;

/** @param said what the kernel has said so far; cleared @throws what the kernel throws when it runs out of memory or breaks down */
export function convertCad(kernel: CadKernel, { kind, deflection }: SurfaceAsk, bytes: Uint8Array, said: string[]): SurfaceAnswer {
  said.length = 0;
  const read = { step: kernel.ReadStepFile, iges: kernel.ReadIgesFile, brep: kernel.ReadBrepFile }[kind];
  const result = read.call(kernel, bytes, {
    linearUnit: "millimeter",
    linearDeflectionType: "absolute_value",
    linearDeflection: deflection,
    angularDeflection,
  });
  const complaints = sayComplaints(said);
  if (!result.success) return complaints ?? "the CAD kernel could not read it, and says no more";
  const { corners, runs, remarks } = gatherTriangles(result);
  if (corners.length === 0) return complaints ?? "the CAD kernel found no surface in it";
  const lost = kind === "step" ? countFaces(bytes) - result.meshes.reduce((sum, mesh) => sum + mesh.brep_faces.length, 0) : 0;
  if (lost > 0) remarks.push(`${lost} face(s) of the file were not read: where they belong is a hole, and a hole is a way through`);
  if (complaints !== undefined) remarks.push(`${complaints}: look whether the surface is whole`);
  return writeSurface({ ...gatherParts(corners, runs), remarks });
}

/** The kernel writes its complaints as lines of text, with asterisks round them; it goes on all the same where it can. */
export function sayComplaints(said: readonly string[]): string | undefined {
  const lines = said.map((line) => line.replace(/\*+/g, " ").replace(/\s+/g, " ").trim()).filter((line) => /\berr/i.test(line));
  if (lines.length === 0) return undefined;
  const more = lines.length > 3 ? ` and ${lines.length - 3} more of the kind` : "";
  return `the CAD kernel says: ${lines.slice(0, 3).join("; ")}${more}`.replace(/[ .]+$/, "");
}

/** Faces that a STEP file defines; an assembly may show each more than once, never less. */
function countFaces(bytes: Uint8Array): number {
  let count = 0;
  const step = 2 ** 24;
  // read piece by piece, a word's length over: a large file becomes no single string
  for (let from = 0; from < bytes.length; from += step) {
    const text = new TextDecoder("latin1").decode(bytes.subarray(from, from + step + 16));
    for (const { index } of text.matchAll(/=\s*(ADVANCED_FACE|FACE_SURFACE)\s*\(/g)) if (index < step) count++;
  }
  return count;
}

function gatherTriangles({ root, meshes }: KernelResult): { corners: Float64Array; runs: NamedRun[]; remarks: string[] } {
  const order: { mesh: number; name: string }[] = [];
  const bare: string[] = [];
  const walk = (node: KernelNode, above: string): void => {
    const own = node.name.trim() || above;
    for (const mesh of node.meshes) order.push({ mesh, name: meshes[mesh]?.name.trim() || own });
    if (node.meshes.length === 0 && node.children.length === 0 && own !== "") bare.push(own);
    for (const child of node.children) walk(child, own);
  };
  walk(root, "");
  // solids of one nameless whole are told apart by number
  const nameless = order.every(({ name }) => name === "") && order.length > 1;
  let empty = 0;
  for (const { brep_faces } of meshes) for (const { first, last } of brep_faces) if (last < first) empty++;
  let count = 0;
  for (const { mesh } of order) count += (meshes[mesh]?.index.array.length ?? 0) / 3;
  const corners = new Float64Array(9 * count);
  const runs: NamedRun[] = [];
  let at = 0;
  order.forEach(({ mesh, name }, k) => {
    const places = meshes[mesh]?.attributes.position.array ?? [];
    const index = meshes[mesh]?.index.array ?? [];
    for (let i = 0; i < index.length; i++) {
      const from = 3 * (index[i] as number);
      corners[at++] = places[from] as number;
      corners[at++] = places[from + 1] as number;
      corners[at++] = places[from + 2] as number;
    }
    runs.push({ name: nameless ? `solid ${k + 1}` : name, count: index.length / 3 });
  });
  const remarks: string[] = [];
  if (empty > 0)
    remarks.push(`${empty} face(s) could not be made into triangles: where they belong is a hole, and a hole is a way through`);
  if (bare.length > 0) remarks.push(`without a surface in the file: ${[...new Set(bare)].slice(0, 8).join(", ")}`);
  return { corners, runs, remarks };
}
