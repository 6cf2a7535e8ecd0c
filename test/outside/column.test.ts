import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { columnOf, type Outside, solveColumn } from "../../src/outside/index.ts";
import { plainRod } from "../rod/arms.ts";
import { twinArm } from "../rod/twin.ts";

const outside: Outside = {
  regrip: false,
  gap: 0,
  carriageHolds: "hinged",
  guideHolds: "hinged",
  bucklingFactor: 2,
  guideFriction: 0.3,
  clearance: 0.01,
  things: [],
};

describe("Euler's loads of a rod of EI = 2 N m2, 0.5 m long (Timoshenko & Gere, from memory)", () => {
  const arm = createArm(plainRod({ length: 1, spans: 200, ei: 2 }));
  test.each([
    ["hinged", "hinged", Math.PI ** 2],
    // tan z = z at 4.4934: 20.1907
    ["hinged", "clamped", 20.190728556427],
    ["clamped", "hinged", 20.190728556427],
    ["clamped", "clamped", 4 * Math.PI ** 2],
  ] as const)("%s and %s", (carriageHolds, guideHolds, factor) => {
    const column = columnOf(arm, { ...outside, carriageHolds, guideHolds }, 0.5);
    expect(column.stiffness).toBeCloseTo(2, 9);
    expect(column.euler / ((factor * 2) / 0.25)).toBeCloseTo(1, 9);
    // a chain of joints falls earlier than the rod, by some halves of a joint's length over the column's
    const solved = solveColumn(arm, column);
    expect(Math.abs(solved / column.euler - 1)).toBeLessThan(0.03);
  });

  test("the chain comes to the rod as its joints get shorter: half the length, a quarter of the error or better than half", () => {
    const error = (spans: number): number => {
      const rod = createArm(plainRod({ length: 1, spans, ei: 2 }));
      const column = columnOf(rod, outside, 0.5);
      return Math.abs(solveColumn(rod, column) / column.euler - 1);
    };
    expect(error(200)).toBeLessThan(0.6 * error(100));
  });
});

describe("cables at their pretension", () => {
  test("a twin arm of 24 cables: what passes is counted, and vertebrae that are stiff for three quarters of the pitch make it stiffer than its rods", () => {
    const arm = createArm(twinArm({ sections: 8, spans: 12, pretension: 8 }));
    const column = columnOf(arm, outside, 0.3);
    // all 24 cables pass the first section, 3 the last
    expect(column.tension).toBeGreaterThanOrEqual(3 * 8 - 1e-9);
    expect(column.tension).toBeLessThanOrEqual(24 * 8 + 1e-9);
    // by hand: rods of 1 mm, EI = 60e9 pi 1e-12 / 64; two bend the easy joint, and the other joint hardly gives: 2 EI x 20 mm / 2.5 mm at least
    const ei = (60e9 * Math.PI * 1e-12) / 64;
    expect(column.stiffness / ((2 * ei * 20) / 2.5)).toBeGreaterThan(0.95);
    expect(column.stiffness / ((2 * ei * 20) / 2.5)).toBeLessThan(1.05);
  });

  test("pretension inside takes little of the load from outside: far less than the pretension itself", () => {
    const solved = (pretension: number): number => {
      const arm = createArm(twinArm({ sections: 1, spans: 40, pretension }));
      return solveColumn(arm, columnOf(arm, outside, 0.3));
    };
    const [slack, taut] = [solved(0.01), solved(20)];
    expect(slack).toBeGreaterThan(0);
    expect(taut).toBeGreaterThan(0);
    // three cables of 20 N press it with 60 N
    expect(Math.abs(slack - taut)).toBeLessThan(0.25 * 60);
  });
});
