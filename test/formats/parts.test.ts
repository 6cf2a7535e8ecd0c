import { describe, expect, test } from "vitest";
import { readMesh, readSurface, writeSurface } from "../../src/formats/index.ts";
import { binaryStl, encode, pyramid, textStl } from "./files.ts";

const corners = "v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\nv 0 0 1\n";

describe("parts keep the names that a file gives them", () => {
  test("OBJ: what o or g said last; a quad is two triangles; a name that comes again is the same part", () => {
    const text = `${corners}f 1 2 5\no left wall\nf 1 2 3 4\ng  Boss\t2 \nf 1 2 3\no left wall\nf 1 4 5\ng empty\n`;
    const { corners: read, parts } = readMesh("x.obj", encode(text));
    expect(parts).toEqual([
      { name: "", first: 0, count: 1 },
      { name: "left wall", first: 1, count: 3 },
      { name: "Boss 2", first: 4, count: 1 },
    ]);
    // 1 4 5, the last face, follows the quad of its own part
    expect([...read.slice(27, 36)]).toEqual([0, 0, 0, 0, 1, 0, 0, 0, 1]);
    expect([...read.slice(36)]).toEqual([0, 0, 0, 1, 0, 0, 1, 1, 0]);
  });

  test("text STL: each solid; binary STL: none", () => {
    const one = new TextDecoder().decode(textStl(pyramid)).replaceAll("made by hand", "Gehäuse oben");
    const two = new TextDecoder().decode(textStl(pyramid.slice(0, 2))).replaceAll(" made by hand", "");
    expect(readMesh("x.stl", encode(one + two)).parts).toEqual([
      { name: "Gehäuse oben", first: 0, count: 4 },
      { name: "", first: 4, count: 2 },
    ]);
    expect(readMesh("x.stl", binaryStl(pyramid)).parts).toEqual([{ name: "", first: 0, count: 4 }]);
  });

  test("a surface is handed on in bytes without loss", () => {
    const mesh = {
      corners: Float64Array.of(Math.PI, -0, 1e-300, 4, 5, 6, 7, 8, 1 / 3),
      parts: [{ name: "Gehäuse", first: 0, count: 1 }],
      remarks: ["said\nin two lines"],
    };
    const bytes = writeSurface(mesh);
    expect(readSurface(bytes)).toEqual(mesh);
    // bytes that lie anywhere in a larger buffer
    const shifted = new Uint8Array(bytes.length + 3);
    shifted.set(bytes, 3);
    expect(readSurface(shifted.subarray(3))).toEqual(mesh);
  });
});
