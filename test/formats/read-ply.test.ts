import { PLYLoader } from "three/examples/jsm/loaders/PLYLoader.js";
import { describe, expect, test } from "vitest";
import { readPly } from "../../src/formats/index.ts";
import { bufferOf, codeOf, encode, ply } from "./files.ts";

const formats = ["ascii", "binary_little_endian", "binary_big_endian"] as const;

describe("PLY", () => {
  test.each(formats)("%s: quads are cut, other elements and properties passed over", (format) => {
    const { corners, remarks } = readPly(ply(format));
    expect(corners.length).toBe(5 * 9);
    expect(remarks).toEqual([]);
    // the triangle comes last, as written
    expect([...corners.subarray(36)]).toEqual([1, 0, 1, 0.25, 0.5, 2, 1, 1, 1]);
    // both quads have area 1
    let area = 0;
    for (let k = 0; k < 36; k += 9) {
      const [x, y, z] = [0, 1, 2].map((i) => {
        const [j, l] = [(i + 1) % 3, (i + 2) % 3];
        const side = (c: number, axis: number): number => corners[k + c + axis]! - corners[k + axis]!;
        return side(3, j) * side(6, l) - side(3, l) * side(6, j);
      }) as [number, number, number];
      area += Math.hypot(x, y, z) / 2;
    }
    expect(area).toBeCloseTo(2, 14);
  });

  test("three kinds, one surface", () => {
    const [first, ...others] = formats.map((format) => [...readPly(ply(format)).corners]);
    for (const other of others) expect(other).toEqual(first);
    expect([...readPly(ply("ascii", "\r\n")).corners]).toEqual(first);
  });

  test.each(formats)("%s: triangles as a general 3D library reads them", (format) => {
    const rows = "0 0 0\n1.5 0 0\n0 2.25 0\n0 0 -3\n";
    const head = `ply\nformat ${format} 1.0\nelement vertex 4\nproperty float x\nproperty float y\nproperty float z\nelement face 2\nproperty list uchar int vertex_index\nend_header\n`;
    let bytes = encode(`${head}${rows}3 0 1 2\n3 3 1 0\n`);
    if (format !== "ascii") {
      const little = format === "binary_little_endian";
      bytes = new Uint8Array(head.length + 48 + 26);
      bytes.set(encode(head));
      const view = new DataView(bytes.buffer);
      rows.trim().split(/\s/).forEach((word, k) => view.setFloat32(head.length + 4 * k, Number(word), little)); // biome-ignore format: one row
      [[0, 1, 2], [3, 1, 0]].forEach((face, f) => {
        view.setUint8(head.length + 48 + 13 * f, 3);
        face.forEach((corner, c) => view.setInt32(head.length + 48 + 13 * f + 1 + 4 * c, corner, little));
      }); // biome-ignore format: bytes
    }
    const geometry = new PLYLoader().parse(bufferOf(bytes));
    const position = geometry.getAttribute("position").array;
    const theirs = [...geometry.index!.array].flatMap((k) => [position[3 * k]!, position[3 * k + 1]!, position[3 * k + 2]!]);
    expect([...readPly(bytes).corners]).toEqual(theirs);
  });
});

describe("a dirty PLY", () => {
  test("cut off anywhere before the last face ends", () => {
    for (const format of formats) {
      const bytes = ply(format);
      // the element edge after the faces is not needed
      const end = bytes.length - (format === "ascii" ? 3 : 4);
      for (let k = 5; k < end; k++) expect(codeOf(() => readPly(bytes.subarray(0, k)))).toMatch(/^mesh\.(truncated|index)$/);
    }
  });

  const text = new TextDecoder().decode(ply("ascii"));
  test.each([
    ["empty", "", "mesh.empty"],
    ["no PLY", "plywood\n", "mesh.content"],
    ["corners alone", text.replace("element face 3", "element face 0"), "mesh.empty"],
    ["no faces", text.replace("element face", "element strip"), "mesh.empty"],
    ["a format of its own", text.replace("ascii", "zip"), "mesh.content"],
    ["a type of its own", text.replace("double", "quadruple"), "mesh.content"],
    ["a count that is none", text.replace("vertex 7", "vertex -7"), "mesh.content"],
    ["a header without end", text.replace("end_header", `comment ${"x".repeat(70_000)}`), "mesh.content"],
    ["corners without z", text.replace("float32 z", "float32 depth"), "mesh.content"],
    ["faces without corners", text.replace("vertex_indices", "texture"), "mesh.content"],
    ["a corner that is not there", text.replace("4 0 1 2 3", "4 0 1 2 7"), "mesh.index"],
    ["half a corner", text.replace("4 0 1 2 3", "4 0 1 2 2.5"), "mesh.index"],
    ["a word for a number", text.replace("0.25", "quarter"), "mesh.content"],
    ["NaN", text.replace("0.25", "nan"), "mesh.number"],
    ["a count beyond all bytes", text.replace("vertex 7", "vertex 4000000000"), "mesh.truncated"],
  ])("%s", (_, written, code) => {
    expect(codeOf(() => readPly(encode(written)))).toBe(code);
  });
});
