import { describe, expect, test } from "vitest";
import { type ArmModel, createArm } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import {
  cableGive,
  cableStiffness,
  checkBalance,
  copyRodState,
  createRodState,
  createRodWork,
  type Load,
  type RodState,
  type RodWork,
  readFreeLengths,
  setStance,
  solveHeld,
  solveLocked,
  solveTensions,
  tipCompliance,
} from "../../src/rod/index.ts";
import { evaluate } from "../../src/rod/tangent.ts";
import { stanceAlongX } from "./arms.ts";
import { twinArm } from "./twin.ts";

const arm = createArm(twinArm({ sections: 3, spans: 5, pretension: 4 }));
const stance = stanceAlongX();
const load: Load = { gravity: [1, -2, -9.5], forces: [{ vertebra: 15, force: [0.2, -0.1, 0.1], at: [0, 0, 0.01] }] };
const bend = Float64Array.of(0.2, -0.1, 0.1, 0.2, -0.2, 0.1);

interface Held {
  state: RodState;
  work: RodWork;
  free: Float64Array;
  frame: Float64Array;
}

function held(model: ArmModel = arm): Held {
  const work = createRodWork(model);
  const state = createRodState(model);
  expect(solveHeld(model, load, stance, bend, state, work).status).toBe("stable");
  const free = new Float64Array(model.cables);
  readFreeLengths(model, state, work, free);
  return { state, work, free, frame: work.frame.slice() };
}

/** The whole energy of strains with locked drives: rods and loads, and each cable's stretch, which cannot push. */
function energyOf(strain: Float64Array, free: Float64Array, work: RodWork, on: Load = load): number {
  setStance(arm, stance, work);
  evaluate(arm, on, strain, new Float64Array(arm.cables), false, work);
  let energy = work.energy;
  for (let c = 0; c < arm.cables; c++)
    energy += (cableStiffness(arm, c) / 2) * Math.max(0, (work.cableLength[c] as number) - (free[c] as number)) ** 2;
  return energy;
}

describe("locked drives", () => {
  test("the free lengths of a held shape give it back, and nothing moves", () => {
    const { state, work, free, frame } = held();
    const locked = copyRodState(state);
    const report = solveLocked(arm, load, stance, free, locked, work);
    expect([report.status, report.iterations]).toEqual(["stable", 1]);
    locked.strain.forEach((v, k) => expect(Math.abs(v - (state.strain[k] as number))).toBeLessThan(1e-9));
    locked.tension.forEach((v, c) => expect(Math.abs(v - (state.tension[c] as number))).toBeLessThan(1e-6));
    frame.forEach((v, k) => expect(Math.abs(v - (work.frame[k] as number))).toBeLessThan(1e-11));
  });

  test("from a cold start too", () => {
    const { state, work, free } = held();
    const cold = createRodState(arm);
    expect(solveLocked(arm, load, stance, free, cold, work).status).toBe("stable");
    // stiff cables: 1e5 N/m; 1e-9 rad of the stop
    cold.tension.forEach((v, c) => expect(Math.abs(v - (state.tension[c] as number))).toBeLessThan(1e-5));
  });

  test("tension is stretch times stiffness, or there is none and the cable hangs loose", () => {
    const { state, work, free } = held();
    const heavy: Load = { ...load, forces: [{ vertebra: 15, force: [3, 2, -4], at: [0, 0, 0] }] };
    const report = solveLocked(arm, heavy, stance, free, state, work);
    expect(report.status).toBe("slack");
    expect(checkBalance(arm, heavy, stance, state)).toBeLessThan(1e-7);
    let loose = 0;
    for (let c = 0; c < arm.cables; c++) {
      const stretch = (work.cableLength[c] as number) - (free[c] as number);
      const t = state.tension[c] as number;
      expect(t).toBeGreaterThanOrEqual(0);
      if (t === 0) {
        loose++;
        expect(stretch).toBeLessThanOrEqual(0);
      } else expect(Math.abs(t - stretch * cableStiffness(arm, c))).toBeLessThan(1e-6);
    }
    expect(loose).toBeGreaterThan(0);
    expect(loose).toBeLessThan(arm.cables);
  });

  test("stiffness of a cable: EA over its way from the drive (strand of 0.6 mm, 73 GPa, 1.15 m: 50 N stretch it by 2.8 mm)", () => {
    // 2 m of it would give 4.8 mm
    const k = cableStiffness(arm, 8);
    expect((50 / k) * 1e3).toBeCloseTo((50 * 1.15e3) / (73e9 * Math.PI * 0.09e-6), 10);
    expect((50 / k) * (2 / 1.15) * 1e3).toBeCloseTo(4.8, 1);
    expect(cableStiffness(arm, 0)).toBeGreaterThan(k);
  });

  test("strand, conduit and drive give in series: the ways of their own under 50 N add up", () => {
    const soft = { ...arm, description: { ...arm.description, conduitLength: 2, conduitStiffness: 8000, driveStiffness: 40_000 } };
    const strand = (50 * (1.15 - 1 + 2)) / (73e9 * Math.PI * 0.09e-6);
    const give = cableGive(soft, 8);
    expect(50 / cableStiffness(soft, 8)).toBeCloseTo(strand + (50 * 2) / 8000 + 50 / 40_000, 12);
    expect(give.strandInArm + give.strandInConduit).toBeCloseTo(strand / 50, 15);
    expect([give.conduit, give.drive]).toEqual([2 / 8000, 1 / 40_000]);
  });

  test.each([0, 12])("the balance is the least energy: 300 random small motions all cost some, %d N at the tip (seed 51)", (force) => {
    const { state, work, free } = held();
    const heavy: Load = { ...load, forces: [{ vertebra: 15, force: [0, 0.3 * force, -0.3 * force], at: [0, 0, 0] }] };
    expect(solveLocked(arm, heavy, stance, free, state, work).status).toBe(force === 0 ? "stable" : "slack");
    const random = createRandom(51);
    const least = energyOf(state.strain, free, work, heavy);
    const size = [10, 10, 2, 1e-3];
    for (let k = 0; k < 300; k++) {
      const share = 10 ** (-3 * random());
      const other = Float64Array.from(state.strain, (v, s) => v + share * (2 * random() - 1) * (size[s % 4] as number));
      expect(energyOf(other, free, work, heavy)).toBeGreaterThan(least);
    }
  });

  test("sag two ways: gravity and tool off with the drives locked, and back on", { timeout: 30_000 }, () => {
    const { state, work, free, frame } = held();
    const off = copyRodState(state);
    const bare: Load = { gravity: [0, 0, 0], forces: [], toolShare: 0 };
    expect(["stable", "slack"]).toContain(solveLocked(arm, bare, stance, free, off, work).status);
    const tip = 12 * arm.spans + 9;
    const sag = [0, 1, 2].map((r) => (frame[tip + r] as number) - (work.frame[tip + r] as number));
    // back on in forty steps, from the other side
    const on = copyRodState(off);
    for (let k = 1; k <= 40; k++) {
      const share = k / 40;
      const part: Load = {
        gravity: [load.gravity[0] * share, load.gravity[1] * share, load.gravity[2] * share],
        forces: load.forces.map((f) => ({ ...f, force: [f.force[0] * share, f.force[1] * share, f.force[2] * share] as const })),
        toolShare: 1,
      };
      expect(["stable", "slack"]).toContain(solveLocked(arm, part, stance, free, on, work).status);
    }
    const back = [0, 1, 2].map((r) => (work.frame[tip + r] as number) - (frame[tip + r] as number));
    expect(Math.hypot(...sag)).toBeGreaterThan(2e-4);
    expect(Math.hypot(...back)).toBeLessThan(1e-9);
  });

  test("held drives sag less than the same tensions kept", () => {
    const { state, work, free, frame } = held();
    const more: Load = { ...load, forces: [{ vertebra: 15, force: [0.2, -0.1, -0.4], at: [0, 0, 0.01] }] };
    const tip = 12 * arm.spans + 11;
    const locked = copyRodState(state);
    solveLocked(arm, more, stance, free, locked, work);
    const a = Math.abs((work.frame[tip] as number) - (frame[tip] as number));
    const kept = copyRodState(state);
    expect(solveTensions(arm, more, stance, kept, work).status).toBe("stable");
    const b = Math.abs((work.frame[tip] as number) - (frame[tip] as number));
    expect(a).toBeLessThan(0.6 * b);
  });
});

describe("tip compliance against differences (seed 61)", () => {
  const wrenches = [0, 1, 2, 3, 4, 5];
  test.each<["locked" | "tensions", boolean]>([
    ["locked", false],
    ["locked", true],
    ["tensions", false],
  ])("%s, with slack cables: %s", (drives, slack) => {
    const { state, work, free } = held();
    const on: Load = slack ? { ...load, forces: [{ vertebra: 15, force: [3, 2, -4], at: [0, 0, 0] }] } : load;
    const settle = (extra: Partial<Load>, s: RodState): void => {
      const all = { ...on, ...extra };
      const options = { tolerance: 1e-12 };
      const report =
        drives === "locked" ? solveLocked(arm, all, stance, free, s, work, options) : solveTensions(arm, all, stance, s, work, options);
      expect(["stable", "slack"]).toContain(report.status);
    };
    settle({}, state);
    expect(state.tension.some((t) => t === 0)).toBe(slack);
    const compliance = new Float64Array(36);
    tipCompliance(arm, state, drives, work, compliance);
    const f = work.frame.slice(12 * arm.spans);
    const turn = (column: number, v: Float64Array, at: number): number =>
      [0, 1, 2].reduce((sum, r) => sum + (f[3 * r + column] as number) * (v[at + r] as number), 0);
    for (const k of wrenches) {
      const h = k < 3 ? 2e-4 : 2e-3;
      const at = (step: number): Float64Array => {
        const other = copyRodState(state);
        // a dead wrench along the tip's axes as they are: a force in the world, a moment in the world
        const axis = [0, 1, 2].map((r) => step * (f[3 * r + (k % 3)] as number)) as [number, number, number];
        settle(k < 3 ? { moment: axis } : { forces: [...on.forces, { vertebra: arm.spans, force: axis, at: [0, 0, 0] }] }, other);
        return work.frame.slice(12 * arm.spans);
      };
      const [plus, minus] = [at(h), at(-h)];
      const d = Float64Array.from(plus, (v, n) => (v - (minus[n] as number)) / (2 * h));
      const columnRate = (a: number, b: number): number =>
        [0, 1, 2].reduce((sum, r) => sum + (f[3 * r + a] as number) * (d[3 * r + b] as number), 0);
      const motion = [
        (columnRate(2, 1) - columnRate(1, 2)) / 2,
        (columnRate(0, 2) - columnRate(2, 0)) / 2,
        (columnRate(1, 0) - columnRate(0, 1)) / 2,
        turn(0, d, 9),
        turn(1, d, 9),
        turn(2, d, 9),
      ];
      const largest = Math.max(...motion.slice(0, 3).map(Math.abs), ...motion.slice(3).map((v) => 10 * Math.abs(v)));
      // plain central differences over turns of about 1e-3 rad: 1e-6
      motion.forEach((v, r) => expect(Math.abs(v - (compliance[6 * r + k] as number)) * (r < 3 ? 1 : 10)).toBeLessThan(2e-5 * largest));
    }
    // dead loads: what a force does to a turn, a moment does to a shift
    for (let r = 0; r < 6; r++)
      for (let c = 0; c < r; c++) {
        const scale = Math.sqrt((compliance[7 * r] as number) * (compliance[7 * c] as number));
        expect(Math.abs((compliance[6 * r + c] as number) - (compliance[6 * c + r] as number))).toBeLessThan(1e-9 * scale);
      }
  });

  test("locked drives are stiffer in every direction", () => {
    const { state, work } = held();
    const locked = new Float64Array(36);
    const kept = new Float64Array(36);
    tipCompliance(arm, state, "locked", work, locked);
    tipCompliance(arm, state, "tensions", work, kept);
    const random = createRandom(61);
    for (let k = 0; k < 100; k++) {
      const w = wrenches.map((n) => (2 * random() - 1) * (n < 3 ? 1 : 10));
      const give = (c: Float64Array): number =>
        w.reduce((sum, a, r) => sum + a * w.reduce((s, b, n) => s + b * (c[6 * r + n] as number), 0), 0);
      expect(give(locked)).toBeGreaterThan(0);
      expect(give(locked)).toBeLessThanOrEqual(give(kept));
    }
  });
});

describe("statuses", () => {
  test("one step is not enough, and says so", () => {
    const { work, free } = held();
    const report = solveLocked(arm, load, stance, free, createRodState(arm), work, { mostSteps: 1, ramp: false });
    expect([report.status, report.iterations]).toEqual(["not-converged", 1]);
  });

  test("a cable that is let out hangs loose", () => {
    const { state, work, free } = held();
    free[8] = (free[8] as number) + 0.02;
    expect(solveLocked(arm, load, stance, free, state, work).status).toBe("slack");
    expect(state.tension[8]).toBe(0);
    expect(work.cableLength[8]).toBeLessThan(free[8] as number);
  });

  test("all cables let out: the arm hangs as with no tensions", () => {
    const { state, work, free } = held();
    expect(
      solveLocked(
        arm,
        load,
        stance,
        free.map((v) => v + 0.1),
        state,
        work,
      ).status,
    ).toBe("slack");
    const none = createRodState(arm);
    none.tension.fill(0);
    const frame = work.frame.slice();
    expect(solveTensions(arm, load, stance, none, work).status).toBe("stable");
    frame.forEach((v, k) => expect(Math.abs(v - (work.frame[k] as number))).toBeLessThan(1e-9));
  });
});
