/**
 * Whole plans of random jobs from drawn bodies. Every `go` is looked at again apart from what gave it: between neighbouring depths, ten times
 * finer, with distances that are written down apart from the project's; and every stated margin is worked out again from the recorded shapes.
 */
import { describe, expect, it } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import type { Job } from "../../src/job/index.ts";
import { pointOf } from "../../src/math/index.ts";
import { createPlan, createPlanState, createPlanWork, type PlanModel, type PlanResult, readPlan, stepPlan } from "../../src/plan/index.ts";
import { expectSound, refine } from "../examples/check-plan.ts";
import { distanceTo, drawJob } from "./random-jobs.ts";

const soak = process.env["WITHY_SOAK"] === "1";
/** One of them alone, or a run of them: WITHY_SEED=17 WITHY_PLANS=1. */
const cases = Number(process.env["WITHY_PLANS"] ?? (soak ? 1000 : 10));
/** Of the first; the next has the next. */
const seed = Number(process.env["WITHY_SEED"] ?? 4);
/** Some ten times what any of them needs. */
const mostSteps = 50_000;

function plan(job: Job): { model: PlanModel; result: PlanResult } {
  const model = createPlan(job);
  const state = createPlanState(model);
  const work = createPlanWork(model);
  for (let step = 0; state.progress.stage !== "done" && step < mostSteps; step++) stepPlan(model, state, work);
  expect(state.progress.stage).toBe("done");
  return { model, result: readPlan(model, state) };
}

/** By how much any of the places is nearer to a body that must not be touched than the job's clearance allows, m. */
function lackOf(job: Job, points: Float64Array): number {
  let lack = Number.NEGATIVE_INFINITY;
  const n = points.length / 3;
  for (const body of job.bodies) {
    if (body.touch.kind !== "never") continue;
    const keep = body.touch.standOff + job.limits.clearance;
    for (let q = 0; q < n; q++) lack = Math.max(lack, keep - distanceTo(body, [points[3 * q]!, points[3 * q + 1]!, points[3 * q + 2]!]));
  }
  return lack;
}

/** Rims of the vertebrae past the exit, and of the tool. @returns [place, 3] m */
function hullOf({ arm }: PlanModel, frames: Float64Array, firstFree: number): Float64Array {
  const around = 24;
  const first = Math.max(firstFree, 1);
  const points = new Float64Array(3 * around * 3 * (arm.spans + 2 - first));
  let n = 0;
  const ring = (i: number, radius: number, z: number): void => {
    for (let c = 0; c < around; c++) {
      const a = (2 * Math.PI * c) / around;
      pointOf(frames, i, radius * Math.cos(a), radius * Math.sin(a), z, points, 3 * n++);
    }
  };
  for (let i = first; i <= arm.spans; i++)
    for (const z of [-arm.tail[i - 1]!, 0, i < arm.spans ? arm.lead[i]! : arm.tail[i - 1]!])
      ring(i, arm.description.sections[arm.sectionOfSpan[i - 1]!]!.outerDiameter / 2, z);
  const { tool } = arm.description;
  for (const share of [1 / 3, 2 / 3, 1]) ring(arm.spans, tool.diameter / 2, share * tool.length);
  return points;
}

/** Each stated margin worked out again from the records by what its words say. */
function checkMargins(job: Job, model: PlanModel, result: PlanResult): void {
  const { arm } = model;
  const row = (id: string) => result.verdict.rows.find((one) => one.id === id)!;
  const records = [...result.wayIn, ...result.wayOut];
  const last = result.wayIn[result.wayIn.length - 1]!;
  const axis = (frames: Float64Array, i: number): number[] => [2, 5, 8].map((k) => frames[12 * i + k]!);
  const dot = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, v, k) => sum + v * b[k]!, 0);
  for (const { state, use } of result.verdict.rows) {
    expect(use).toBeLessThanOrEqual(1);
    expect(["ok", "warning"]).toContain(state);
  }

  // joints: the angle between neighbouring vertebrae's axes
  let joint = 0;
  let strain = 0;
  let load = 0;
  for (const record of records) {
    for (let i = record.firstFree; i < arm.spans; i++) {
      const angle = Math.acos(Math.min(1, dot(axis(record.frames, i), axis(record.frames, i + 1))));
      joint = Math.max(joint, angle + (record.rub?.joint[i] ?? 0));
      const section = job.arm.sections[arm.sectionOfSpan[i]!]!;
      // bending alone, of the rod that lies on the axis it bends about: radius over radius of curvature
      expect(record.strain[i]!).toBeGreaterThan(0.97 * ((0.5 * section.rods[0]!.diameter * angle) / section.effectiveLength) - 1e-9);
      strain = Math.max(strain, record.strain[i]!);
    }
    record.tension.forEach((tension, c) => {
      const most = record.rub?.most[c] ?? tension;
      expect(most).toBeGreaterThanOrEqual(tension * (1 - 1e-9));
      load = Math.max(load, most);
    });
  }
  const limit = job.arm.sections[0]!.jointLimit;
  expect(row("joint").demand).toBeGreaterThan(0.99 * joint);
  expect(joint).toBeLessThanOrEqual(1.01 * limit);
  expect(row("strain").demand).toBeGreaterThanOrEqual(strain * (1 - 1e-9));
  expect(strain).toBeLessThanOrEqual(0.04);
  // 220 N, 0.85 of it left at the end, a third of that
  expect(row("cable-load").limit).toBeCloseTo((220 * 0.85) / 3, 9);
  expect(row("cable-load").demand).toBeGreaterThanOrEqual(load * (1 - 1e-9));
  expect(load).toBeLessThanOrEqual((220 * 0.85) / 3);

  // pose: the tool's line past the place
  const ahead = axis(last.frames, arm.spans);
  const tip = [9, 10, 11].map((k, r) => last.frames[12 * arm.spans + k]! + job.arm.tool.length * ahead[r]!);
  tip.forEach((v, r) => expect(last.tool[r]).toBeCloseTo(v, 9));
  const to = job.target.place.map((p, r) => p - tip[r]!);
  const along = dot(to, ahead);
  const aside = Math.hypot(...to.map((v, r) => v - along * ahead[r]!));
  const off = Math.max(0, job.target.standOff[0] - along, along - job.target.standOff[1]);
  const open = (last.loose?.tip.reduce((sum, v) => sum + v, 0) ?? 0) + (last.rub?.tip ?? 0);
  expect(Math.hypot(aside, off) + open).toBeLessThanOrEqual(row("pose").demand + 1e-9);
  expect(row("pose").demand).toBeLessThanOrEqual(job.target.tolerance);
  expect(Math.acos(dot(ahead, job.target.direction))).toBeLessThan(job.target.cone + job.target.tolerance / job.arm.tool.length);

  // reach: no more of the arm is out than there is of it
  const full = job.arm.sections.reduce((sum, s) => sum + s.spans * s.pitch, 0) + job.arm.tool.length - job.guideLength;
  for (const { depth } of records) expect(depth).toBeLessThanOrEqual(full + 1e-9);
  expect(row("reach").limit).toBeCloseTo(full, 9);

  // clearance: rims of every recorded shape, way in and way out
  for (const { frames, firstFree } of records) expect(lackOf(job, hullOf(model, frames, firstFree))).toBeLessThanOrEqual(1e-9);
}

describe("random jobs", { timeout: 36_000_000 }, () => {
  it(`${cases} whole plans from seed ${seed}: one of four answers each, and what is told to go does`, () => {
    const count: Record<string, number> = { go: 0, "go with conditions": 0, "no go": 0, undecided: 0 };
    const wrong: string[] = [];
    for (let k = 0; k < cases; k++) {
      const job = drawJob(createRandom(seed + k));
      const told = `seed ${seed + k}: ${job.arm.sections.length} sections, ${job.bodies.map(({ name }) => name).join(", ")}`;
      try {
        const { model, result } = plan(job);
        const { answer, says, reasons } = result.verdict;
        expect(count).toHaveProperty([answer]);
        count[answer]!++;
        expect(says.length).toBeGreaterThan(10);
        if (answer === "undecided" || answer === "no go") expect(reasons.join(" ").length).toBeGreaterThan(10);
        else {
          expectSound(result);
          checkMargins(job, model, result);
          let lack = Number.NEGATIVE_INFINITY;
          const fine = refine(model, result, 10, 1, (frames, firstFree) => {
            lack = Math.max(lack, lackOf(job, hullOf(model, frames, firstFree)));
          });
          expect(fine.checked).toBeGreaterThan(0);
          expect(fine.lack).toBeLessThanOrEqual(1e-9);
          expect(lack).toBeLessThanOrEqual(1e-9);
        }
      } catch (error) {
        wrong.push(`${told}: ${(error as Error).message}`);
      }
    }
    expect(wrong).toEqual([]);
    // all kinds come up
    if (cases < 10) return;
    expect(count["go"]! + count["go with conditions"]!).toBeGreaterThan(0.2 * cases);
    expect(count["no go"]!).toBeGreaterThan(0);
    expect(count["undecided"]!).toBeGreaterThan(0);
  });
});
