/** What was put into an arm is found again from tables that the fitting model did not make: spans four times finer, with noise. */
import { describe, expect, test } from "vitest";
import type { ArmDescription } from "../../src/arm/index.ts";
import { applyParameters, createFit, createFitState, createFitWork, readFit, stepFit, type Table, untouched } from "../../src/fit/index.ts";
import { twinArm } from "../rod/twin.ts";
import { bench, cutFiner, measure, parameter, runFit, tableOf } from "./made-tables.ts";

/** Two sections of twelve spans on one rod; the conduit doubles the cables' length. All mass is spread evenly: vertebrae would hang elsewhere once cut. */
const plain = twinArm({ sections: 2, spans: 12, single: true, tool: 0.02 });
const lead = { name: "lead", bendingStiffness: 0, torsionStiffness: 0, massPerLength: 0.15 };
const arm: ArmDescription = {
  ...plain,
  sections: plain.sections.map((s) => ({ ...s, vertebraMass: 0, hoses: [lead] })),
  conduitLength: 0.3,
};
const truth = { ...untouched, stiffness: 0.88, stretch: 1.35 };
const finer = cutFiner(applyParameters(arm, truth), 4);

/** Cables at a constant 3 N, masses on the tool; one cable drawn in at a time. */
const droopRows = [0, 5, 10, 15, 20, 25, 30].flatMap((load) => [180, 240].map((out) => [load, 3, out, 0]));
const pullRows = [0, 0.5, 1, 1.5, 2, 2.5, 3].map((draw) => [draw, 0]);
const noise = { height: 4e-4, tension: 0.3 };

function tables(seed: number): Table[] {
  return [
    measure(finer, tableOf("load (g),hold (N),length out (mm),height (mm)", droopRows, "droop.csv"), noise, seed),
    measure(finer, tableOf("draw 1 (mm),tension 1 (N)", pullRows, "pull.csv"), noise, seed + 1000),
  ];
}

describe("one backbone, tables from spans four times finer", () => {
  test("noise seeds 1 to 6: stiffness and stretch lie as far off as their spreads say", { timeout: 60_000 }, () => {
    const off = { stiffness: [] as number[], stretch: [] as number[] };
    for (let seed = 1; seed <= 6; seed++) {
      const found = runFit(arm, tables(seed));
      expect(found.status).toBe("converged");
      for (const name of ["stiffness", "stretch"] as const) {
        const { after, spread, state } = parameter(found, name);
        expect(state).toBe("fitted");
        // a spread that tells something: far less than what was put in
        expect(spread).toBeLessThan(0.4 * Math.abs(truth[name] - 1));
        off[name].push((after - truth[name]) / spread);
      }
    }
    for (const list of [off.stiffness, off.stretch]) {
      // 6 draws of a normal: none beyond 3.5 (1 in 360), root mean square within 0.34 to 1.85 (chi squared, 1 in 200 either side); spans a
      // quarter as long are themselves 0.1 % stiffer or softer, (1 / 2N)^2 of a cantilever of N hinges
      expect(Math.max(...list.map(Math.abs))).toBeLessThan(3.5);
      const rms = Math.sqrt(list.reduce((sum, z) => sum + z * z, 0) / list.length);
      expect(rms).toBeGreaterThan(0.34);
      expect(rms).toBeLessThan(1.85);
    }
  });

  test("noise seed 3: the spread of each kind of reading is the noise that was put on", () => {
    const found = runFit(arm, tables(3));
    const of = (name: string): number => found.groups.find((g) => g.name === name)?.spread ?? Number.NaN;
    // 14 and 7 readings: a spread found is sure to 1 / sqrt(2 m), 19 and 27 %; three times that
    expect(of("height") / noise.height).toBeGreaterThan(0.43);
    expect(of("height") / noise.height).toBeLessThan(1.57);
    expect(of("tension") / noise.tension).toBeGreaterThan(0.2);
    expect(of("tension") / noise.tension).toBeLessThan(1.8);
  });

  test("noise seed 5, one height misread by 15 mm: that row is named, no other, and the stiffness stays", () => {
    const [droop, pull] = tables(5) as [Table, Table];
    const clean = parameter(runFit(arm, [droop, pull]), "stiffness");
    const rows = droop.rows.map((row, k) => {
      const cells = row.cells.slice();
      if (k === 9) cells[3] = (cells[3] as number) - 15e-3;
      return { ...row, cells };
    });
    const found = runFit(arm, [{ ...droop, rows }, pull]);
    expect(found.readings.filter((r) => r.outlier).map((r) => [r.table, r.row, r.name])).toEqual([[0, 11, "height"]]);
    const { after, spread } = parameter(found, "stiffness");
    expect(Math.abs(after - truth.stiffness)).toBeLessThan(3 * spread);
    expect(Math.abs(after - clean.after)).toBeLessThan(2 * clean.spread);
    // it counts by its size only: at most the share huber / 4
    expect(found.readings.find((r) => r.outlier)?.weight).toBeLessThan(0.34);
  });

  test("noise seed 2: droop with cables at a constant tension does not tell the length the rod bends over from its modulus, nor the cables' stretch", () => {
    const found = runFit(arm, tables(2).slice(0, 1));
    const stretch = parameter(found, "stretch");
    const length = parameter(found, "effective-length");
    expect([stretch.state, stretch.untold?.why, stretch.after]).toEqual(["kept", "unseen", 1]);
    expect([length.state, length.untold?.why, length.untold?.with, length.after]).toEqual(["kept", "mixed", "stiffness", 0]);
    const stiffness = parameter(found, "stiffness");
    expect(Math.abs(stiffness.after - truth.stiffness)).toBeLessThan(3.5 * stiffness.spread);
  });

  test("noise seed 6: tension against draw alone tells the stretch, not the backbone that hardly moves it", () => {
    const found = runFit(arm, tables(6).slice(1));
    const stiffness = parameter(found, "stiffness");
    expect([stiffness.state, stiffness.after]).toEqual(["kept", 1]);
    const stretch = parameter(found, "stretch");
    expect(stretch.state).toBe("fitted");
    // with the backbone as described instead of 12 % softer: near, and the note says that it goes with that
    expect(Math.abs(stretch.after - truth.stretch)).toBeLessThan(0.1);
  });

  test("interrupted after every seventh row and resumed from a copy with fresh memory: the same bits", () => {
    const model = createFit(arm, tables(4).slice(1), bench);
    const through = createFitState(model);
    const work = createFitWork(model);
    while (!through.done) stepFit(model, through, work);
    let state = createFitState(model);
    let fresh = createFitWork(model);
    for (let k = 1; !state.done; k++) {
      stepFit(model, state, fresh);
      if (k % 7 !== 0) continue;
      state = structuredClone(state);
      fresh = createFitWork(model);
    }
    expect(readFit(model, state)).toEqual(readFit(model, through));
  });
});
