import { createRequire } from "node:module";
import { describe, expect, test } from "vitest";
import { convertCad, type SurfaceAnswer } from "../../apps/cad/convert.ts";
import type { LoadKernel } from "../../apps/cad/kernel.ts";
import { makeSurface } from "../../apps/cad/make-surface.ts";
import { type CadKind, readSurface } from "../../src/formats/index.ts";
import { brepText, igesText, stepText } from "../formats/cad-files.ts";

const encode = (text: string): Uint8Array => new TextEncoder().encode(text);

/** One kernel for the contents; the threads it otherwise runs in are looked at below. */
const said: string[] = [];
const hear = (line: string): void => void said.push(line);
const kernel = await (createRequire(import.meta.url)("occt-import-js") as LoadKernel)({ print: hear, printErr: hear });

function convert(text: string, kind: CadKind, deflection: number): SurfaceAnswer {
  return convertCad(kernel, { key: "k", file: "f", kind, deflection }, encode(text), said);
}

function make(text: string, kind: CadKind = "step", deflection = 0.1) {
  const made = convert(text, kind, deflection);
  if (typeof made === "string") throw new Error(made);
  return readSurface(made);
}

function refused(text: string): string {
  const made = convert(text, "step", 0.1);
  if (typeof made !== "string") throw new Error("it was read");
  return made;
}

function boundsOf(corners: Float64Array): number[][] {
  return [0, 1, 2].map((i) => {
    const values = corners.filter((_, k) => k % 3 === i);
    return [values.reduce((a, b) => Math.min(a, b)), values.reduce((a, b) => Math.max(a, b))];
  });
}

/** Volume by the divergence theorem: right only for a closed surface whose triangles all face one way. */
function volumeOf(c: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < c.length; k += 9) {
    const [ax, ay, az, bx, by, bz, cx, cy, cz] = c.subarray(k, k + 9) as unknown as number[] as [
      number, number, number, number, number, number, number, number, number,
    ]; // biome-ignore format: one row
    sum += (ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)) / 6;
  }
  return sum;
}

const box = { name: "floor", box: [1, 2, 3, 11, 22, 33] } as const;

describe("a CAD file becomes triangles", () => {
  test.each([
    ["mm", 1],
    ["in", 25.4],
    ["m", 1000],
  ] as const)("STEP in %s: the box where it is drawn, closed, in millimetres", (unit, scale) => {
    const { corners, parts, remarks } = make(stepText([box], unit));
    expect(parts).toEqual([{ name: "floor", first: 0, count: 12 }]);
    boundsOf(corners).forEach(([low, high], i) => {
      expect(low).toBeCloseTo(scale * [1, 2, 3][i]!, 9);
      expect(high).toBeCloseTo(scale * [11, 22, 33][i]!, 9);
    });
    expect(volumeOf(corners) / scale ** 3).toBeCloseTo(10 * 20 * 30, 6);
    expect(remarks).toEqual([]);
  });

  test.each([0.5, 0.05, 0.005])("a round bar of radius 5 within %s of the true one", (deflection) => {
    const { corners } = make(stepText([{ name: "pin", bar: { radius: 5, length: 40 } }]), "step", deflection);
    let deepest = 0;
    for (let k = 0; k < corners.length; k += 9) {
      // only the mantle: its triangles span the length
      const z = [corners[k + 2]!, corners[k + 5]!, corners[k + 8]!];
      if (Math.max(...z) === Math.min(...z)) continue;
      for (let a = 0; a < 3; a++) {
        const b = (a + 1) % 3;
        const middle = Math.hypot(corners[k + 3 * a]! + corners[k + 3 * b]!, corners[k + 3 * a + 1]! + corners[k + 3 * b + 1]!) / 2;
        deepest = Math.max(deepest, 5 - middle);
        expect(Math.hypot(corners[k + 3 * a]!, corners[k + 3 * a + 1]!)).toBeCloseTo(5, 9);
      }
    }
    expect(deepest).toBeGreaterThan(0);
    expect(deepest).toBeLessThanOrEqual(deflection);
  });

  test("products keep their names, and what bears one name is one part", () => {
    const { parts } = make(stepText([box, { name: "pin", bar: { radius: 1, length: 4 } }, { name: "floor", box: [50, 0, 0, 51, 1, 1] }]));
    expect(parts.map(({ name }) => name)).toEqual(["floor", "pin"]);
    expect(parts[0]!.count).toBe(24);
  });

  test("IGES and BREP: the same box", () => {
    for (const [text, kind] of [
      [igesText(box.box), "iges"],
      [brepText(box.box), "brep"],
    ] as const) {
      const { corners } = make(text, kind);
      expect(corners.length).toBe(9 * 12);
      boundsOf(corners).forEach(([low, high], i) => {
        expect(low).toBeCloseTo([1, 2, 3][i]!, 9);
        expect(high).toBeCloseTo([11, 22, 33][i]!, 9);
      });
    }
  });
});

describe("what cannot be read is said", () => {
  test("a face that the kernel passes over in silence", () => {
    const { remarks, corners } = make(stepText([box]).replace("PLANE(", "PLAIN("));
    expect(corners.length).toBe(9 * 10);
    expect(remarks.join()).toMatch(/1 face\(s\) of the file were not read/);
  });

  test("broken syntax: the kernel's own words", () => {
    expect(refused("ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=;;(\nENDSEC;\nEND-ISO-10303-21;\n")).toMatch(/kernel/);
  });

  test("a file without a surface", () => {
    expect(refused(stepText([]))).toMatch(/found no surface|could not read/);
  });

  test("in a thread of its own: the same bytes; too long, too large, called off", async () => {
    const ask = { key: "k", file: "f", kind: "step", deflection: 0.1 } as const;
    const bytes = encode(stepText([box]));
    expect(await makeSurface(ask, bytes)).toEqual(convert(stepText([box]), "step", 0.1));
    expect(await makeSurface(ask, bytes, { limits: { time: 1, memory: 2 ** 30 } })).toBe("it was not done within 0 s");
    const fine = { ...ask, deflection: 1e-7 };
    const bar = encode(stepText([{ name: "pin", bar: { radius: 500, length: 40 } }]));
    expect(await makeSurface(fine, bar, { limits: { time: 60_000, memory: 24 * 2 ** 20 } })).toBe("it takes more than 24 MiB");
    const controller = new AbortController();
    const work = makeSurface(ask, bytes, { signal: controller.signal });
    controller.abort(new Error("called off"));
    await expect(work).rejects.toThrow("called off");
  });
});
