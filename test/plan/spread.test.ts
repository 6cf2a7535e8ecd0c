/** Spreads of margins for what is not known of the arm: against arms drawn at random under the plan's own draws. */
import { describe, expect, test } from "vitest";
import { createArm, type Fitted } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import { applyParameters, untouched } from "../../src/fit/index.ts";
import type { Job } from "../../src/job/index.ts";
import { createFrameAlong, pointOf, rollFrame } from "../../src/math/index.ts";
import { listUnsure, shiftArm } from "../../src/plan/list-unsure.ts";
import {
  createInspection,
  createRodState,
  createRodWork,
  inspectShape,
  type Load,
  type RodState,
  readFreeLengths,
  solveHeld,
  solveLocked,
} from "../../src/rod/index.ts";
import { poseOf } from "../../src/verdict/index.ts";
import { planJob, readExample } from "../examples/plan-example.ts";
import { normal } from "../fit/made-tables.ts";

const fitted: Fitted = {
  date: "2031-04-17",
  tables: [{ file: "droop.csv", hash: "0123456789abcdef" }],
  spreads: { stiffness: 0.03, stretch: 0.1 },
  correlations: [{ between: ["stretch", "stiffness"], is: -0.6 }],
  notes: [],
};
const example = readExample("water-box");
const { friction: _, ...smooth } = example.arm;
/** cables do not rub: what does is in spread-rub.test.ts */
const plain: Job = { ...example, arm: smooth };
const job: Job = { ...plain, arm: { ...plain.arm, fitted } };

describe("the water box with an arm fitted to 3 % and 10 %, correlation -0.6", () => {
  const { model, result } = planJob(job);
  const rows = result.verdict.rows;
  const spreadOf = (id: string): number => rows.find((row) => row.id === id)?.spread ?? Number.NaN;

  test("every margin that rests on the arm's elasticity has one", () => {
    const without = rows.filter((row) => row.spread === undefined).map((row) => row.id);
    expect(without.sort()).toEqual(["reach"]);
    expect(rows.find((row) => row.id === "reach")?.note).toContain("No number of the arm that is not surely known moves it.");
    for (const row of rows) if (row.spread !== undefined) expect(row.spread, row.id).toBeGreaterThanOrEqual(0);
  });

  test("120 arms drawn at random (seed 9), each cold, under the draws of the plan: standard deviations agree", { timeout: 30_000 }, () => {
    const last = result.wayIn[result.wayIn.length - 1] as (typeof result.wayIn)[number];
    const length = (model.arm.along[model.arm.spans] as number) + job.arm.tool.length;
    const straight = createFrameAlong(job.port.centre, job.port.axis);
    const base = new Float64Array(12);
    rollFrame(straight, last.roll, last.depth - length, base);
    const stance = { base, exit: length - last.depth };
    const load: Load = { gravity: job.conditions.gravity, forces: [] };
    const bare: Load = { gravity: [0, 0, 0], forces: [], toolShare: 0 };
    const work = createRodWork(model.arm);
    const lengths = (arm: typeof model.arm, on: Load, bend: Float64Array, state: RodState): Float64Array => {
      expect(solveHeld(arm, on, stance, bend, state, work).status).toBe("stable");
      const free = new Float64Array(arm.cables);
      readFreeLengths(arm, state, work, free);
      return free;
    };
    const none = new Float64Array(2 * model.arm.sections);
    const planned = lengths(model.arm, load, last.bend, createRodState(model.arm));
    const zero = lengths(model.arm, bare, none, createRodState(model.arm));
    const random = createRandom(9);
    const seen = { pose: [] as number[], twist: [] as number[], joint: [] as number[], "cable-load": [] as number[] };
    for (let k = 0; k < 120; k++) {
      const a = normal(random);
      const b = -0.6 * a + Math.sqrt(1 - 0.36) * normal(random);
      const arm = createArm(applyParameters(job.arm, { ...untouched, stiffness: 1 + 0.03 * a, stretch: 1 + 0.1 * b }));
      const own = lengths(arm, bare, none, createRodState(arm));
      const free = planned.map((value, c) => value - (zero[c] as number) + (own[c] as number));
      const state = createRodState(arm);
      expect(["stable", "slack"]).toContain(solveLocked(arm, load, stance, free, state, work).status);
      const inspection = createInspection(arm);
      inspectShape(arm, state, work, inspection);
      const tool = new Float64Array(3);
      pointOf(work.frame, arm.spans, 0, 0, arm.description.tool.length, tool);
      seen.pose.push(poseOf(arm, job.target, work.frame, tool, last.loose, last.rub).demand);
      seen.twist.push(Math.abs(inspection.twist[arm.spans] as number));
      seen.joint.push(Math.max(...inspection.jointAngle));
      seen["cable-load"].push(Math.max(...state.tension));
    }
    for (const [id, values] of Object.entries(seen)) {
      const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
      const deviation = Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (values.length - 1));
      // 120 draws tell a standard deviation to 6.5 %; three times that, and a little for what is not straight
      expect(spreadOf(id) / deviation, id).toBeGreaterThan(0.78);
      expect(spreadOf(id) / deviation, id).toBeLessThan(1.25);
    }
  });

  test("the verdict says what the spread is of, and that the arm was fitted", () => {
    const said = result.verdict.assumptions.join(" ");
    expect(said).toContain("fitted on 2031-04-17 to droop.csv");
    expect(said).toContain("one standard deviation");
  });
});

test("an effective length that cannot be shorter is spread by what a longer one does", { timeout: 30_000 }, () => {
  const ideal = { ...plain.arm, sections: plain.arm.sections.map((s) => ({ ...s, effectiveLength: s.flexible })) };
  const only: Fitted = { ...fitted, spreads: { "effective-length": 0.2e-3 }, correlations: [] };
  const { rows } = planJob({ ...plain, arm: { ...ideal, fitted: only } }).result.verdict;
  const spread = rows.find((row) => row.id === "twist")?.spread ?? Number.NaN;
  // one rod on the axis: all its stiffness falls as one over the length, by 4 %, and its twist under the off-axis camera grows about as much
  const twist = rows.find((row) => row.id === "twist")?.demand ?? Number.NaN;
  expect(spread / twist).toBeGreaterThan(0.005);
  expect(spread / twist).toBeLessThan(0.08);
});

describe("what is not surely known", () => {
  test("ranges of an arm that was never fitted count as evenly likely: half width over the root of 3", () => {
    const value = (nominal: number, half: number) => ({ nominal, low: nominal - half, high: nominal + half });
    const ranges = {
      "arm.yaml#sections.backbone.material.young-modulus": value(60e9, 3e9),
      "arm.yaml#sections.effective-length": value(5.4e-3, 0.3e-3),
      "arm.yaml#sections.hoses[0].mass-per-length": value(0.014, 0.01),
    };
    expect(listUnsure({ ...plain, ranges })).toEqual([
      { name: "stiffness", spread: 0.05 / Math.sqrt(3), from: "range" },
      { name: "effective-length", spread: expect.closeTo(0.3e-3 / Math.sqrt(3), 12), from: "range" },
    ]);
    expect(listUnsure(plain)).toEqual([]);
    // a fit knows better than the file's range
    expect(listUnsure({ arm: job.arm, ranges }).map((u) => [u.name, u.from])).toEqual([
      ["stiffness", "fit"],
      ["stretch", "fit"],
      ["effective-length", "range"],
    ]);
  });

  test("an effective length is not made shorter than the gap", () => {
    const unsure = { name: "effective-length", spread: 1e-3, from: "fit" } as const;
    const { arm, by } = shiftArm(plain.arm, unsure, -1);
    expect(arm.sections[0]?.effectiveLength).toBeCloseTo(5e-3, 12);
    expect(by).toBeCloseTo(-0.4, 9);
  });
});
