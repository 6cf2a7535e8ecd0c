/** Play of joints: by hand on a single joint, and found again from a droop table made with other spans. */
import { describe, expect, test } from "vitest";
import { type ArmDescription, createArm } from "../../src/arm/index.ts";
import { applyParameters, createFit, untouched } from "../../src/fit/index.ts";
import { settlePlay } from "../../src/fit/settle-play.ts";
import { createRodState, createRodWork, solveTensions } from "../../src/rod/index.ts";
import { plainRod, stanceAlongX, tipForce } from "../rod/arms.ts";
import { twinArm } from "../rod/twin.ts";
import { bench, cutFiner, measure, parameter, runFit, tableOf } from "./made-tables.ts";

const sure = (value: number) => ({ nominal: value, low: value, high: value });

describe("play of the joints", () => {
  test("a stiff rod of ten joints hangs over by half its play at every joint, the way it is pushed", () => {
    const play = 0.02;
    const length = 0.1;
    const plain = plainRod({ length, spans: 10, ei: 1e3, flexibleShare: 0.2 });
    const description: ArmDescription = {
      ...plain,
      sections: plain.sections.map((s) => ({ ...s, play: { bend: sure(play), twist: sure(0), hole: sure(0) } })),
    };
    const arm = createArm(description, { lock: ["axial"] });
    const state = createRodState(arm);
    const work = createRodWork(arm);
    state.tension.fill(0);
    const stance = stanceAlongX();
    const solve = (at: typeof arm) => solveTensions(at, tipForce(arm, [0, 0, -1]), stance, state, work).status;
    expect(settlePlay(arm, state, solve)).toBe("stable");
    // joints in the middle of each span of 10 mm, each turned by 10 mrad: the tip falls by the sum of sin of the angles so far
    let fall = 0;
    for (let i = 0; i <= 10; i++) fall += Math.sin((i * play) / 2) * (i === 0 || i === 10 ? length / 20 : length / 10);
    // the last joint, with 5 mm of arm against the first one's 95 mm, hangs over by a little less than all
    const tip = -(work.frame[12 * arm.spans + 11] as number);
    expect(tip).toBeLessThan(fall);
    expect(tip).toBeGreaterThan(0.98 * fall);
  });

  test("droop over many loads (noise seed 4), spans half as long: play and stiffness within three spreads", { timeout: 60_000 }, () => {
    const plain = twinArm({ sections: 1, spans: 16, single: true, tool: 0.02 });
    const lead = { name: "lead", bendingStiffness: 0, torsionStiffness: 0, massPerLength: 0.15 };
    const arm: ArmDescription = {
      ...plain,
      sections: plain.sections.map((s) => ({
        ...s,
        vertebraMass: 0,
        hoses: [lead],
        play: { bend: sure(0), twist: sure(0), hole: sure(0) },
      })),
    };
    const truth = { ...untouched, stiffness: 0.93, play: 0.008 };
    const made = applyParameters(arm, truth);
    // cut in two, each joint has half the play
    const finer = cutFiner(made, 2);
    const real = { ...finer, sections: finer.sections.map((s) => ({ ...s, play: { bend: sure(0.004), twist: sure(0), hole: sure(0) } })) };
    const rows = [0, 10, 20, 40, 60, 80, 100, 120].flatMap((load) => [110, 190].map((out) => [load, 1, out, 0]));
    const droop = measure(real, tableOf("load (g),hold (N),length out (mm),height (mm)", rows), { height: 2e-4 }, 4);
    const found = runFit(arm, [droop]);
    for (const name of ["stiffness", "play"] as const) {
      const { after, spread, state } = parameter(found, name);
      expect(state, name).toBe("fitted");
      expect(spread, name).toBeLessThan(0.35 * Math.abs(truth[name] - untouched[name]));
      expect(Math.abs(after - truth[name]), name).toBeLessThan(3 * spread);
    }
  });

  test("an arm whose file says nothing of play is not fitted for any", () => {
    const model = createFit(twinArm({ sections: 1 }), [tableOf("load (g),height (mm)", [[1, 1]])], bench);
    expect(model.parameters.map((p) => p.name)).not.toContain("play");
  });
});
