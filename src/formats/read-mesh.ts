/** Bytes of a mesh file of any kind that is read, told by its content first and its name second -> triangles. */
import { inspectMesh } from "./inspect-mesh.ts";
import { type MeshData, refuseMesh } from "./mesh-data.ts";
import { readGlb } from "./read-glb.ts";
import { readObj } from "./read-obj.ts";
import { readPly } from "./read-ply.ts";
import { readStl } from "./read-stl.ts";
import { sayBytes } from "./scan-text.ts";

/**
 * @param name  the file's name; its ending decides where the content does not
 * @throws InputError `mesh.empty`, `mesh.truncated`, `mesh.content`, `mesh.index`, `mesh.number`
 */
export function readMesh(name: string, bytes: Uint8Array): MeshData {
  if (bytes.length === 0) refuseMesh("mesh.empty", "is empty.", "Copy or export it again.");
  const ending = /\.([a-z0-9]+)$/i.exec(name)?.[1]?.toLowerCase() ?? "";
  const mesh = readerOf(ending, bytes)(bytes);
  return { ...mesh, remarks: [...mesh.remarks, ...inspectMesh(mesh.corners)] };
}

function readerOf(ending: string, bytes: Uint8Array): (bytes: Uint8Array) => MeshData {
  const start = sayBytes(bytes, 0, Math.min(bytes.length, 512));
  if (start.startsWith("glTF") || ending === "glb") return readGlb;
  if (/^ply[ \t]*\r?\n/.test(start)) return readPly;
  if (ending === "stl") return readStl;
  if (ending === "obj") return readObj;
  if (ending === "ply") return readPly;
  if (/^\s*solid\s/i.test(start)) return readStl;
  if (/^(\s*#[^\n]*\n|\s)*(v|o|g|mtllib)\s/.test(start)) return readObj;
  if (bytes.length >= 84) {
    const count = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(80, true);
    if (bytes.length === 84 + 50 * count) return readStl;
  }
  if (ending === "gltf" || /^\s*\{/.test(start))
    return refuseMesh("mesh.content", "is glTF in text.", "Export it as GLB: one file, nothing beside it.");
  return refuseMesh("mesh.content", "is no STL, OBJ, PLY or GLB.", "Export the surface as one of the four, or name a STEP file .step.");
}
