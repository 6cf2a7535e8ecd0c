import { describe, expect, test } from "vitest";
import { cableStocks, rodMaterials } from "../../src/job/index.ts";
import { reach } from "../published/reach.ts";

describe("cable stock", () => {
  const byName = (name: string) => {
    const found = cableStocks.find((stock) => stock.name === name);
    if (found === undefined) throw new Error(`no ${name}`);
    return found;
  };

  /** FAA AC 43.13-1B, table 7-3, corrosion-resisting steel, lbf */
  test.each([
    ["stainless 7x7 3/64 in", 270],
    ["stainless 7x7 1/16 in", 480],
    ["stainless 7x19 1/16 in", 480],
    ["stainless 7x19 3/32 in", 920],
    ["stainless 7x19 1/8 in", 1760],
  ])("%s breaks at %d lbf", (name, pounds) => {
    reach("strandStrength", byName(name).breakingLoad / 4.4482216152605 / pounds - 1);
  });

  test("stretch of 1/8 in 7x19 under 500 lbf over 20 in: 0.10368 in (worked example of the strand stretch formula)", () => {
    const { effectiveModulus, diameter } = byName("stainless 7x19 1/8 in");
    const strain = (500 * 4.4482216152605) / ((effectiveModulus * Math.PI * diameter ** 2) / 4);
    reach("strandStretch", strain * 20 - 0.10368);
  });

  test.each([
    ["1x19", 112.7],
    ["7x7", 73.16],
    ["7x19", 54.19],
  ])("modulus of %s on its full circle: %d GPa (the same formula, four digits)", (construction, modulus) => {
    for (const stock of cableStocks.filter(({ name }) => name.includes(` ${construction} `)))
      reach("strandModulus", stock.effectiveModulus / 1e9 / modulus - 1);
  });

  test("a strand is weaker than its wires: 1570 N/mm2 on its metal less the spinning loss bounds the metric sizes", () => {
    // metal of 49 wires of d/9; actual = sum of wires x 0.838 for 7x7 (6 % for wire tolerances and rounding of the table)
    for (const stock of cableStocks.filter((s) => /7x7 \d\.\d mm/.test(s.name))) {
      const wires = ((1570e6 * 49) / 81) * ((Math.PI * stock.diameter ** 2) / 4) * 0.838;
      expect(stock.breakingLoad / wires).toBeGreaterThan(0.85);
      expect(stock.breakingLoad / wires).toBeLessThan(1.25);
    }
  });

  test("every strand is lighter than a solid bar of its diameter and softer than its steel", () => {
    for (const stock of cableStocks) {
      expect(stock.massPerLength).toBeLessThan((7900 * Math.PI * stock.diameter ** 2) / 4);
      expect(stock.effectiveModulus).toBeLessThan(193e9);
    }
  });
});

test("rod materials: fatigue well below what is allowed once; shear modulus of music wire 79.3 GPa (from memory)", () => {
  for (const material of rodMaterials) expect(material.fatigueStrain).toBeLessThan(material.allowedStrain / 2);
  const wire = rodMaterials.find((material) => material.name === "spring steel");
  expect((wire?.youngModulus as number) / (2 * (1 + (wire?.poissonRatio as number))) / 1e9).toBeCloseTo(79.3, 1);
});
