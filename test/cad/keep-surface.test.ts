import { existsSync, mkdtempSync, readdirSync, rmSync, statSync, utimesSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { takeSurface } from "../../apps/cad/keep-surface.ts";
import { readSurface, writeSurface } from "../../src/formats/index.ts";
import { stepText } from "../formats/cad-files.ts";

const parent = mkdtempSync(join(tmpdir(), "withy-kept-"));
const folder = join(parent, "not", "there yet");
const ask = { key: "surface 0123456789abcdef step 0.1", file: "x.step", kind: "step", deflection: 0.1 } as const;
const bytes = new TextEncoder().encode(stepText([{ name: "block", box: [0, 0, 0, 10, 10, 10] }]));
const keeping = { folder, worth: 0, most: 2 ** 20 };

afterAll(() => rmSync(parent, { recursive: true }));

test("what was made is kept, taken again, made anew when it is not whole, and thrown away when there is too much", async () => {
  const made = await takeSurface(ask, bytes, {}, keeping);
  if (typeof made === "string") throw new Error(made);
  const [name = ""] = readdirSync(folder);
  expect(name).toMatch(/^surface-0123456789abcdef-step-0\.1-.*\.surface$/);
  // another surface put in its place is what comes back: the kernel is not asked again
  const other = writeSurface({ corners: new Float64Array(9).fill(7), parts: [{ name: "", first: 0, count: 1 }], remarks: [] });
  writeFileSync(join(folder, name), other);
  expect(await takeSurface(ask, bytes, {}, keeping)).toEqual(other);
  writeFileSync(join(folder, name), other.subarray(0, other.length - 1));
  expect(await takeSurface(ask, bytes, {}, keeping)).toEqual(made);
  expect(readSurface(made).parts).toEqual([{ name: "block", first: 0, count: 12 }]);
  // an older one goes when both are too much
  const old = join(folder, "old.surface");
  writeFileSync(old, other);
  utimesSync(old, 1, 1);
  rmSync(join(folder, name));
  await takeSurface(ask, bytes, {}, { ...keeping, most: made.length });
  expect([existsSync(old), existsSync(join(folder, name))]).toEqual([false, true]);
});

test("a folder that cannot be had is as none", async () => {
  const file = join(parent, "file");
  writeFileSync(file, "");
  expect(typeof (await takeSurface(ask, bytes, {}, { ...keeping, folder: join(file, "x") }))).toBe("object");
  expect(statSync(file).size).toBe(0);
});
