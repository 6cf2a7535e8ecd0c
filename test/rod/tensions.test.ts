import { describe, expect, test } from "vitest";
import { type ArmModel, createArm } from "../../src/arm/index.ts";
import {
  checkBalance,
  createRodState,
  createRodWork,
  type Load,
  readFreeLengths,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
import { inextensible, noLoad, stanceAlongX, tipOf } from "./arms.ts";
import { randomCase } from "./random-arm.ts";
import { twinArm } from "./twin.ts";

describe("a strut pushed along its axis, clamped and free (Euler: pi^2 EI / 4 L^2)", () => {
  const euler = Math.PI ** 2 / 4;
  const strut = (share: number, options = {}) => {
    const b = inextensible({ length: 1, spans: 100, ei: 1 });
    const load: Load = { ...noLoad, forces: [{ vertebra: 100, force: [-share * euler, 0, 0], at: [0, 0, 0] }] };
    return { b, load, report: solveTensions(b.arm, load, stanceAlongX(), b.state, b.work, options) };
  };

  test("below it stays straight", () => {
    const { b, report } = strut(0.98);
    expect([report.status, report.escaped, report.unstable]).toEqual(["stable", false, 0]);
    expect(tipOf(b).at[0]).toBeCloseTo(1, 12);
  });

  test("above it leaves the straight line for a bent balance, and says so", () => {
    const { b, load, report } = strut(1.05);
    expect([report.status, report.escaped, report.unstable]).toEqual(["stable", true, 0]);
    expect(tipOf(b).at[0]).toBeLessThan(0.95);
    expect(checkBalance(b.arm, load, stanceAlongX(), b.state)).toBeLessThan(1e-8);
  });

  test("above it, asked to stay: buckled, two ways to fall", () => {
    const { b, report } = strut(1.05, { escape: false });
    expect([report.status, report.unstable]).toEqual(["buckled", 2]);
    expect(tipOf(b).at[0]).toBeCloseTo(1, 12);
  });

  test.each([25, 100, 400])("far above it, from straight, whatever the number of spans (%d): it falls to the bent balance", (spans) => {
    for (const share of [1.01, 1.5, 2.5, 4.03, 6, 15]) {
      const b = inextensible({ length: 1, spans, ei: 1 });
      const load: Load = { ...noLoad, forces: [{ vertebra: spans, force: [-share * euler, 0, 0], at: [0, 0, 0] }] };
      const report = solveTensions(b.arm, load, stanceAlongX(), b.state, b.work);
      expect([share, report.status, report.escaped]).toEqual([share, "stable", true]);
      expect(report.iterations).toBeLessThan(100);
      // moments of EI/L and more: a billionth
      expect(checkBalance(b.arm, load, stanceAlongX(), b.state)).toBeLessThan(1e-8);
    }
  });

  test("beyond the second load there are four", () => {
    expect(strut(9.5, { escape: false }).report.unstable).toBe(4);
  });
});

describe("given tensions", () => {
  const arm = createArm(twinArm({ sections: 2, spans: 6 }));
  const load: Load = { gravity: [1, 2, -9], forces: [] };
  const tension = Float64Array.of(12, 8, 8, 8, 10, 15);

  test("are not touched, and the shape balances them", () => {
    const state = createRodState(arm);
    state.tension.set(tension);
    expect(solveTensions(arm, load, stanceAlongX(), state, createRodWork(arm)).status).toBe("stable");
    expect(state.tension).toEqual(tension);
    expect(checkBalance(arm, load, stanceAlongX(), state)).toBeLessThan(1e-8);
  });

  test("that a held shape needs give that shape back", () => {
    const work = createRodWork(arm);
    const state = createRodState(arm);
    expect(solveHeld(arm, load, stanceAlongX(), Float64Array.of(0.1, 0.1, -0.1, 0.2), state, work).status).toBe("stable");
    const frame = work.frame.slice();
    const again = createRodState(arm);
    again.tension.set(state.tension);
    expect(solveTensions(arm, load, stanceAlongX(), again, work).status).toBe("stable");
    frame.forEach((v, k) => expect(Math.abs(v - (work.frame[k] as number))).toBeLessThan(1e-9));
  });

  test("one step is not enough, and says so", () => {
    const state = createRodState(arm);
    state.tension.set(tension);
    const report = solveTensions(arm, load, stanceAlongX(), state, createRodWork(arm), { mostSteps: 1, ramp: false });
    expect([report.status, report.iterations]).toEqual(["not-converged", 1]);
    expect(report.step).toBeGreaterThan(1e-3);
  });

  test("no number among them: no answer", () => {
    const state = createRodState(arm);
    state.tension.set(tension);
    state.tension[2] = Number.NaN;
    expect(solveTensions(arm, load, stanceAlongX(), state, createRodWork(arm)).status).toBe("not-converged");
  });

  test("a pull that folds the hinges until a cable in one has no length left ends early without an answer", () => {
    const state = createRodState(arm);
    state.tension.set([4000, 0, 0, 0, 0, 0]);
    const report = solveTensions(withoutStops(arm), load, stanceAlongX(), state, createRodWork(arm));
    expect(report.status).toBe("not-converged");
    expect(report.iterations).toBeLessThan(600);
  });
});

/** The same arm, its joints free to turn on past their greatest angle. */
function withoutStops({ description }: ArmModel): ArmModel {
  return createArm({ ...description, sections: description.sections.map((section) => ({ ...section, stopStiffness: 0 })) });
}

describe("cold starts that fail at once are led there", () => {
  test.each([146, 198, 564, 1228])("bends held (seed %d)", (seed) => {
    const { arm, load, stance, bend } = randomCase(seed);
    const work = createRodWork(arm);
    expect(solveHeld(arm, load, stance, bend, createRodState(arm), work, { ramp: false }).status).toBe("not-converged");
    const state = createRodState(arm);
    expect(["stable", "slack"]).toContain(solveHeld(arm, load, stance, bend, state, work).status);
    expect(checkBalance(arm, load, stance, state)).toBeLessThan(1e-6);
    bend.forEach((b, k) => {
      if (k >= 2 * (arm.sectionOfSpan[work.firstFree] as number)) expect(Math.abs((work.bend[k] as number) - b)).toBeLessThan(1e-10);
    });
  });

  test.each([431, 1182, 1228])("lengths locked (seed %d, without stops)", (seed) => {
    const { arm: whole, load, stance, bend } = randomCase(seed);
    const arm = withoutStops(whole);
    const work = createRodWork(arm);
    const held = createRodState(arm);
    solveHeld(arm, load, stance, bend, held, work);
    const free = new Float64Array(arm.cables);
    readFreeLengths(arm, held, work, free);
    expect(solveLocked(arm, load, stance, free, createRodState(arm), work, { ramp: false }).status).toBe("not-converged");
    const state = createRodState(arm);
    expect(["stable", "slack"]).toContain(solveLocked(arm, load, stance, free, state, work).status);
    expect(checkBalance(arm, load, stance, state)).toBeLessThan(1e-6);
  });

  test("a warm start is left as it failed", () => {
    const { arm, load, stance, bend } = randomCase(198);
    const state = createRodState(arm);
    state.effort[0] = 1e-9;
    const report = solveHeld(arm, load, stance, bend, state, createRodWork(arm));
    expect([report.status, report.iterations <= 60]).toEqual(["not-converged", true]);
  });
});
