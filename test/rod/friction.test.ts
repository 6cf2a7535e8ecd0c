/** Cable friction: the balance computed a second way, its history, and the dead band against whole solves. */
import { describe, expect, test } from "vitest";
import { type ArmDescription, createArm } from "../../src/arm/index.ts";
import {
  checkBalance,
  copyRodState,
  createDeadBand,
  createRodState,
  createRodWork,
  driveTension,
  findDeadBand,
  type Load,
  readFreeLengths,
  type Stance,
  settleGrips,
  slideCables,
  slideToGrip,
  solveHeld,
  solveLocked,
} from "../../src/rod/index.ts";
import { plainRod, stanceAlongX } from "./arms.ts";

const four = [0, Math.PI / 2, Math.PI, (3 * Math.PI) / 2];
const range = (low: number, high: number) => ({ low, nominal: (low + high) / 2, high });

function description(low: number, high: number, conduitTurn = 1): ArmDescription {
  const turned = (by: number): number[] => four.map((angle) => angle + by);
  const plain = plainRod({
    length: 0.4,
    spans: 40,
    ei: 0.1,
    massPerLength: 0.1,
    cables: [four, turned(0.4)],
    cableRadius: 6e-3,
    pretension: 5,
  });
  // as stiff as a strand of 0.6 mm
  const cable = { name: "test", diameter: 1e-4, effectiveModulus: 2.6e12, breakingLoad: 500, massPerLength: 0 };
  const sections = plain.sections.map((section) => ({ ...section, cable }));
  return { ...plain, sections, conduitLength: 0.5, friction: { holes: range(low, high), conduit: range(low / 2, high / 2), conduitTurn } };
}

const load: Load = { gravity: [0, 0, -9.81], forces: [{ vertebra: 40, force: [0, 0, -0.5], at: [0, 0, 0] }] };
const bend = Float64Array.of(0.2, 0.5, -0.3, 0.4);

function held(low: number, high: number, grip: (k: number) => number) {
  const arm = createArm(description(low, high));
  const state = createRodState(arm);
  const work = createRodWork(arm);
  for (let k = 0; k < state.grip.length; k++) state.grip[k] = grip(k);
  const report = solveHeld(arm, load, stanceAlongX(), bend, state, work);
  return { arm, state, work, report };
}

const mixed = (k: number): number => Math.cos(7 * k);

describe("shapes with friction", () => {
  test("are balanced by a second computation, whatever the grips (held and locked)", () => {
    const { arm, state, work, report } = held(0.1, 0.3, mixed);
    expect(report.status).toBe("stable");
    expect(checkBalance(arm, load, stanceAlongX(), state)).toBeLessThan(1e-8);
    const free = new Float64Array(arm.cables);
    readFreeLengths(arm, state, work, free);
    const locked = copyRodState(state);
    const more: Load = { ...load, forces: [{ vertebra: 40, force: [0.3, 0.4, -0.6], at: [0, 0, 0] }] };
    expect(solveLocked(arm, more, stanceAlongX(), free, locked, work).status).toBe("stable");
    expect(checkBalance(arm, more, stanceAlongX(), locked)).toBeLessThan(1e-8);
    for (let c = 0; c < arm.cables; c++)
      expect((work.cableLength[c] as number) - (free[c] as number)).toBeCloseTo(
        (locked.tension[c] as number) * (work.give[c] as number),
        12,
      );
  });

  test("lengths that a held shape asks for, locked, give the same shape back", () => {
    const { arm, state, work } = held(0.1, 0.3, mixed);
    const free = new Float64Array(arm.cables);
    readFreeLengths(arm, state, work, free);
    const again = createRodState(arm);
    again.grip.set(state.grip);
    expect(solveLocked(arm, load, stanceAlongX(), free, again, work).status).toBe("stable");
    again.strain.forEach((value, k) => expect(value).toBeCloseTo(state.strain[k] as number, 6));
    again.tension.forEach((value, c) => expect(value).toBeCloseTo(state.tension[c] as number, 6));
  });

  test("the slackest place of a section's slackest cable is at the pretension, conduit included", () => {
    for (const grip of [1, -1]) {
      const { arm, state, work } = held(0.1, 0.3, () => grip);
      for (let j = 0; j < 2; j++) {
        let least = Number.POSITIVE_INFINITY;
        for (let c = 4 * j; c < 4 * j + 4; c++) {
          const end = arm.firstSpan[j + 1] as number;
          for (let i = 0; i < end; i++) least = Math.min(least, (state.tension[c] as number) * (work.share[8 * i + c] as number));
          least = Math.min(least, state.tension[c] as number, driveTension(arm, state, c));
        }
        expect(least).toBeCloseTo(5, 6);
      }
    }
  });

  test("what is let out and what is drawn in: with all grips turned about, the drive of a bent section pulls less", () => {
    const most = (grip: number): number => {
      const { arm, state } = held(0.1, 0.3, () => grip);
      return Math.max(...Array.from(state.tension, (_, c) => driveTension(arm, state, c)));
    };
    expect(most(1)).toBeGreaterThan(most(0));
    expect(most(-1)).toBeLessThan(most(0));
  });
});

describe("history", () => {
  test("a bend that grows draws the inner cables in and lets the outer ones out; turned back, they change about", () => {
    const arm = createArm(description(0.1, 0.3));
    const state = createRodState(arm);
    const work = createRodWork(arm);
    const at = (angle: number): void => {
      const way = Float64Array.of(0, angle, 0, 0);
      expect(solveHeld(arm, { gravity: [0, 0, 0], forces: [] }, stanceAlongX(), way, state, work).status).toBe("stable");
      slideCables(arm, state, work);
    };
    at(0.5);
    // cables of the first section at 0 and 180 degrees: x = 6 mm is inside of a turn about +y
    expect(state.grip[0]).toBe(1);
    expect(state.grip[2]).toBe(-1);
    at(0.45);
    expect(state.grip[0]).toBe(-1);
    expect(state.grip[2]).toBe(1);
  });

  test("shape and grips settled together: the grips are what slides on the way to the shape, and asked again nothing moves", () => {
    const arm = createArm(description(0.1, 0.3));
    const state = createRodState(arm);
    const work = createRodWork(arm);
    const settle = (angle: number) => {
      const way = Float64Array.of(0, angle, 0, 0);
      return settleGrips(
        arm,
        state,
        work,
        () => solveHeld(arm, { gravity: [0, 0, 0], forces: [] }, stanceAlongX(), way, state, work).status,
      );
    };
    for (const angle of [0.5, 0.45, 0.3]) {
      const before = copyRodState(state);
      expect(settle(angle)).toMatchObject({ status: "stable", settled: true });
      before.strain.set(state.strain);
      before.tension.set(state.tension);
      slideCables(arm, before, work);
      before.grip.forEach((value, k) => expect(Math.abs(value - (state.grip[k] as number))).toBeLessThan(2e-3));
    }
    const tensions = state.tension.slice();
    for (let again = 0; again < 3; again++) expect(settle(0.3).settled).toBe(true);
    // moved on from rest each time by what is left of a thousandth of its friction
    state.tension.forEach((value, c) => expect(Math.abs(value - (tensions[c] as number))).toBeLessThan(0.02));
  });

  test("a reversal is a front: a cable let out a little turns over at its drive first, less and less towards its end", () => {
    const { arm, state, work } = held(0.1, 0.3, () => 1);
    state.grip.fill(1);
    slideCables(arm, state, work);
    state.grip.fill(1);
    expect(solveHeld(arm, load, stanceAlongX(), bend, state, work).status).toBe("stable");
    slideCables(arm, state, work);
    const free = new Float64Array(arm.cables);
    readFreeLengths(arm, state, work, free);
    const cable = 4;
    free[cable] = (free[cable] as number) + slideToGrip;
    expect(solveLocked(arm, load, stanceAlongX(), free, state, work).status).toBe("stable");
    slideCables(arm, state, work);
    const grips = Array.from({ length: 40 }, (_, i) => state.grip[8 * i + cable] as number);
    const mean = (from: number): number => grips.slice(from, from + 10).reduce((sum, grip) => sum + grip / 10, 0);
    expect(mean(0)).toBeLessThan(mean(15) - 0.02);
    expect(mean(15)).toBeLessThan(mean(30) - 0.02);
  });

  test("is in the state alone: a clone with fresh work goes on with the same bits", () => {
    const arm = createArm(description(0.1, 0.3));
    const run = (clone: boolean): Float64Array => {
      let state = createRodState(arm);
      let work = createRodWork(arm);
      for (let k = 1; k <= 5; k++) {
        solveHeld(arm, load, stanceAlongX(0.05 * (5 - k)), Float64Array.of(0.1 * k, 0, -0.05 * k, 0.02), state, work);
        slideCables(arm, state, work);
        if (clone) [state, work] = [structuredClone(state), createRodWork(arm)];
      }
      return Float64Array.of(...state.strain, ...state.grip, ...state.run);
    };
    expect(run(true)).toEqual(run(false));
  });
});

describe("dead band against whole solves with the drives locked", () => {
  const stance: Stance = stanceAlongX();

  /** Motion of every vertebra's centre when the same arm with other friction stands on the same drive lengths. */
  function moved(from: ReturnType<typeof held>, other: ArmDescription, grip: Float64Array): number[] {
    const free = new Float64Array(from.arm.cables);
    readFreeLengths(from.arm, from.state, from.work, free);
    const frames = from.work.frame.slice();
    const arm = createArm(other);
    const state = copyRodState(from.state);
    state.grip.set(grip);
    const work = createRodWork(arm);
    expect(solveLocked(arm, load, stance, free, state, work).status).toBe("stable");
    return Array.from({ length: 41 }, (_, i) =>
      Math.hypot(...[9, 10, 11].map((k) => (work.frame[12 * i + k] as number) - (frames[12 * i + k] as number))),
    );
  }

  test.each([0.02, 0.01])("known directions, coefficients anywhere in their range of +- %f: to first order", (width) => {
    const from = held(0.1 - width, 0.1 + width, mixed);
    const band = createDeadBand(from.arm);
    expect(findDeadBand(from.arm, from.state, from.work, band)).toBe(true);
    const high = moved(from, description(0.1 + width, 0.1 + width), from.state.grip);
    const low = moved(from, description(0.1 - width, 0.1 - width), from.state.grip);
    const tip = Math.max(high[40] as number, low[40] as number);
    expect(tip).toBeGreaterThan(1e-5);
    // second order in the width: 3 % and 1.5 % of the band
    expect(Math.abs((band.known.shift[40] as number) / tip - 1)).toBeLessThan(1.5 * width);
  });

  test("unknown directions: no random choice of them for whole cables moves any vertebra further", () => {
    const from = held(0.03, 0.05, mixed);
    const band = createDeadBand(from.arm);
    findDeadBand(from.arm, from.state, from.work, band);
    let nearest = 0;
    for (let pick = 0; pick < 256; pick += 5) {
      const grip = from.state.grip.map((_, k) => ((pick >> (k % 8)) & 1 ? 1 : -1));
      const motion = moved(from, description(0.05, 0.05), grip);
      motion.forEach((value, i) => expect(value).toBeLessThanOrEqual(1.02 * (band.full.shift[i] as number) + 1e-9));
      nearest = Math.max(nearest, (motion[40] as number) / (band.full.shift[40] as number));
    }
    expect(nearest).toBeGreaterThan(0.3);
  });

  test("without friction there is none", () => {
    const from = held(0, 0, () => 0);
    const band = createDeadBand(from.arm);
    expect(findDeadBand(from.arm, from.state, from.work, band)).toBe(true);
    expect(Math.max(...band.full.shift)).toBe(0);
    from.state.tension.forEach((value, c) => expect([band.most[c], band.least[c]]).toEqual([value, value]));
  });
});
