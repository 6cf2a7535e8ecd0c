/** A fluid that is in a box alone: the same as everywhere where the box holds all, nothing where it holds none, and its share in between. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { checkBalance, createRodState, createRodWork, type Fluid, type Load, solveTensions } from "../../src/rod/index.ts";
import { stanceAlongX } from "./arms.ts";
import { twinArm } from "./twin.ts";

const gravity = [0, 0, -9.80665] as const;
const upright = [1, 0, 0, 0, 1, 0, 0, 0, 1];
const water = { density: 1000 };
const arm = createArm(twinArm({ sections: 4, spans: 8, pretension: 8 }));

function solve(fluid?: Fluid) {
  const load: Load = { gravity, forces: [], ...(fluid === undefined ? {} : { fluid }) };
  const state = createRodState(arm);
  state.tension.set(arm.pretension);
  const work = createRodWork(arm);
  const report = solveTensions(arm, load, stanceAlongX(), state, work);
  const tip = 12 * arm.spans + 9;
  return { report, tip: [0, 1, 2].map((k) => work.frame[tip + k] as number), left: checkBalance(arm, load, stanceAlongX(), state) };
}

function box(at: readonly [number, number, number], size: readonly [number, number, number], surface?: number): Fluid {
  return {
    ...water,
    within: { at, rotation: upright, size },
    ...(surface === undefined ? {} : { surface: { at: [0, 0, surface] as const, up: [0, 0, 1] as const } }),
  };
}

describe("a fluid in a box", () => {
  const everywhere = solve(water);
  const dry = solve();

  test("that holds the whole arm is as everywhere; one that holds none is dry", () => {
    const all = solve(box([0, 0, 0], [9, 9, 9]));
    const none = solve(box([0, 5, 0], [1, 1, 1]));
    expect([everywhere.report.status, dry.report.status, all.report.status, none.report.status]).toEqual(Array(4).fill("stable"));
    for (let k = 0; k < 3; k++) {
      expect(Math.abs((all.tip[k] as number) - (everywhere.tip[k] as number))).toBeLessThan(1e-9);
      expect(Math.abs((none.tip[k] as number) - (dry.tip[k] as number))).toBeLessThan(1e-9);
    }
    // the fluid lifts
    expect((everywhere.tip[2] as number) - (dry.tip[2] as number)).toBeGreaterThan(1e-3);
  });

  test("that holds the outer half lifts the tip in between, in balance as computed apart from the solver", () => {
    const half = solve(box([0.16 + 0.5, 0, 0], [1, 9, 9]));
    expect(half.report.status).toBe("stable");
    expect(half.left).toBeLessThan(1e-8);
    expect(half.tip[2]).toBeGreaterThan(dry.tip[2] as number);
    expect(half.tip[2]).toBeLessThan(everywhere.tip[2] as number);
  });

  test("turned and filled to a surface: still in balance; a surface above all of it changes nothing", () => {
    const c = Math.SQRT1_2;
    const within = { at: [0.3, 0, 0] as const, rotation: [c, 0, c, 0, 1, 0, -c, 0, c], size: [0.3, 1, 0.3] as const };
    const tilted = solve({
      ...water,
      within,
      surface: { at: [0, 0, -0.02], up: [0, 0, 1] },
      current: { velocity: [0, 0.3, 0], dragCoefficient: 1.2 },
    });
    expect(tilted.report.status).toBe("stable");
    expect(tilted.left).toBeLessThan(1e-8);
    const [open, full] = [solve(box([0.4, 0, 0], [0.4, 1, 1])), solve(box([0.4, 0, 0], [0.4, 1, 1], 1))];
    for (let k = 0; k < 3; k++) expect(full.tip[k]).toBeCloseTo(open.tip[k] as number, 12);
  });

  test("a box without an edge is refused", () => {
    expect(() => solve(box([0, 0, 0], [1, 0, 1]))).toThrow("solve.fluid");
  });
});
