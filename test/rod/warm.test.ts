import { describe, expect, test } from "vitest";
import { type ArmDescription, createArm, heatArm } from "../../src/arm/index.ts";
import {
  cableStiffness,
  checkBalance,
  copyRodState,
  createRodState,
  createRodWork,
  type Load,
  readFreeLengths,
  solveHeld,
  solveWarm,
  type Warming,
} from "../../src/rod/index.ts";
import { stanceAlongX } from "./arms.ts";
import { twinArm } from "./twin.ts";

const load: Load = { gravity: [0, 0, 0], forces: [] };

interface Expansions {
  readonly cable?: number;
  readonly rod?: number;
  readonly vertebra?: number;
  readonly conduit?: number;
  readonly creep?: number;
}

function made(by: Expansions, conduitLength: number, single = true): ArmDescription {
  const arm = twinArm({ sections: 1, spans: 10, pretension: 20, tool: 0, single });
  return {
    ...arm,
    conduitLength,
    conduitExpansion: by.conduit ?? 0,
    sections: arm.sections.map((s) => ({
      ...s,
      vertebraExpansion: by.vertebra ?? by.rod ?? 0,
      cable: { ...s.cable, expansion: by.cable ?? 0, creep: by.creep ?? 0 },
      rods: s.rods.map((r) => ({ ...r, material: { ...r.material, expansion: by.rod ?? 0 } })),
    })),
  };
}

/** Set up straight (or bent), then warmed with the drives locked. */
function warmed(description: ArmDescription, warming: Warming, stance = stanceAlongX(), lock = true, bend = [0, 0]) {
  const arm = createArm(description, lock ? { lock: ["axial"] } : {});
  const work = createRodWork(arm);
  const state = createRodState(arm);
  expect(solveHeld(arm, load, stance, Float64Array.from(bend), state, work).status).toBe("stable");
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work, free);
  const warm = heatArm(arm, warming.arm);
  const after = copyRodState(state);
  const report = solveWarm(arm, warm, warming, load, stance, state.tension, free, after, work);
  return { arm, warm, before: state, after, report, tip: work.frame.slice(12 * arm.spans + 9, 12 * arm.spans + 12) };
}

/** digits: what an arm longer by a dT does to its own EA/L, and its stretch to its growth, is of second order (1e-3 of the change) */
const near = 2;

describe("thermal slack of a straight arm that does not give (thermal strain against EA/L)", () => {
  const stiffness = (73e9 * Math.PI * 0.6e-3 ** 2) / 4;

  test.each([10, 30, -40])("%d K: the pull falls by EA (cable - arm) dT, whatever the length, with no conduit", (dT) => {
    const { after } = warmed(made({ cable: 17.2e-6, rod: 11e-6 }, 0), { arm: dT, conduit: 0, creep: false });
    expect((20 - (after.tension[0] as number)) / (stiffness * (17.2e-6 - 11e-6) * dT)).toBeCloseTo(1, near);
  });

  test("with a conduit that is warmed too, it is the sum of both mismatches over the whole length", () => {
    const { arm, after } = warmed(made({ cable: 17.2e-6, rod: 11e-6, conduit: 12e-6 }, 1.5), { arm: 20, conduit: 10, creep: false });
    const apart = (17.2e-6 - 11e-6) * 20 * 0.1 + (17.2e-6 - 12e-6) * 10 * 1.5;
    expect(after.tension[0] as number).toBeCloseTo(20 - cableStiffness(arm, 0) * apart, 2);
  });

  test("the cable is slack from T/(EA x difference) on", () => {
    const limit = 20 / (stiffness * 6.2e-6);
    const at = (dT: number) => warmed(made({ cable: 17.2e-6, rod: 11e-6 }, 0), { arm: dT, conduit: 0, creep: false });
    expect(at(limit * 0.99).report.status).toBe("stable");
    expect(at(limit * 1.01).report.status).toBe("slack");
  });

  test("the same material all through: nothing tightens or slackens, bent or straight, and the arm grows by a L dT", () => {
    const same = { cable: 17e-6, rod: 17e-6, vertebra: 17e-6, conduit: 17e-6 };
    const straight = warmed(made(same, 1, false), { arm: 50, conduit: 50, creep: false }, stanceAlongX(), false);
    for (const t of straight.after.tension) expect(t).toBeCloseTo(20, 2);
    const cold = warmed(made(same, 1, false), { arm: 0, conduit: 0, creep: false }, stanceAlongX(), false);
    const grown = (straight.tip[0] as number) - (cold.tip[0] as number);
    expect(grown / (0.1 * 17e-6 * 50)).toBeCloseTo(1, 3);
    // bent, a hinge that grows at the same cable circle is a little less than similar: the circle keeps its size
    const bent = warmed(made(same, 1, false), { arm: 50, conduit: 50, creep: false }, stanceAlongX(), false, [0.3, 0.2]);
    bent.after.tension.forEach((t, c) => expect(t).toBeCloseTo(bent.before.tension[c] as number, 1));
  });

  test("part of the arm in the guide: the whole strand counts all the same", () => {
    const { arm, after } = warmed(made({ cable: 17.2e-6, rod: 11e-6 }, 0.5), { arm: 30, conduit: 0, creep: false }, stanceAlongX(0.0437));
    expect(after.tension[0] as number).toBeCloseTo(20 - cableStiffness(arm, 0) * (17.2e-6 - 11e-6) * 30 * 0.1, 2);
  });
});

test("an arm that gives: three cables on one rod share the mismatch with its push (springs in series)", () => {
  const description = made({ cable: 17.2e-6, rod: 11e-6, vertebra: 11e-6 }, 0);
  const { arm, after } = warmed(description, { arm: 30, conduit: 0, creep: false }, stanceAlongX(), false);
  const mismatch = (17.2e-6 - 11e-6) * 30 * 0.1;
  const rod = (60e9 * Math.PI * 1e-3 ** 2) / 4 / (10 * 2.5e-3);
  const loss = mismatch / (1 / cableStiffness(arm, 0) + 3 / rod);
  // the strand runs over the arm's flexible part as it is pushed together: 2 % of 1 % of difference
  expect((20 - (after.tension[0] as number)) / loss).toBeCloseTo(1, near);
  expect(checkBalance(heatArm(arm, 30), load, stanceAlongX(), after)).toBeLessThan(1e-7);
});

test("creep at the working load takes its strain times the whole strand; at a lower pull in proportion", () => {
  const description = made({ creep: 2e-3 }, 0.9);
  const { arm, after } = warmed(description, { arm: 0, conduit: 0, creep: true });
  const share = 20 / (arm.workingLoad[0] as number);
  expect(after.tension[0] as number).toBeCloseTo(20 - cableStiffness(arm, 0) * 2e-3 * share * (0.1 + 0.9), 6);
});

test("two rods of unlike expansion bend their span as a bimetal does: (a1 - a2) dT / distance (thin rods)", () => {
  const arm = made({ rod: 0 }, 0, false);
  const pair = createArm({
    ...arm,
    sections: arm.sections.map((s) => ({
      ...s,
      alternating: false,
      vertebraExpansion: 0,
      rods: s.rods.map((r, k) => ({ ...r, diameter: 0.2e-3, material: { ...r.material, expansion: k === 0 ? 17e-6 : 11e-6 } })),
    })),
  });
  const rest = heatArm(pair, 100).rest;
  // rods at x = -4 and 4 mm: the longer one at -x, so the span turns about y by the difference over 8 mm; EI of thin rods takes 0.1 %
  expect((rest[1] as number) / ((6e-6 * 100) / 8e-3)).toBeCloseTo(1, 2);
  expect(rest[3] as number).toBeCloseTo(14e-6 * 100, 9);
});
