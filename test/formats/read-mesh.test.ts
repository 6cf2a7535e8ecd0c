import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { InputError } from "../../src/base/index.ts";
import { countMesh, guessUnit, readMesh } from "../../src/formats/index.ts";
import { binaryStl, codeOf, encode, ply, pyramid, textStl } from "./files.ts";

const obj = encode("v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n");

describe("a mesh of any kind", () => {
  test("is told by its ending, or by its content where that says nothing", () => {
    const files: readonly (readonly [string, Uint8Array, number])[] = [
      ["a.stl", textStl(pyramid), 4], ["A.STL", binaryStl(pyramid), 4], ["b.obj", obj, 1], ["c.ply", ply("binary_big_endian"), 5],
    ]; // biome-ignore format: a table
    for (const [name, bytes, triangles] of files) {
      expect(readMesh(name, bytes).corners.length).toBe(9 * triangles);
      expect(readMesh("folder.v2/unnamed", bytes).corners.length).toBe(9 * triangles);
    }
    expect(readMesh("wrong.stl", ply("ascii")).corners.length).toBe(45);
    expect(codeOf(() => readMesh("notes.txt", encode("nothing of the kind")))).toBe("mesh.content");
    expect(codeOf(() => readMesh("a.stl", new Uint8Array(0)))).toBe("mesh.empty");
  });

  test("any bytes at all: triangles or one fault, never anything else, seed 51", () => {
    const starts = ["", "solid ", "solid a\nfacet\n", "ply\nformat ascii 1.0\n", "v 1 2 3\nf "];
    fc.assert(
      fc.property(
        fc.constantFrom(...starts),
        fc.uint8Array({ maxLength: 300 }),
        fc.constantFrom("a.stl", "a.obj", "a.ply", "a"),
        (start, rest, name) => {
          const bytes = Uint8Array.from([...encode(start), ...rest]);
          try {
            expect(readMesh(name, bytes).corners.every(Number.isFinite)).toBe(true);
          } catch (error) {
            expect(error).toBeInstanceOf(InputError);
            expect((error as InputError).faults.length).toBe(1);
          }
        },
      ),
      { seed: 51, numRuns: 500 },
    );
  });

  test("one byte changed in a file: triangles or one fault, seed 52", () => {
    const files = [textStl(pyramid), binaryStl(pyramid), obj, ply("ascii"), ply("binary_little_endian")];
    fc.assert(
      fc.property(fc.constantFrom(...files), fc.nat(), fc.integer({ min: 0, max: 255 }), (file, at, value) => {
        const bytes = file.slice();
        bytes[at % bytes.length] = value;
        try {
          expect(readMesh("unnamed", bytes).corners.every(Number.isFinite)).toBe(true);
        } catch (error) {
          expect(error).toBeInstanceOf(InputError);
        }
      }),
      { seed: 52, numRuns: 1000 },
    );
  });
});

describe("remarks", () => {
  const [a, b, c, d] = pyramid as [number[], number[], number[], number[]];

  test("a clean closed mesh has none", () => {
    expect(readMesh("a.stl", binaryStl(pyramid)).remarks).toEqual([]);
  });

  test("doubled triangles count whichever way round, flat ones apart", () => {
    const flipped = [...a.slice(3, 6), ...a.slice(0, 3), ...a.slice(6)];
    const line = [0, 0, 0, 1, 0, 0, 2, 0, 0];
    const dot = [1, 1, 1, 1, 1, 1, 1, 1, 1];
    expect(countMesh(Float64Array.from([a, b, c, d, flipped, b, line, dot].flat()))).toEqual({
      triangles: 8,
      flat: 2,
      doubled: 2,
      open: 0,
    });
    expect(readMesh("a.stl", binaryStl([a, b, c, d, flipped, line])).remarks).toEqual([
      "1 of 6 triangles have no area",
      "1 of 6 triangles are doubled",
    ]);
  });

  test("a missing face leaves three open edges", () => {
    expect(countMesh(Float64Array.from([a, b, c].flat())).open).toBe(3);
    expect(readMesh("a.stl", textStl([a, b, c])).remarks[0]).toMatch(/^3 edges are open/);
  });

  test("-0 and 0 are one place", () => {
    const signed = pyramid.map((t, k) => (k === 1 ? t.map((v) => (v === 0 ? -0 : v)) : t));
    expect(countMesh(Float64Array.from(signed.flat())).open).toBe(0);
  });
});

test("a unit is offered in words", () => {
  expect(guessUnit(530)).toMatch(/530 of its own units.*as mm it is 530 mm/);
  expect(guessUnit(0.53)).toMatch(/as m it is 530 mm\.$/);
  expect(guessUnit(1e9)).toMatch(/no usual unit/);
});
