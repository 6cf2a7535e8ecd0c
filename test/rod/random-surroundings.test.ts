/**
 * Random arms whose cables rub, in fluid, among walls: every answer is balanced by the independent computation, or says that it is none, and
 * each ends within a bounded number of steps. Shares without an answer are held down, so that a solver that gives up would be seen.
 * Six thousand of them in a soak run (WITHY_SOAK=1), fewest among walls, where an arm takes ten times as long as one that only rubs.
 */
import { describe, expect, test } from "vitest";
import {
  checkBalance,
  copyRodState,
  createRodState,
  createRodWork,
  readFreeLengths,
  type SolveReport,
  slideCables,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
import { roughCase, type Surroundings } from "./random-surroundings.ts";

const soak = process.env["WITHY_SOAK"] === "1";

/** Surroundings, cases in a test run and in a soak run, N m that may be left over, shares of cases that may be left without an answer (held, locked, tensions). */
const kinds: readonly [string, Surroundings, readonly [few: number, soak: number], number, readonly number[]][] = [
  ["rubbing cables", { friction: true }, [200, 2000], 1e-6, [0.04, 0.04, 0.1]],
  ["rubbing cables in fluid, a base that gives", { friction: true, fluid: true, base: true }, [100, 500], 1e-6, [0.04, 0.04, 0.1]],
  ["rubbing cables in fluid", { friction: true, fluid: true }, [200, 2000], 1e-6, [0.04, 0.04, 0.1]],
  // differences over 1.6e-5 rad of a joint of up to 1e4 N m/rad that softens on the way: 1e-4 of that off at worst
  [
    "rubbing cables in fluid, rods that soften, joints on their stops",
    { friction: true, fluid: true, soft: true, stops: true },
    [100, 1000],
    5e-5,
    [0.15, 0.06, 0.12],
  ],
  // a corner held to 1e-8 rad in a wall of 3e5 N/m, on a lever of 0.3 m: 1e-4 N m before the last step takes its square off
  ["rubbing cables, fluid and walls", { friction: true, fluid: true, walls: true }, [30, 500], 1e-5, [0.15, 0.1, 0.2]],
];

const group = soak ? 500 : 50;

describe.each(kinds)("%s", (_, what, [few, many], residual, shares) => {
  const total = soak ? many : few;
  describe.each(Array.from({ length: Math.ceil(total / group) }, (_, k) => k * group))("seeds from %d on", (from) => {
    const tally = { held: 0, again: 0, locked: 0, tensions: 0 };
    const count = Math.min(group, total - from);

    test("balanced, or says it is not", { timeout: soak ? 3_600_000 : 120_000 }, () => {
      for (let seed = from; seed < from + count; seed++) solveCase(seed, tally);
    });

    test("few are left without an answer", () => {
      const [held, locked, tensions] = shares as [number, number, number];
      expect(tally.held).toBeLessThanOrEqual(held * count);
      expect(tally.again).toBeLessThanOrEqual(held * count);
      expect(tally.locked).toBeLessThanOrEqual(locked * count);
      expect(tally.tensions).toBeLessThanOrEqual(tensions * count);
    });
  });

  function solveCase(seed: number, tally: { held: number; again: number; locked: number; tensions: number }): void {
    const { arm, load, stance, bend } = roughCase(seed, what);
    const work = createRodWork(arm);
    const state = createRodState(arm);
    const check = (name: string, report: SolveReport, at: typeof state): boolean => {
      const place = `seed ${seed}, ${name}: ${report.status}`;
      // a ramp of walls, load and drag, each of a bounded number of steps
      expect([place, report.iterations <= 10_000]).toEqual([place, true]);
      if (report.status === "not-converged" || report.status === "jammed") return false;
      const left = checkBalance(arm, load, stance, at);
      expect([place, left < residual, left]).toEqual([place, true, left]);
      expect([place, at.tension.every((t) => t >= -1e-9), work.frame.every(Number.isFinite)]).toEqual([place, true, true]);
      expect([place, report.status === "buckled"]).toEqual([place, report.unstable > 0]);
      return true;
    };
    if (!check("held", solveHeld(arm, load, stance, bend, state, work), state)) {
      tally.held++;
      return;
    }
    slideCables(arm, state, work);
    if (!check("held, cables slid", solveHeld(arm, load, stance, bend, state, work), state)) {
      tally.again++;
      return;
    }
    const free = new Float64Array(arm.cables);
    readFreeLengths(arm, state, work, free);
    const locked = copyRodState(state);
    if (!check("its lengths locked", solveLocked(arm, load, stance, free, locked, work), locked)) tally.locked++;
    const kept = copyRodState(state);
    kept.strain.set(arm.rest);
    if (!check("its tensions", solveTensions(arm, load, stance, kept, work, { ramp: true }), kept)) tally.tensions++;
  }
});

test.each([2185, 2723])("an arm that a cold start led through a box: its state keeps the sides it was balanced with (seed %d)", (seed) => {
  const { arm, load, stance, bend } = roughCase(seed, { friction: true, fluid: true, walls: true });
  const work = createRodWork(arm);
  const state = createRodState(arm);
  solveHeld(arm, load, stance, bend, state, work);
  slideCables(arm, state, work);
  solveHeld(arm, load, stance, bend, state, work);
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work, free);
  for (const solve of [
    (at: typeof state) => solveLocked(arm, load, stance, free, at, work),
    (at: typeof state) => solveTensions(arm, load, stance, at, work),
  ]) {
    const cold = createRodState(arm);
    cold.grip.set(state.grip);
    cold.tension.set(state.tension);
    const { status } = solve(cold);
    if (status !== "not-converged") expect(checkBalance(arm, load, stance, cold)).toBeLessThan(1e-5);
  }
});

test.each([54, 59])("a rim's corner in one face of a box, its middle nearest to the face beside it (seed %d)", (seed) => {
  const { arm, load, stance, bend } = roughCase(seed, { walls: true });
  const state = createRodState(arm);
  const work = createRodWork(arm);
  expect(solveHeld(arm, load, stance, bend, state, work).status).toBe("stable");
  expect(checkBalance(arm, load, stance, state)).toBeLessThan(1e-5);
  // from its own balance: nothing moves
  const strain = state.strain.slice();
  expect(solveHeld(arm, load, stance, bend, state, work).status).toBe("stable");
  strain.forEach((v, k) => expect(Math.abs(v - (state.strain[k] as number)) * 1e-2).toBeLessThan(1e-6));
});
