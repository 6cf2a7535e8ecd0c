/** The smallest change that turns an answer: on short jobs whose smallest change is known by hand, or found again by planning on either side of it. */
import { describe, expect, test } from "vitest";
import { createFaultsState, createFaultsWork, readFaults, stepFaults } from "../../src/faults/index.ts";
import type { Job } from "../../src/job/index.ts";
import { createPlanFaults, withFaults } from "../../src/plan/index.ts";
import {
  changeJob,
  createSeek,
  createSeekState,
  createSeekWork,
  type SeekModel,
  type SeekState,
  sizesOf,
  stepSeek,
  withSeek,
} from "../../src/study/index.ts";
import { planJob } from "../examples/plan-example.ts";
import { shortJob } from "./short-job.ts";

function seek(job: Job, every = 0): { model: SeekModel; state: SeekState; result: ReturnType<typeof withSeek> } {
  const { result } = planJob(job);
  const model = createSeek(job, result);
  let state = createSeekState();
  let work = createSeekWork();
  for (let step = 1; state.stage !== "done"; step++) {
    if (every > 0 && step % every === 0) {
      state = structuredClone(state);
      work = createSeekWork();
    }
    const before = state.progress;
    stepSeek(model, state, work);
    expect(state.progress).toBeGreaterThanOrEqual(before);
  }
  return { model, state, result: withSeek(result, model, state) };
}

const answerOf = (job: Job): string => planJob(job).result.verdict.answer;
const goes = (answer: string | undefined): boolean => answer === "go" || answer === "go with conditions";

describe("an arm that is 15 mm too short, of spans of 10 mm", () => {
  // out of the guide it has 12 spans of 10 mm less 10 mm, and a tool of 10 mm: 120 mm; it is asked for 135 mm
  const job = shortJob(0.175);
  const { model, state, result } = seek(job);

  test("two spans more do, one does not", () => {
    expect(result.sought?.found?.says).toBe("longer by 2 spans (20 mm)");
    expect(result.sought?.found?.size).toBeCloseTo(2 / 12, 12);
    expect(goes(result.sought?.found?.answer)).toBe(true);
    expect(result.turns?.map((turn) => turn.says)).toContain("longer by 1 span (10 mm)");
    const one = changeJob(job, "longer", 1 / 12)?.job as Job;
    const two = changeJob(job, "longer", 2 / 12)?.job as Job;
    expect(two.arm.sections.map((section) => section.spans)).toEqual([7, 7]);
    expect([answerOf(job), answerOf(one)]).toEqual(["undecided", "undecided"]);
    expect(goes(answerOf(two))).toBe(true);
  });

  test("what cannot help is not planned, and said so", () => {
    expect(model.names).toEqual(["longer", "section more"]);
    for (const { why } of model.leftOut) expect(why).toBe("it mends nothing of what stands in the way (length)");
    // a section more is a half, and the last of all
    expect(state.turns.every((turn) => turn.says.startsWith("longer"))).toBe(true);
  });

  test("left after every few steps and taken up from a copy with fresh work: the same", () => {
    expect(seek(job, 7).result.turns).toEqual(result.turns);
  });

  test("where only its pretension may be changed nothing is found, and nothing is planned", () => {
    const found = seek({ ...job, mayChange: ["pretension"] });
    expect(found.result.sought?.found).toBeUndefined();
    expect(found.result.turns).toEqual([]);
    expect(found.result.sought?.leftOut.length).toBe(2);
  });

  test("another port that is nearer does, where that may be changed", () => {
    const nearer = { ...job.port, name: "side port", centre: [0, 0, -0.03] as const };
    const found = seek({ ...job, mayChange: ["port"], otherPorts: [nearer] });
    expect(found.result.sought?.found?.says).toBe("through side port");
    // 30 mm off an arm of 120 mm
    expect(found.result.sought?.found?.size).toBeCloseTo(0.25, 12);
  });
});

describe("a limit on sag that the arm passes by a third", () => {
  const tilted = shortJob(0.15, { conditions: { gravity: [9.80665, 0, 0] } });
  const sag = planJob(tilted).result.verdict.rows.find((row) => row.id === "sag")?.demand as number;
  const job: Job = { ...tilted, limits: { ...tilted.limits, sag: sag / 1.3 }, mayChange: ["backbone", "target"] };
  const { model, result } = seek(job);

  test("thicker rods, by as little as does; halved to a tenth of that", () => {
    const { found } = result.sought ?? {};
    expect(found?.says).toMatch(/^rods thicker by/);
    expect(goes(found?.answer)).toBe(true);
    const size = found?.size as number;
    const at = (share: number) => answerOf(changeJob(job, "rods thicker", share)?.job as Job);
    expect(goes(at(size))).toBe(true);
    expect(goes(at(0.9 * size))).toBe(false);
    // stiffness of rods goes with the fourth power, of cables not: no less than the fourth root of 1.3
    expect(size).toBeGreaterThan(1.3 ** 0.25 - 1 - 0.01);
    expect(model.leftOut.find((one) => one.says === "rods thinner")?.why).toMatch(/^sag would not gain by it/);
  });
});

test("a plan that was judged with what may fail: a change does only with that looked at on its own plan", () => {
  const job = shortJob(0.15, { conditions: { gravity: [9.80665, 0, 0] } });
  const { model: plan, result } = planJob(job);
  const withFaultsOf = (of: typeof plan, planned: typeof result): typeof result => {
    const faults = createPlanFaults(of, planned);
    if (faults === undefined) throw new Error("it got all the way in and out");
    const state = createFaultsState(faults);
    const work = createFaultsWork(faults, of.space);
    while (!state.done) stepFaults(faults, state, work);
    return withFaults(of, planned, readFaults(faults, [state]));
  };
  const judged = withFaultsOf(plan, result);
  const told = judged.verdict.rows.filter((row) => !result.verdict.rows.some((one) => one.id === row.id));
  expect(told.length).toBeGreaterThan(0);
  const model = createSeek({ ...job, mayChange: ["length"] }, judged);
  const state = createSeekState();
  const work = createSeekWork();
  while (state.stage !== "done") stepSeek(model, state, work);
  // every change that would do by the plan alone was held against these rows as well, as its own plan has them
  for (const turn of state.turns) {
    if (!goes(turn.answer)) continue;
    for (const row of told) expect(Object.keys(turn.uses)).toContain(row.id);
  }
  const first = changeJob(job, "longer", 1 / 12)?.job as Job;
  const again = planJob(first);
  const answer = goes(again.result.verdict.answer) ? withFaultsOf(again.model, again.result).verdict.answer : again.result.verdict.answer;
  expect(state.turns.find((turn) => turn.says.startsWith("longer by 1 span"))?.answer).toBe(answer);
});

test("sizes: of spans, sections, diameters, an aim, a second backbone", () => {
  const job = shortJob(0.15);
  expect(sizesOf(job, "shorter")).toEqual({ kind: "steps", unit: 1 / 12 });
  expect(sizesOf(job, "section more")).toEqual({ kind: "steps", unit: 0.5 });
  expect(sizesOf(job, "cables thicker").kind).toBe("any");
  expect(changeJob(job, "cables thicker", 0.25)?.job.arm.sections[0]?.cable.breakingLoad).toBeCloseTo(220 * 1.5625, 9);
  expect(changeJob(job, "freer aim", 0.1)?.job.target.cone).toBeCloseTo(0.3 + 0.05 * Math.PI, 12);
  expect(changeJob(job, "shorter", 5 / 12)?.job.arm.sections.map((section) => section.spans)).toEqual([4, 3]);
  expect(changeJob(job, "shorter", 10 / 12)).toBeUndefined();
  expect(changeJob(job, "twin backbone", 0.5)).toBeUndefined();
  const wide = changeJob(job, "vertebrae wider", 0.125)?.job.arm.sections[0];
  expect([wide?.outerDiameter, wide?.cableRadius]).toEqual([expect.closeTo(18e-3, 12), expect.closeTo(7.3e-3, 12)]);
  // a ring of 5 to 16 mm weighs as 231, one of 5 to 18 mm as 299
  expect(wide?.vertebraMass).toBeCloseTo((1.5e-3 * 299) / 231, 12);
});
