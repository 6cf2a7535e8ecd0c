import { describe, expect, test } from "vitest";
import type { ArmDescription, Fitted } from "../../src/arm/index.ts";
import { applyParameters, untouched } from "../../src/fit/index.ts";
import { writeFitted } from "../../src/job/index.ts";
import { exampleText, loadArmText, swap } from "./example.ts";

const fitted: Fitted = {
  date: "2031-04-17",
  tables: [{ file: 'droop "flat".csv', hash: "0123456789012345" }],
  spreads: { stiffness: 0.02, "effective-length": 4e-5 },
  correlations: [{ between: ["stiffness", "effective-length"], is: -0.31 }],
  notes: ["Cable stretch is not told: it stays as described."],
};
const values = { ...untouched, stiffness: 0.9, stretch: 1.25, "effective-length": 0.2e-3 };

/** What a written and read arm should be: five digits of every number. */
function expectSame(found: ArmDescription, wanted: ArmDescription): void {
  found.sections.forEach((section, j) => {
    const other = wanted.sections[j] as (typeof wanted.sections)[number];
    expect(section.effectiveLength / other.effectiveLength).toBeCloseTo(1, 5);
    expect(section.cable.effectiveModulus / other.cable.effectiveModulus).toBeCloseTo(1, 4);
    expect(section.cable.breakingLoad / other.cable.breakingLoad).toBeCloseTo(1, 4);
    section.rods.forEach((rod, k) => {
      const { name: _, ...material } = rod.material;
      const { name: __, ...wantedMaterial } = (other.rods[k] as (typeof other.rods)[number]).material;
      expect(Object.keys(material)).toEqual(Object.keys(wantedMaterial));
      for (const [key, value] of Object.entries(material))
        expect(value / (wantedMaterial as unknown as Record<string, number>)[key]!, key).toBeCloseTo(1, 4);
    });
  });
  if (wanted.driveStiffness !== undefined) expect((found.driveStiffness as number) / wanted.driveStiffness).toBeCloseTo(1, 4);
}

/** Both ways to write an arm: one pattern with names from the tables, and a list with all numbers given. */
const named = exampleText("water-box", "arm.yaml");
const listed = swap(
  swap(named, "sections:\n  count: 4\n", "sections:\n- count: 4\n"),
  "    material: nitinol\n",
  "    material: { name: wire, young-modulus: 70 GPa +- 5 %, poisson-ratio: 0.3, density: 6450 kg/m3, allowed-strain: 4 %, fatigue-strain: 0.4 % } # sample\n",
).concat("drive-stiffness: 80 N/mm # measured\n");

describe("fitted values in an arm file", () => {
  test.each([
    ["one pattern, names from the tables", named],
    ["a list, all numbers given", listed],
  ])("%s: read back, it is the fitted arm, and every comment stands", (_, text) => {
    const before = loadArmText(text).arm;
    const written = writeFitted(text, values, applyParameters(before, values), fitted);
    const { arm } = loadArmText(written);
    expectSame(arm, applyParameters(before, values));
    expect(arm.fitted).toEqual(fitted);
    const comments = (t: string): string[] => t.match(/#.*$/gm) ?? [];
    expect(comments(written)).toEqual(comments(text));
    // lines that hold no fitted value are as they were
    const kept = written.split("\n").filter((line) => text.split("\n").includes(line));
    expect(kept.length).toBeGreaterThan(text.split("\n").length - 6);
  });

  test("a second fit takes the place of the first", () => {
    const once = writeFitted(named, values, applyParameters(loadArmText(named).arm, values), fitted);
    const later: Fitted = { ...fitted, date: "2031-05-02", spreads: {}, correlations: [], notes: [] };
    const twice = writeFitted(`${once}# the end\n`, untouched, loadArmText(once).arm, later);
    expect(twice.match(/^fitted:/gm)).toHaveLength(1);
    expect(twice).toContain("# the end");
    expect(loadArmText(twice).arm.fitted).toEqual(later);
    expectSame(loadArmText(twice).arm, loadArmText(once).arm);
  });

  test("what nobody fitted says so", () => {
    expect(loadArmText(named).arm.fitted).toBeUndefined();
  });
});
