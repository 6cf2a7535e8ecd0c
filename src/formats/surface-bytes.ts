/**
 * Triangles with names <-> bytes: how a surface made of a CAD file is handed on and kept. Double precision, so that nothing is lost.
 *
 * A line of JSON, filled up with blanks to a multiple of 8 bytes and ended by a line feed, then the corners as little-endian doubles.
 */
import { assert } from "../base/index.ts";
import type { MeshData, MeshPart } from "./mesh-data.ts";

interface Head {
  readonly surface: 1;
  readonly triangles: number;
  readonly parts: readonly MeshPart[];
  readonly remarks: readonly string[];
}

/** @param mesh  parts as `gatherParts` makes them */
export function writeSurface(mesh: MeshData): Uint8Array {
  const head: Head = { surface: 1, triangles: mesh.corners.length / 9, parts: mesh.parts, remarks: mesh.remarks };
  const text = new TextEncoder().encode(JSON.stringify(head));
  const start = 8 * Math.ceil((text.length + 1) / 8);
  const bytes = new Uint8Array(start + 8 * mesh.corners.length);
  bytes.fill(32, 0, start);
  bytes.set(text);
  bytes[start - 1] = 10;
  const view = new DataView(bytes.buffer);
  for (let k = 0; k < mesh.corners.length; k++) view.setFloat64(start + 8 * k, mesh.corners[k]!, true);
  return bytes;
}

/** @param bytes  as `writeSurface` made them: they come from this program, so that anything else is a bug */
export function readSurface(bytes: Uint8Array): MeshData {
  const start = bytes.indexOf(10) + 1;
  const head = JSON.parse(new TextDecoder().decode(bytes.subarray(0, start))) as Head;
  assert(head.surface === 1 && bytes.length === start + 72 * head.triangles, "a surface as it was written");
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const corners = new Float64Array(9 * head.triangles);
  for (let k = 0; k < corners.length; k++) corners[k] = view.getFloat64(start + 8 * k, true);
  return { corners, parts: head.parts, remarks: [...head.remarks] };
}
