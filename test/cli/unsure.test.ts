import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { call, root } from "./call.ts";

const out = mkdtempSync(join(tmpdir(), "withy-unsure-"));
const job = join(root, "test/browser/duct");
afterAll(() => rmSync(out, { recursive: true }));

describe("withy unsure", () => {
  it("gives a machine one document, and writes the same", async () => {
    const { code, out: said } = await call(["unsure", job, "--draws", "4", "--seed", "7", "--json", "--out", out]);
    expect(code).toBe(0);
    const { written, ...told } = JSON.parse(said);
    expect(written).toEqual([join(out, "unsure.json")]);
    expect(JSON.parse(readFileSync(join(out, "unsure.json"), "utf8"))).toEqual(told);
    expect([told.draws, told.seed, told.mode]).toEqual([4, 7, "held"]);
    expect(told.unknowns.map(({ name }: { name: string }) => name)).toEqual(["friction.holes", "friction.conduit"]);
    expect(told.holds + told.trouble.count + told.notKnown.length).toBe(4);
    for (const { found } of told.margins) expect([...found].sort((a, b) => a - b)).toEqual(found);
  });

  it("says it in words, with what it takes for granted", async () => {
    const { code, out: said } = await call(["unsure", job, "--draws", "2", "--cores", "1"]);
    expect(code).toBe(0);
    expect(said).toMatch(/^2 draws of 2 numbers \(seed 1\): Marl Quay, short duct/);
    expect(said).toMatch(/Trouble in \d+ % of the draws \(between \d+ % and \d+ % at 95 %\)\./);
    expect(said).toMatch(/Cable working load +[\d.]+ N +[\d.]+ N +[\d.]+ N +at most 87\.2 N/);
    expect(said).toContain("Not drawn: the ends of the temperatures");
  });

  it("ends when it is told to", async () => {
    const { code } = await call(["unsure", job, "--draws", "4"], AbortSignal.abort());
    expect(code).toBe(130);
  });

  it("refuses counts and seeds that are none", async () => {
    for (const args of [
      ["--draws", "0"],
      ["--draws", "many"],
      ["--seed", "-1"],
    ]) {
      const { code, err } = await call(["unsure", job, ...args]);
      expect([code, err]).toEqual([1, expect.stringContaining("Give a whole number from")]);
    }
  });
});
