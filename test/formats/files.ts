/** Mesh files written by hand, byte by byte. */
import { InputError } from "../../src/base/index.ts";

export type Triangle = readonly number[];

/** A pyramid over a triangle: four faces, closed. */
export const pyramid: readonly Triangle[] = [
  [0, 0, 0, 0, 3, 0, 2, 0, 0],
  [0, 0, 0, 2, 0, 0, 0.5, 0.5, 1.25],
  [2, 0, 0, 0, 3, 0, 0.5, 0.5, 1.25],
  [0, 3, 0, 0, 0, 0, 0.5, 0.5, 1.25],
];

export function encode(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}

export function textStl(triangles: readonly Triangle[], newline = "\n", say: (value: number) => string = String): Uint8Array {
  const lines = ["solid made by hand"];
  for (const t of triangles) {
    lines.push("facet normal 0 0 0", "  outer loop");
    for (let c = 0; c < 9; c += 3)
      lines.push(
        `    vertex ${t
          .slice(c, c + 3)
          .map(say)
          .join(" ")}`,
      );
    lines.push("  endloop", "endfacet");
  }
  return encode([...lines, "endsolid made by hand", ""].join(newline));
}

export function binaryStl(triangles: readonly Triangle[], head = "a header of eighty bytes"): Uint8Array {
  const bytes = new Uint8Array(84 + 50 * triangles.length);
  bytes.set(encode(head).subarray(0, 80));
  const view = new DataView(bytes.buffer);
  view.setUint32(80, triangles.length, true);
  triangles.forEach((t, k) => {
    t.forEach((value, i) => {
      view.setFloat32(84 + 50 * k + 12 + 4 * i, value, true);
    });
  });
  return bytes;
}

/** Two quads and a triangle as PLY, with more properties than anyone needs. */
export function ply(format: "ascii" | "binary_little_endian" | "binary_big_endian", newline = "\n"): Uint8Array {
  const places = [[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0], [1, 0, 1], [1, 1, 1], [0.25, 0.5, 2]]; // biome-ignore format: one row
  const faces = [[0, 1, 2, 3], [1, 4, 5, 2], [4, 6, 5]]; // biome-ignore format: one row
  const head = [
    "ply", `format ${format} 1.0`, "comment made by hand", "element vertex 7", "property uchar red", "property double x", "property float y",
    "property float32 z", "property list uchar short marks", "element face 3", "property int16 flag", "property list uint8 int vertex_indices",
    "element edge 1", "property int a", "end_header", "",
  ].join(newline); // biome-ignore format: a header
  if (format === "ascii") {
    const rows = [...places.map((p) => `200 ${p.join(" ")} 2 -7 8`), ...faces.map((f) => `-3 ${f.length} ${f.join(" ")}`), "5"];
    return encode(head + rows.join(newline) + newline);
  }
  const little = format === "binary_little_endian";
  const bytes = new Uint8Array(2000);
  const view = new DataView(bytes.buffer);
  bytes.set(encode(head));
  let at = head.length;
  for (const p of places) {
    view.setUint8(at, 200);
    view.setFloat64(at + 1, p[0]!, little);
    view.setFloat32(at + 9, p[1]!, little);
    view.setFloat32(at + 13, p[2]!, little);
    view.setUint8(at + 17, 2);
    view.setInt16(at + 18, -7, little);
    view.setInt16(at + 20, 8, little);
    at += 22;
  }
  for (const f of faces) {
    view.setInt16(at, -3, little);
    view.setUint8(at + 2, f.length);
    at += 3;
    for (const corner of f) {
      view.setInt32(at, corner, little);
      at += 4;
    }
  }
  view.setInt32(at, 5, little);
  return bytes.slice(0, at + 4);
}

/** The code of the fault that reading raises; "none" where it raises none. */
export function codeOf(read: () => unknown): string {
  try {
    read();
    return "none";
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    if (error.faults.length !== 1) throw new Error("one fault was expected");
    return error.faults[0]!.code;
  }
}

/** A buffer of its own, for readers that take no part of one. */
export function bufferOf(bytes: Uint8Array): ArrayBuffer {
  return bytes.slice().buffer as ArrayBuffer;
}
