/** Tables of measurements made by other means than the model that fits: four times finer spans, and a rigid-body engine. */
import { type ArmDescription, createArm, type Section } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import {
  createFit,
  createFitState,
  createFitWork,
  type FitResult,
  type Rig,
  readFit,
  readTable,
  stepFit,
  type Table,
} from "../../src/fit/index.ts";
import { createPredictWork, createRowState, predictRow } from "../../src/fit/predict-row.ts";

/** Guide along x, gravity down z. */
export const bench: Rig = { axis: [1, 0, 0], gravity: [0, 0, -9.80665] };

/**
 * The same arm with every span cut in so many: as much flexible length, rod and mass a metre. Ideal clamps only: a rod that bends over
 * more than its gap cannot be cut.
 */
export function cutFiner(arm: ArmDescription, times: number): ArmDescription {
  return {
    ...arm,
    sections: arm.sections.map(
      (s): Section => ({
        ...s,
        spans: s.spans * times,
        pitch: s.pitch / times,
        flexible: s.flexible / times,
        effectiveLength: s.effectiveLength / times,
        vertebraMass: s.vertebraMass / times,
      }),
    ),
  };
}

/** Readings of an arm in the rows of a table, with noise; the readings in the table are overwritten. */
export function measure(arm: ArmDescription, table: Table, noise: Readonly<Record<string, number>>, seed: number, rig: Rig = bench): Table {
  const model = createFit(arm, [table], rig);
  const work = createPredictWork(model.arm);
  const random = createRandom(seed);
  const made = createArm(arm);
  let previous: Parameters<typeof predictRow>[4];
  const rows = table.rows.map((row, k) => {
    const bound = model.rows[k] as (typeof model.rows)[number];
    const out = new Float64Array(bound.readings.length);
    const state = createRowState(model.arm);
    const status = predictRow(made, rig, bound, state, previous, work, out, 0);
    previous = { row: bound, state };
    if (status !== "stable" && status !== "slack") throw new Error(`row ${row.row}: ${status}`);
    const cells = row.cells.slice();
    bound.readings.forEach((reading, r) => {
      cells[reading.place - 1] = (out[r] as number) + normal(random) * (noise[reading.name] ?? 0);
    });
    return { ...row, cells };
  });
  return { ...table, rows };
}

/** A standard normal number (Box and Muller). */
export function normal(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

export function runFit(arm: ArmDescription, tables: readonly Table[], rig: Rig = bench): FitResult {
  const model = createFit(arm, tables, rig);
  const state = createFitState(model);
  const work = createFitWork(model);
  for (let k = 0; !state.done; k++) {
    if (k > 1e5) throw new Error("the fit does not end");
    stepFit(model, state, work);
  }
  return readFit(model, state);
}

/** A table from headings and rows of plain numbers. */
export function tableOf(headings: string, rows: readonly (readonly number[])[], file = "made.csv"): Table {
  return readTable(file, [headings, ...rows.map((row) => row.join(","))].join("\n"));
}

export function parameter(result: FitResult, name: string): FitResult["parameters"][number] {
  const found = result.parameters.find((p) => p.name === name);
  if (found === undefined) throw new Error(name);
  return found;
}
