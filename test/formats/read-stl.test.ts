import { STLLoader } from "three/examples/jsm/loaders/STLLoader.js";
import { describe, expect, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { readStl } from "../../src/formats/index.ts";
import { binaryStl, bufferOf, codeOf, encode, pyramid, type Triangle, textStl } from "./files.ts";

const flat = pyramid.flat();

describe("STL", () => {
  test("text and binary give the triangles written", () => {
    expect([...readStl(textStl(pyramid)).corners]).toEqual(flat);
    expect([...readStl(binaryStl(pyramid)).corners]).toEqual(flat);
  });

  test("as a general 3D library reads them, single precision apart, seed 41", () => {
    const random = createRandom(41);
    const triangles: Triangle[] = Array.from({ length: 200 }, () =>
      Array.from({ length: 9 }, () => (random() - 0.5) * 10 ** Math.floor(8 * random() - 4)),
    );
    for (const bytes of [textStl(triangles), binaryStl(triangles)]) {
      const theirs = new STLLoader().parse(bufferOf(bytes)).getAttribute("position").array;
      expect([...readStl(bytes).corners].map(Math.fround)).toEqual([...theirs]);
    }
  });

  test("every way of writing a number is read as the language reads it, seed 42", () => {
    const random = createRandom(42);
    const ways: ((value: number) => string)[] = [
      String, (v) => v.toExponential(), (v) => v.toExponential(17), (v) => v.toFixed(20), (v) => v.toPrecision(21), (v) => `+${Math.abs(v)}`, (v) => v.toExponential(6).toUpperCase(),
      (v) => `${v.toFixed(0)}.`, (v) => `.${Math.floor(Math.abs(v))}e-3`, (v) => `000${Math.abs(v).toFixed(3)}`, () => "123456789012345678901234567890", () => "1e-310", () => "-0",
    ]; // biome-ignore format: a list of ways
    for (const way of ways) {
      for (let k = 0; k < 30; k++) {
        const values = Array.from({ length: 9 }, () => (random() - 0.5) * 10 ** Math.floor(40 * random() - 20));
        const words = values.map(way);
        let next = 0;
        const { corners } = readStl(textStl([values], "\n", () => words[next++]!));
        expect([...corners]).toEqual(words.map(Number));
      }
    }
  });

  test("line ends of either kind, tabs, capitals, several solids, no name", () => {
    expect([...readStl(textStl(pyramid, "\r\n")).corners]).toEqual(flat);
    const text = new TextDecoder().decode(textStl(pyramid));
    expect([...readStl(encode(text.toUpperCase().replaceAll("  ", "\t"))).corners]).toEqual(flat);
    expect([...readStl(encode(`\ufeff${text}${text}`)).corners]).toEqual([...flat, ...flat]);
    expect([...readStl(encode(text.replaceAll(" made by hand", ""))).corners]).toEqual(flat);
  });

  test("a binary file may begin with the word solid", () => {
    expect([...readStl(binaryStl(pyramid, "solid made by hand")).corners]).toEqual(flat);
  });

  test("bytes that lie within a larger buffer are read where they lie", () => {
    for (const bytes of [textStl(pyramid), binaryStl(pyramid)]) {
      const large = new Uint8Array(bytes.length + 13);
      large.set(bytes, 7);
      expect([...readStl(large.subarray(7, 7 + bytes.length)).corners]).toEqual(flat);
    }
  });

  test("more triangles than one block of numbers holds", () => {
    const many = Array.from({ length: 40_000 }, (_, k) => [k, 0, 0, k, 1, 0, k, 0, 1]);
    const { corners } = readStl(textStl(many));
    expect(corners.length).toBe(9 * 40_000);
    expect(corners.every((value, k) => value === many[Math.floor(k / 9)]![k % 9])).toBe(true);
  });
});

describe("a dirty STL", () => {
  const bytes = binaryStl(pyramid);
  const text = new TextDecoder().decode(textStl(pyramid));

  test("empty", () => {
    expect(codeOf(() => readStl(new Uint8Array(0)))).toBe("mesh.empty");
    expect(codeOf(() => readStl(binaryStl([])))).toBe("mesh.empty");
    expect(codeOf(() => readStl(encode("solid\nendsolid\n")))).toBe("mesh.empty");
  });

  test("cut off anywhere: never fewer triangles in silence", () => {
    for (let end = 85; end < bytes.length; end++) expect(codeOf(() => readStl(bytes.subarray(0, end)))).toBe("mesh.truncated");
    // up to here endsolid is not whole; "endsolid" alone, without a name, ends a solid
    const last = text.lastIndexOf("endsolid") + 7;
    for (let end = 20; end <= last; end++) expect(codeOf(() => readStl(encode(text.slice(0, end))))).toBe("mesh.truncated");
  });

  test("no mesh at all", () => {
    for (const junk of ["<html>", "%PDF-1.7 ".repeat(40), "v 0 0 0\n".repeat(60), "solidarity ".repeat(30)])
      expect(codeOf(() => readStl(encode(junk)))).toBe("mesh.content");
    expect(codeOf(() => readStl(encode(text.replace("vertex", "vortex"))))).toBe("mesh.content");
    expect(codeOf(() => readStl(encode(text.replace("vertex 0 3", "vertex 0 three"))))).toBe("mesh.content");
    expect(codeOf(() => readStl(encode(text.replace("  endloop", "  vertex 1 1 1\n  endloop"))))).toBe("mesh.content");
  });

  test("a count at odds with the triangles", () => {
    const more = new Uint8Array(bytes.length + 50);
    more.set(bytes);
    expect(codeOf(() => readStl(more))).toBe("mesh.content");
  });

  test("bytes after the last triangle are told", () => {
    const more = new Uint8Array(bytes.length + 3);
    more.set(bytes);
    expect(readStl(more).remarks).toEqual(["3 bytes after the last triangle were not read"]);
    expect(readStl(encode(`${text}a note\nand another\n`)).remarks).toEqual(["2 lines after the last solid were not read"]);
  });

  test("corners that are not finite", () => {
    for (const bad of [Number.NaN, Infinity, -Infinity]) {
      const triangles = pyramid.map((t, k) => t.map((value, i) => (k === 2 && i === 5 ? bad : value)));
      expect(() => readStl(binaryStl(triangles))).toThrow(/1 coordinate that is not finite.* in triangle 3/);
      expect(codeOf(() => readStl(binaryStl(triangles)))).toBe("mesh.number");
      expect(codeOf(() => readStl(textStl(triangles, "\n", (v) => (Number.isNaN(v) ? "-nan(ind)" : String(v)))))).toBe("mesh.number");
    }
    expect(codeOf(() => readStl(textStl(pyramid, "\n", (v) => (v === 1.25 ? "1e999" : String(v)))))).toBe("mesh.number");
  });
});
