/** Pins, rocking faces and hoses with their loss: what they lock, and what they add to the dead band. */
import { describe, expect, test } from "vitest";
import { type ArmDescription, createArm } from "../../src/arm/index.ts";
import {
  copyRodState,
  createDeadBand,
  createRodState,
  createRodWork,
  findDeadBand,
  type Load,
  type PointForce,
  readFreeLengths,
  solveHeld,
  solveLocked,
} from "../../src/rod/index.ts";
import { noLoad, plainRod, stanceAlongX } from "./arms.ts";

const four = [0, Math.PI / 2, Math.PI, (3 * Math.PI) / 2];
const spans = 12;
const friction = { low: 0.1, nominal: 0.15, high: 0.2 };

function made(change: Partial<ArmDescription["sections"][number]>): ArmDescription {
  const plain = plainRod({ length: 0.12, spans, ei: 0.02, cables: [four], cableRadius: 5e-3, pretension: 30, flexibleShare: 0.3 });
  const cable = { name: "test", diameter: 1e-4, effectiveModulus: 2.6e12, breakingLoad: 500, massPerLength: 0 };
  return { ...plain, sections: plain.sections.map((section) => ({ ...section, cable, ...change })) };
}

function held(description: ArmDescription, load: Load, bend: readonly [number, number]) {
  const arm = createArm(description);
  const state = createRodState(arm);
  const work = createRodWork(arm);
  const report = solveHeld(arm, load, stanceAlongX(), Float64Array.of(...bend), state, work);
  return { arm, state, work, report };
}

describe("what a joint lets go", () => {
  const load: Load = { ...noLoad, forces: [{ vertebra: spans, force: [0.2, 0.3, -0.4], at: [3e-3, 0, 0] }] };

  test("pins all one way would bend about one axis alone: refused, with the place", () => {
    expect(() => createArm(made({ joint: { kind: "pin", radius: 1e-3, friction } }))).toThrow(/sections\[0\]\.joint\.kind/);
  });

  test("pins that turn from vertebra to vertebra: every other joint bends about each axis", () => {
    const { state, report } = held(made({ alternating: true, joint: { kind: "pin", radius: 1e-3, friction } }), load, [0.2, 0.1]);
    expect(report.status).toBe("stable");
    for (let i = 0; i < spans; i++) {
      expect(state.strain[4 * i + (i % 2 === 0 ? 1 : 0)]).toBe(0);
      expect(Array.from(state.strain.subarray(4 * i + 2, 4 * i + 4))).toEqual([0, 0]);
    }
  });

  test("rocking faces bend about both axes and do not twist", () => {
    const { state, report } = held(made({ joint: { kind: "rocking", radius: 4e-3, friction } }), load, [0.2, 0.1]);
    expect(report.status).toBe("stable");
    for (let i = 0; i < spans; i++) {
      expect(Array.from(state.strain.subarray(4 * i + 2, 4 * i + 4))).toEqual([0, 0]);
      expect((state.strain[4 * i] as number) * (state.strain[4 * i + 1] as number)).not.toBe(0);
    }
  });
});

describe("moments kept back in every joint of a section are one couple at its end (their sum over the chain telescopes)", () => {
  /** Tip motion, drives locked, by a couple about the arm's x (world -y: see stanceAlongX) on the last vertebra. */
  function byCouple(from: ReturnType<typeof held>, moment: number): number {
    const free = new Float64Array(from.arm.cables);
    readFreeLengths(from.arm, from.state, from.work, free);
    const before = from.work.frame.slice();
    const lever = 1e-3;
    // two forces along the arm at +-lever of the vertebra's y: a couple about its x
    const pair: PointForce[] = [1, -1].map((side) => ({
      vertebra: spans,
      force: [(side * moment) / (2 * lever), 0, 0],
      at: [0, side * lever, 0],
    }));
    const state = copyRodState(from.state);
    const work = createRodWork(from.arm);
    expect(solveLocked(from.arm, { ...noLoad, forces: pair }, stanceAlongX(), free, state, work).status).toBe("stable");
    return Math.hypot(...[9, 10, 11].map((k) => (work.frame[12 * spans + k] as number) - (before[12 * spans + k] as number)));
  }

  test("a straight arm of rocking faces: coefficient x force x radius, the force being what its four cables press with", () => {
    const from = held(made({ joint: { kind: "rocking", radius: 1e-3, friction } }), noLoad, [0, 0]);
    const band = createDeadBand(from.arm);
    expect(findDeadBand(from.arm, from.state, from.work, band)).toBe(true);
    const moment = 0.2 * 1e-3 * (4 * 30);
    // both axes are added up, and alike here; to first order: the couple's own second order is its square
    expect((band.full.shift[spans] as number) / (2 * byCouple(from, moment))).toBeCloseTo(1, 3);
    // it is known to nobody which way a joint went: nothing of it is in the other band
    expect(Math.max(...band.known.shift)).toBe(0);
  });

  test("a hose that keeps back a tenth of its moment, bent evenly: twice the loss, twice the band", () => {
    const hose = { name: "lead", bendingStiffness: 5e-3, torsionStiffness: 5e-3, massPerLength: 0 };
    const tip = (loss: number): number => {
      const from = held(made({ hoses: [{ ...hose, loss }] }), noLoad, [0.4, 0]);
      const band = createDeadBand(from.arm);
      findDeadBand(from.arm, from.state, from.work, band);
      return band.full.shift[spans] as number;
    };
    expect(tip(0)).toBe(0);
    expect(tip(0.2) / tip(0.1)).toBeCloseTo(2, 9);
  });
});
