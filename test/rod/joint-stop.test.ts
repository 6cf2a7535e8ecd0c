/** Stops of the joints: their part in gradient and tangent, and arms that come to rest on them. */
import { describe, expect, test } from "vitest";
import { type ArmModel, createArm, type Section } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import {
  checkBalance,
  createRodState,
  createRodWork,
  type Load,
  type RodState,
  type RodWork,
  setStance,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
import { clearColumn, evaluate, solveTangent } from "../../src/rod/tangent.ts";
import { inextensible, noLoad, plainRod, stanceAlongX } from "./arms.ts";
import { twinArm } from "./twin.ts";

const gravity: Load = { gravity: [1, -2, -9], forces: [] };

describe("gradient and tangent against differences (seed 11)", () => {
  const random = createRandom(11);
  const arm = structuredClone(createArm(twinArm({ sections: 3, spans: 4 })));
  const size = [100, 100, 20, 5e-3];
  const strain = Float64Array.from({ length: 4 * arm.spans }, (_, k) => (2 * random() - 1) * (size[k % 4] as number));
  const tension = Float64Array.from({ length: arm.cables }, () => 40 * random());
  // so far is each joint over its stop, a share of it: below, taking hold, early and late, on its line, far over
  const over = [-0.1, 0.006, 0.012, 0.05, 0.5];
  for (let i = 0; i < arm.spans; i++) {
    arm.stop[2 * i] = (2.5e-3 * Math.hypot(strain[4 * i] as number, strain[4 * i + 1] as number)) / (1 + (over[i % 5] as number));
  }
  const at = (strains: Float64Array, work: RodWork): RodWork => {
    setStance(arm, stanceAlongX(3e-3, 0.3), work);
    evaluate(arm, gravity, strains, tension, false, work);
    return work;
  };
  const difference = (f: (h: number) => number, h: number): number => (8 * (f(h / 2) - f(-h / 2)) - (f(h) - f(-h))) / (6 * h);

  test("gradient of the energy, every strain, to 1e-8", () => {
    const work = createRodWork(arm);
    const gradient = at(strain, work).gradient.slice();
    const scale = Math.max(...Array.from(gradient, (g, i) => Math.abs(g) * (size[i % 4] as number)));
    for (let k = 0; k < strain.length; k++) {
      const moved = strain.slice();
      const slope = difference(
        (h) => {
          moved[k] = (strain[k] as number) + h;
          return at(moved, work).energy;
        },
        2e-4 * (size[k % 4] as number),
      );
      expect(Math.abs(slope - (gradient[k] as number)) * (size[k % 4] as number)).toBeLessThan(1e-8 * scale);
    }
  });

  test("tangent: the gradient moves as the solution says, to 1e-7", () => {
    const work = createRodWork(arm);
    at(strain, work);
    clearColumn(arm, 0, work);
    // moments of the size of the stops' own
    const right = Float64Array.from(strain, (_, k) => (100 * (2 * random() - 1)) / (size[k % 4] as number));
    work.column.set(right);
    solveTangent(arm, 1, work);
    const x = work.column.slice(0, strain.length);
    const reach = Math.max(...Array.from(x, (v, k) => Math.abs(v) / (size[k % 4] as number)));
    for (let k = 0; k < strain.length; k++) {
      const slope = difference(
        (h) =>
          at(
            Float64Array.from(strain, (v, i) => v + h * (x[i] as number)),
            work,
          ).gradient[k] as number,
        2e-4 / reach,
      );
      expect(Math.abs(slope - (right[k] as number)) * (size[k % 4] as number)).toBeLessThan(1e-7 * 100);
    }
  });
});

/** Angle of every joint over its greatest one. */
function leaning(arm: ArmModel, state: RodState, work: RodWork): number[] {
  return Array.from({ length: arm.spans }, (_, i) => {
    const angle = (work.flexible[i] as number) * Math.hypot(state.strain[4 * i] as number, state.strain[4 * i + 1] as number);
    return angle / (arm.stop[2 * i] as number);
  });
}

test("a moment beyond the stop turns a joint by what rod and stop share: worked by hand", () => {
  // one span of 10 mm, EI 1e-2 N m2: 1 N m/rad; stop at 0.2 rad, 40 N m/rad, taking hold over 4 mrad
  const description = plainRod({ length: 10e-3, spans: 1, ei: 1e-2 });
  const sections = description.sections.map((s) => ({ ...s, jointLimit: 0.2, stopStiffness: 40 }));
  const arm = createArm({ ...description, sections }, { lock: ["axial", "twist"] });
  const turn = (moment: number): number => {
    const state = createRodState(arm);
    const load: Load = { ...noLoad, following: [moment, 0, 0, 0, 0, 0] };
    expect(solveTensions(arm, load, stanceAlongX(), state, createRodWork(arm)).status).toBe("stable");
    expect(checkBalance(arm, load, stanceAlongX(), state)).toBeLessThan(1e-9);
    return 10e-3 * (state.strain[0] as number);
  };
  expect(turn(0.15)).toBeCloseTo(0.15, 12);
  expect(turn(0.2)).toBeCloseTo(0.2, 12);
  // 41 theta - 40 (0.2 + 0.002) = 1
  expect(turn(1)).toBeCloseTo((1 + 40 * 0.202) / 41, 12);
  // half-way in: moment of the stop 40 * 0.002^2 / (2 * 0.004) = 0.02
  expect(turn(0.202 + 0.02)).toBeCloseTo(0.202, 12);
});

describe("given tensions that folded the hinges come to rest on the stops", () => {
  const arm = createArm(twinArm({ sections: 2, spans: 6 }));

  test.each([100, 1000, 4000])("one cable pulls %d N", (pull) => {
    const work = createRodWork(arm);
    const state = createRodState(arm);
    state.tension.set([pull, 0, 0, 0, 0, 0]);
    const report = solveTensions(arm, gravity, stanceAlongX(), state, work);
    expect(report.status).toBe("stable");
    expect(checkBalance(arm, gravity, stanceAlongX(), state)).toBeLessThan(1e-6);
    const most = Math.max(...leaning(arm, state, work));
    expect(most).toBeGreaterThan(1);
    // the stop gives by no more than its share of the pull's moment on the whole circle of cables, and by the way it takes hold
    const { outerDiameter, effectiveLength } = arm.description.sections[0] as Section;
    const stiffness = ((2 * 60e9 * Math.PI * 0.5e-3 ** 2) / effectiveLength) * (outerDiameter / 2) ** 2;
    expect(arm.stop[1]).toBeCloseTo(stiffness, 6);
    expect(most).toBeLessThan(1.01 + (pull * 6.3e-3) / stiffness / 0.2 + 0.01);
  });

  test("locked drives too: a cable drawn in far too short", () => {
    const work = createRodWork(arm);
    const state = createRodState(arm);
    const free = Float64Array.from({ length: 6 }, () => 40e-3);
    free[0] = 6e-3;
    expect(solveLocked(arm, gravity, stanceAlongX(), free, state, work).status).toBe("slack");
    expect(checkBalance(arm, gravity, stanceAlongX(), state)).toBeLessThan(1e-6);
    expect(Math.max(...leaning(arm, state, work))).toBeGreaterThan(1);
  });
});

test("up to the greatest angle nothing changes, to the last bit", () => {
  const description = twinArm({ sections: 3, spans: 6 });
  const solve = (stopStiffness: number): [RodState, string, number] => {
    const arm = createArm({ ...description, sections: description.sections.map((s) => ({ ...s, stopStiffness })) });
    const work = createRodWork(arm);
    const state = createRodState(arm);
    const report = solveHeld(arm, gravity, stanceAlongX(), Float64Array.of(0.2, 0.3, -0.2, 0.1, 0.1, -0.3), state, work);
    return [state, report.status, Math.max(...leaning(arm, state, work))];
  };
  const [soft, , most] = solve(0);
  expect(most).toBeGreaterThan(0.5);
  expect(most).toBeLessThan(1);
  expect(solve(5000)[0]).toEqual(soft);
});

test("a quadratic end: each of the last steps onto the stop is far below the square root of its error", () => {
  const b = inextensible({ length: 0.1, spans: 10, ei: 1e-2 });
  const sections = b.arm.description.sections.map((s) => ({ ...s, jointLimit: 0.05, stopStiffness: 500 }));
  const arm = createArm({ ...b.arm.description, sections }, { lock: ["axial", "twist"] });
  const load: Load = { ...noLoad, forces: [{ vertebra: 10, force: [0, 0, -60], at: [0, 0, 0] }] };
  const steps: number[] = [];
  for (let most = 1; most < 40; most++) {
    const report = solveTensions(arm, load, stanceAlongX(), createRodState(arm), createRodWork(arm), { mostSteps: most, ramp: false });
    steps.push(report.step);
    if (report.status !== "not-converged") break;
  }
  expect(steps.length).toBeLessThan(20);
  const end = steps.slice(-3);
  expect(end[2] as number).toBeLessThan((end[1] as number) ** 1.5);
});
