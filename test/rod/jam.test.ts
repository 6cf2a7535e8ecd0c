/** A stiff bar on a spring whose rim presses on a rough wall: its friction turns it further in, and beyond a coefficient by geometry it jams. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { checkBalance, createRodState, createRodWork, type Load, solveLocked, solveTensions } from "../../src/rod/index.ts";
import { plainRod, stanceAlongX } from "./arms.ts";

const length = 30e-3;
const radius = 8e-3;
const force = 20;
const gap = 0.01e-3;
/** N m/rad, and N/m of the one corner that touches */
const spring = 20;
const stiffness = 1e6;

const made = createArm(
  { ...plainRod({ length, spans: 3, ei: 1 }), base: { compliance: [0, 1 / spring, 0, 0, 0, 0] } },
  { lock: ["bend-x", "bend-y", "twist", "axial"] },
);
const arm = { ...made, width: made.width.map((_, i) => (i === 3 ? 2 * radius : 0)) };

function pressed(coefficient: number, way: "in" | "out"): Load {
  return {
    gravity: [0, 0, 0],
    forces: [{ vertebra: 3, force: [0, 0, -force], at: [0, 0, 0] }],
    walls: {
      field: { walls: [{ kind: "plane", at: [0, 0, -radius - gap], normal: [0, 0, 1] }] },
      stiffness,
      friction: { coefficient, way },
    },
  };
}

function solve(coefficient: number, way: "in" | "out") {
  const work = createRodWork(arm);
  const state = createRodState(arm);
  const report = solveTensions(arm, pressed(coefficient, way), stanceAlongX(), state, work);
  return { report, state, push: work.contact.reduce((sum, value, k) => (k % 3 === 2 ? sum + value : sum), 0) };
}

describe("fed in, the rub of the rim below the axis turns the bar into the wall", () => {
  // about the exit: W L = N (L - mu R) + k phi, phi L = gap + N / K: small angles
  const expected = (mu: number): number =>
    (force * length - (spring * gap) / length) / (length - mu * radius + spring / (stiffness * length));

  test.each([0, 1, 2, 3])("coefficient %d: the wall pushes with W L / (L - mu R), less what the spring takes", (mu) => {
    const { report, state, push } = solve(mu, "in");
    expect(report.status).toBe("stable");
    // angles of 3 to 10 mrad are left out of the closed form
    expect(push / expected(mu)).toBeGreaterThan(0.98);
    expect(push / expected(mu)).toBeLessThan(1.02);
    expect(checkBalance(arm, pressed(mu, "in"), stanceAlongX(), state)).toBeLessThan(1e-6);
  });

  test("beyond L / R = 3.75 it jams, and says up to which friction it slides", () => {
    const { report } = solve(5, "in");
    expect(report.status).toBe("jammed");
    // found to a sixty-fourth of 5, 0.08; the last before it is where the wall pushes with forty times W
    expect(Math.abs((report.slidesTo as number) - length / radius)).toBeLessThan(0.1);
  });

  test("drawn out it never jams", () => {
    expect(solve(5, "out").report.status).toBe("stable");
  });

  test("with its drives locked too", () => {
    const free = new Float64Array(3).fill(length);
    const { status } = solveLocked(arm, pressed(5, "in"), stanceAlongX(), free, createRodState(arm), createRodWork(arm));
    expect(status).toBe("jammed");
  });

  test("walls that have no balance even when smooth are not called a jam", () => {
    const report = solveTensions(arm, pressed(5, "in"), stanceAlongX(), createRodState(arm), createRodWork(arm), { mostSteps: 1 });
    expect(report.status).toBe("not-converged");
  });
});
