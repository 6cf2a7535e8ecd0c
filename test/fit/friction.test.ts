/** Friction from a table that goes both ways, made with spans four times finer, with noise. */
import { describe, expect, test } from "vitest";
import { type ArmDescription, cablesRub, createArm } from "../../src/arm/index.ts";
import { settleRub } from "../../src/fit/follow-rub.ts";
import { applyParameters, createFit, createFitState, untouched } from "../../src/fit/index.ts";
import { createRodState, createRodWork, driveTension, readFreeLengths, slideCables, solveHeld, solveLocked } from "../../src/rod/index.ts";
import { stanceAlongX } from "../rod/arms.ts";
import { twinArm } from "../rod/twin.ts";
import { bench, cutFiner, measure, parameter, runFit, tableOf } from "./made-tables.ts";

const sure = (value: number) => ({ nominal: value, low: value, high: value });
const plain = twinArm({ sections: 1, spans: 12, single: true, tool: 0.02 });
const lead = { name: "lead", bendingStiffness: 0, torsionStiffness: 0, massPerLength: 0.15 };
/** One section on one rod; a conduit that turns by 2 rad. All mass spread evenly. */
const arm: ArmDescription = {
  ...plain,
  sections: plain.sections.map((s) => ({ ...s, vertebraMass: 0, hoses: [lead] })),
  conduitLength: 0.3,
  friction: { holes: sure(0.1), conduit: sure(0.1), conduitTurn: 2 },
};
const truth = { ...untouched, "hole-friction": 0.15, "conduit-friction": -0.04 };
const noise = { tension: 0.5, height: 5e-4 };
const up = [0, 1.5, 3, 4.5, 6];
const rows = [...up, ...up.slice(0, -1).reverse()].map((draw) => [draw, 0, 0]);
const table = tableOf("draw 1 (mm),tension 1 (N),height (mm)", rows, "both-ways.csv");

describe("friction", () => {
  test("a table drawn in and let out (noise seed 3): both coefficients within three spreads, told to less than what was put in", {
    timeout: 60_000,
  }, () => {
    const made = measure(cutFiner(applyParameters(arm, truth), 4), table, noise, 3);
    // the loop is there: at the same draw the drive feels more on the way in
    const tension = made.rows.map((row) => row.cells[1] as number);
    for (let k = 1; k < 4; k++) expect(tension[k]).toBeGreaterThan(1.3 * (tension[8 - k] as number));
    const found = runFit(arm, [made]);
    expect(found.status).toBe("converged");
    for (const name of ["hole-friction", "conduit-friction"] as const) {
      const { after, spread, state } = parameter(found, name);
      expect(state, name).toBe("fitted");
      expect(Math.abs(after - truth[name]), name).toBeLessThan(3 * spread);
      expect(spread, name).toBeLessThan(0.06);
    }
    for (const name of ["stiffness", "stretch"] as const) {
      const { after, spread, state } = parameter(found, name);
      if (state === "fitted") expect(Math.abs(after - 1), name).toBeLessThan(3 * spread);
    }
  });

  test("a table that only draws in leaves friction as described, and says why", () => {
    const oneWay = { ...table, rows: table.rows.slice(0, 5) };
    const state = createFitState(createFit(arm, [oneWay], bench));
    expect(state.active).toEqual(["stiffness", "stretch", "effective-length"]);
    expect(state.untold).toEqual([
      { name: "hole-friction", why: "one-way" },
      { name: "conduit-friction", why: "one-way" },
    ]);
    expect(createFitState(createFit(arm, [table], bench)).untold).toEqual([]);
  });

  test("settled grips: all holes of a cable drawn in hold back fully, and moving on once more moves nothing", () => {
    const model = createArm(arm);
    expect(cablesRub(model)).toBe(true);
    const stance = stanceAlongX();
    const load = { gravity: [0, 0, 0] as const, forces: [] };
    const state = createRodState(model);
    const work = createRodWork(model);
    expect(solveHeld(model, load, stance, new Float64Array(2), state, work).status).toBe("stable");
    slideCables(model, state, work);
    state.grip.fill(0);
    const free = new Float64Array(3);
    readFreeLengths(model, state, work, free);
    free[0] = (free[0] as number) - 6e-3;
    const solve = () => solveLocked(model, load, stance, free, state, work, { ramp: false }).status;
    expect(settleRub(model, state, work, solve)).toBe("stable");
    const before = state.grip.slice();
    // near its end a cable hardly slides
    for (let i = 0; i < 9; i++) expect(before[3 * i]).toBeCloseTo(1, 9);
    expect(before[3 * 12]).toBeCloseTo(1, 9);
    solve();
    expect(slideCables(model, state, work)).toBeLessThan(1e-2);
    // Euler and Eytelwein over the conduit, by hand
    expect(driveTension(model, state, 0) / (state.tension[0] as number)).toBeCloseTo(Math.exp(0.1 * 2), 7);
  });
});
