import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { openArm } from "../../apps/cli/read-files.ts";
import { call, root } from "./call.ts";

const example = (name: string): string => join(root, "examples/measured-arm", name);
const folder = mkdtempSync(join(tmpdir(), "withy-fit-"));
afterAll(() => rmSync(folder, { recursive: true }));

describe("withy fit", () => {
  it("finds what the tables of the example were made with, names the misread row, and says what they do not tell", async () => {
    const { code, out, err } = await call(["fit", example("arm.yaml"), example("droop.csv"), example("pull.csv"), "--json"]);
    expect([code, err]).toEqual([0, ""]);
    const answer = JSON.parse(out);
    const of = (name: string) => answer.parameters.find((p: { name: string }) => p.name === name);
    // put in by test/fit/make-example.ts, in a rigid-body engine: within three spreads
    expect(Math.abs(of("stiffness").after - 0.91)).toBeLessThan(3 * of("stiffness").spread);
    expect(Math.abs(of("stretch").after - 1.3)).toBeLessThan(3 * of("stretch").spread);
    expect(of("stretch").spread).toBeLessThan(0.05);
    expect(of("effective-length")).toMatchObject({ state: "kept", why: "mixed", mixedWith: "stiffness", after: 0, spread: null });
    const outliers = answer.readings.filter((r: { outlier: boolean }) => r.outlier);
    expect(outliers.map((r: { row: number; heading: string }) => [r.row, r.heading])).toEqual([[9, "height (mm)"]]);
    expect(answer.tables.map((t: { file: string }) => t.file)).toEqual(["droop.csv", "pull.csv"]);
  });

  it("writes the fitted arm and the residuals; the arm fitted again to the same tables stays", async () => {
    const { code, out } = await call(["fit", example("arm.yaml"), example("droop.csv"), example("pull.csv"), "--out", folder]);
    expect(code).toBe(0);
    expect(out).toContain("arm-fitted.yaml");
    const html = readFileSync(join(folder, "fit.html"), "utf8");
    expect(html.match(/<svg/g)?.length).toBe(2);
    expect(html).toContain("Residuals");
    const again = await call(["fit", join(folder, "arm-fitted.yaml"), example("droop.csv"), example("pull.csv"), "--json"]);
    const answer = JSON.parse(again.out);
    for (const { name, before, after, spread } of answer.parameters) {
      if (spread !== null) expect(Math.abs(after - before), name).toBeLessThan(0.2 * spread);
    }
    const solved = await call(["solve", join(folder, "arm-fitted.yaml")]);
    expect(solved.code).toBe(0);
    expect(solved.out).toContain("to droop.csv, pull.csv: stiffness, stretch");
    expect((await call(["solve", example("arm.yaml")])).out).toContain("never fitted");
  });

  it("the fitted arm of the example is what the fit writes, but for its date", () => {
    const now = openArm(join(folder, "arm-fitted.yaml")).arm;
    const kept = openArm(example("arm-fitted.yaml")).arm;
    expect(kept.fitted?.tables).toEqual(now.fitted?.tables);
    now.sections.forEach((section, j) => {
      const other = kept.sections[j] as typeof section;
      // far less than the spread: other processors round differently
      const modulus = (s: typeof section): number => s.rods[0]?.material.youngModulus ?? Number.NaN;
      expect(modulus(section) / modulus(other)).toBeCloseTo(1, 4);
      expect(section.cable.effectiveModulus / other.cable.effectiveModulus).toBeCloseTo(1, 3);
      expect(section.effectiveLength).toBe(other.effectiveLength);
    });
  });

  it("says every fault of every table, and that a file is missing", async () => {
    const bad = join(folder, "bad.csv");
    writeFileSync(bad, "load (g),height (mm)\nten,4\n20,\n");
    const { code, out } = await call(["fit", example("arm.yaml"), bad, join(folder, "none.csv"), "--json"]);
    expect(code).toBe(1);
    const { faults } = JSON.parse(out);
    expect(faults.map((f: { code: string; line?: number }) => [f.code, f.line])).toEqual([
      ["table.cell", 2],
      ["table.cell", 3],
      ["file.missing", undefined],
    ]);
  });

  it("an axis without direction is refused", async () => {
    const { code, err } = await call(["fit", example("arm.yaml"), example("pull.csv"), "--axis", "0,0,0"]);
    expect(code).toBe(1);
    expect(err).toContain("--axis");
  });
});
