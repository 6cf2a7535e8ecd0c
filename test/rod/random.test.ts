/**
 * Arms, loads and stances drawn at random: every answer is balanced by the independent computation, or says that it is none.
 * 200 cases in a test run; 4000 in a soak run (WITHY_SOAK=1), which with those of random-surroundings.test.ts are ten thousand.
 */
import { describe, expect, test } from "vitest";
import {
  checkBalance,
  copyRodState,
  createRodState,
  createRodWork,
  type Load,
  type RodState,
  readFreeLengths,
  type SolveReport,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
import { randomCase } from "./random-arm.ts";

const soak = process.env["WITHY_SOAK"] === "1";
const total = soak ? 4000 : 200;
const group = soak ? 500 : 50;

/**
 * N m. The check's own differences leave about 1e-9 of joints of 1 to 1e4 N m/rad; the solvers stop within 1e-8 rad of the balance after
 * a step that leaves the square of it.
 */
const residual = 1e-6;

/** Cases with a status that is not shown are counted, so that a solver that gives up on all would be seen. */
interface Tally {
  held: number;
  locked: number;
  tensions: number;
}

describe.each(Array.from({ length: total / group }, (_, k) => k * group))("seeds from %d on", (from) => {
  const tally: Tally = { held: 0, locked: 0, tensions: 0 };

  test("balanced, or says it is not", { timeout: soak ? 3_600_000 : 120_000 }, () => {
    for (let seed = from; seed < from + group; seed++) solveCase(seed, tally);
  });

  test("few are left without an answer", () => {
    // arms are asked for less than half their joints' stops: held shapes nearly always are there
    expect(tally.held).toBeLessThanOrEqual(0.04 * group);
    expect(tally.locked).toBeLessThanOrEqual(0.04 * group);
    // tensions found for one shape may pull a cold arm into a knot, where a cable in a hinge has no length left
    expect(tally.tensions).toBeLessThanOrEqual(0.1 * group);
  });
});

function solveCase(seed: number, tally: Tally): void {
  const { arm, load, stance, bend } = randomCase(seed);
  const work = createRodWork(arm);
  const state = createRodState(arm);
  const check = (what: string, report: SolveReport, at: RodState, on: Load): boolean => {
    const place = `seed ${seed}, ${what}: ${report.status}`;
    if (report.status === "not-converged") {
      // a bounded number of steps: it ended
      expect([place, report.iterations <= 2500]).toEqual([place, true]);
      return false;
    }
    const left = checkBalance(arm, on, stance, at);
    expect([place, left < residual, left]).toEqual([place, true, left]);
    for (const v of work.frame) expect(Number.isFinite(v)).toBe(true);
    expect(at.tension.every((t) => t >= -1e-9)).toBe(true);
    if (report.status === "stable" && what !== "tensions") expect([place, at.tension.every((t) => t > 0)]).toEqual([place, true]);
    expect([place, report.status === "buckled"]).toEqual([place, report.unstable > 0]);
    return true;
  };
  if (!check("held", solveHeld(arm, load, stance, bend, state, work), state, load)) {
    tally.held++;
    return;
  }
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work, free);
  const again = copyRodState(state);
  const locked = solveLocked(arm, load, stance, free, again, work);
  check("its lengths locked", locked, again, load);
  // an unstable balance may be left for another one
  if (locked.status === "stable") again.strain.forEach((v, k) => expect(Math.abs(v - (state.strain[k] as number))).toBeLessThan(1e-3));
  const bare: Load = { gravity: [0, 0, 0], forces: [], toolShare: 0 };
  const off = copyRodState(state);
  if (!check("locked, load off", solveLocked(arm, bare, stance, free, off, work), off, bare)) tally.locked++;
  const cold = createRodState(arm);
  if (!check("locked, cold", solveLocked(arm, load, stance, free, cold, work), cold, load)) tally.locked++;
  const kept = createRodState(arm);
  kept.tension.set(state.tension);
  if (!check("tensions", solveTensions(arm, load, stance, kept, work), kept, load)) tally.tensions++;
}

test("the independent balance sees what is out of balance, each kind of strain and tension by itself (seed 3)", () => {
  const { arm, load, stance, bend } = randomCase(3);
  const work = createRodWork(arm);
  const state = createRodState(arm);
  expect(["stable", "slack"]).toContain(solveHeld(arm, load, stance, bend, state, work).status);
  expect(checkBalance(arm, load, stance, state)).toBeLessThan(residual);
  const i = arm.spans - 2;
  const length = work.flexible[i] as number;
  for (let k = 0; k < 4; k++) {
    const other = copyRodState(state);
    // a hundredth of a radian, or 1e-4 of the length: stiffness K of the joint times that, at least its half (others move too)
    const step = k === 3 ? 1e-4 : 1e-2 / length;
    other.strain[4 * i + k] = (other.strain[4 * i + k] as number) + step;
    const lever = k === 3 ? (arm.description.sections[arm.sectionOfSpan[i] as number]?.cableRadius as number) : 1;
    expect(checkBalance(arm, load, stance, other)).toBeGreaterThan(0.5 * (arm.stiffness[16 * i + 5 * k] as number) * step * lever);
  }
  const other = copyRodState(state);
  other.tension[arm.cables - 1] = (other.tension[arm.cables - 1] as number) + 1;
  // one more newton on its lever arm
  const c = arm.cables - 1;
  expect(checkBalance(arm, load, stance, other)).toBeGreaterThan(
    0.5 * Math.max(Math.abs(arm.cableX[c] as number), Math.abs(arm.cableY[c] as number)),
  );
});
