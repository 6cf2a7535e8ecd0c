/** Cables that drop out: held shapes without pretension, and drives locked. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import {
  checkBalance,
  copyRodState,
  createRodState,
  createRodWork,
  type Load,
  readFreeLengths,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
import { stanceAlongX } from "./arms.ts";
import { twinArm } from "./twin.ts";

const load: Load = { gravity: [0, 0, -9.81], forces: [] };

describe("held without pretension: only cables on the side it needs pull", () => {
  const arm = createArm(twinArm({ sections: 2, spans: 6, pretension: 0, cables: 4 }));

  test.each([0, 1, 2, 3, 4, 5])("bent towards %d sixths of a turn", (sixth) => {
    const way = (Math.PI * sixth) / 3;
    const bend = Float64Array.of(0.3 * Math.cos(way), 0.3 * Math.sin(way), 0.2 * Math.cos(way), 0.2 * Math.sin(way));
    const state = createRodState(arm);
    const work = createRodWork(arm);
    expect(solveHeld(arm, load, stanceAlongX(), bend, state, work).status).toBe("slack");
    expect(checkBalance(arm, load, stanceAlongX(), state)).toBeLessThan(1e-6);
    for (let j = 0; j < 2; j++) {
      for (let pair = 0; pair < 2; pair++) {
        // of two opposed cables one pulls at most
        const [a, b] = [state.tension[4 * j + pair] as number, state.tension[4 * j + pair + 2] as number];
        expect(Math.min(a, b)).toBe(0);
        expect(Math.max(a, b)).toBeGreaterThanOrEqual(0);
      }
    }
  });
});

describe("drives locked, the load turned over: a cable drops out and is as good as cut", () => {
  const arm = createArm(twinArm({ sections: 2, spans: 6, pretension: 4 }));
  const work = createRodWork(arm);
  const held = createRodState(arm);
  solveHeld(arm, load, stanceAlongX(), Float64Array.of(0.1, 0.1, -0.1, 0.1), held, work);
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, held, work, free);
  const heavy: Load = { ...load, forces: [{ vertebra: 12, force: [0, 3, 6], at: [0, 0, 0] }] };
  const state = copyRodState(held);
  const report = solveLocked(arm, heavy, stanceAlongX(), free, state, work);
  const slack = Array.from(state.tension.keys()).filter((c) => state.tension[c] === 0);
  const lengths = work.cableLength.slice();

  test("some are slack, some are not, and it is balanced", () => {
    expect(report.status).toBe("slack");
    expect(slack.length).toBeGreaterThan(0);
    expect(slack.length).toBeLessThan(arm.cables);
    expect(checkBalance(arm, heavy, stanceAlongX(), state)).toBeLessThan(1e-6);
  });

  test("letting a slack cable out further changes nothing; drawn in by its slack it is just taut", () => {
    for (const c of slack) {
      const more = free.slice();
      more[c] = (free[c] as number) + 5e-3;
      const other = copyRodState(state);
      expect(solveLocked(arm, heavy, stanceAlongX(), more, other, createRodWork(arm)).status).toBe("slack");
      other.strain.forEach((value, k) => {
        expect(Math.abs(value - (state.strain[k] as number))).toBeLessThan(1e-7);
      });
      more[c] = (lengths[c] as number) - 1e-6;
      const taut = copyRodState(state);
      solveLocked(arm, heavy, stanceAlongX(), more, taut, createRodWork(arm));
      expect(taut.tension[c]).toBeGreaterThan(0);
      expect(taut.tension[c]).toBeLessThan(0.1);
    }
  });

  test("its tensions alone, the slack ones none, give the same shape", () => {
    const given = createRodState(arm);
    given.tension.set(state.tension);
    given.strain.set(state.strain);
    expect(solveTensions(arm, heavy, stanceAlongX(), given, createRodWork(arm)).status).toBe("stable");
    given.strain.forEach((value, k) => {
      expect(Math.abs(value - (state.strain[k] as number))).toBeLessThan(1e-6);
    });
  });
});
