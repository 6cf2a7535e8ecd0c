import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { InputError } from "../../src/base/index.ts";
import type { Job } from "../../src/job/index.ts";
import {
  createPlan,
  createPlanState,
  createPlanWork,
  type PlanModel,
  type PlanResult,
  readPlan,
  stepPlan,
  version,
} from "../../src/plan/index.ts";
import type { Body } from "../../src/space/index.ts";
import { createTurns, createTurnsState, createTurnsWork, stepTurns, withTurns } from "../../src/study/index.ts";
import { identity } from "../insertion/made-route.ts";
import { twinArm } from "../rod/twin.ts";

/** A small arm down a bore of 60 mm whose end is turned aside. */
function smallJob(change: Partial<Job> = {}): Job {
  const arm = twinArm({ sections: 3, spans: 8, pretension: 8 });
  return {
    name: "small",
    arm: { ...arm, tool: { ...arm.tool, centre: [0, 0, 15e-3] } },
    bodies: [
      {
        name: "bore",
        placement: identity,
        touch: { kind: "never", standOff: 0 },
        shape: {
          kind: "bore",
          points: [
            { at: [0, 0, 0.05], radius: 0.03, bend: 0 },
            { at: [0, 0, -0.15], radius: 0.03, bend: 0.25 },
            { at: [0.1, 0, -0.35], radius: 0.03, bend: 0 },
          ],
        },
      },
    ],
    port: { name: "port", centre: [0, 0, 0], axis: [0, 0, -1], bore: 0.05, wall: 0.01, placeTolerance: 0, tiltTolerance: 0 },
    target: {
      name: "end",
      kind: "look",
      place: [0.08, 0, -0.31],
      direction: [0.447, 0, -0.894],
      cone: 0.4,
      standOff: [0.04, 0.1],
      tolerance: 5e-3,
    },
    conditions: { gravity: [0, 0, -9.80665] },
    limits: { clearance: 2e-3, sag: 0.05, twist: 0.3 },
    guideLength: 0.01,
    ranges: {},
    inputs: [],
    remarks: [],
    ...change,
  };
}

function run(job: Job): { model: PlanModel; result: PlanResult } {
  const model = createPlan(job);
  const state = createPlanState(model);
  const work = createPlanWork(model);
  while (state.progress.stage !== "done") stepPlan(model, state, work);
  return { model, result: readPlan(model, state) };
}

const plain = run(smallJob()).result;

test("a small job goes, with what is not computed named", () => {
  expect(plain.verdict.answer).toBe("go with conditions");
  expect(plain.verdict.conditions[0]).toContain("friction");
});

test("what would gain reach is lengths alone: three sections of a 10 mm pitch, a span more in each", () => {
  const reach = plain.verdict.rows.find((row) => row.id === "reach")!;
  // 240 mm of spans and 30 mm of tool less 10 mm in the guide
  expect(reach.limit).toBeCloseTo(0.26, 12);
  const percent = (limit: number) => Math.round((100 * reach.demand) / limit);
  expect(reach.gains.map((gain) => gain.says)).toEqual([
    `a span more in every section: ${percent(0.26)} % to ${percent(0.29)} % of the limit`,
  ]);
});

test("cancelled after every k-th step and resumed from a copy with a fresh workspace: the same result", () => {
  for (const every of [1, 5]) {
    const model = createPlan(smallJob());
    let state = createPlanState(model);
    let work = createPlanWork(model);
    for (let step = 0; state.progress.stage !== "done"; step++) {
      if (step % every === 0) {
        state = structuredClone(state);
        work = createPlanWork(model);
      }
      stepPlan(model, state, work);
    }
    expect(readPlan(model, state)).toEqual(plain);
  }
});

describe("temperature", () => {
  const gravity = [0, 0, -9.80665] as const;
  /** cables and rods of a steel each; conduits as long as the sample's */
  const expanding = (cable: number, rest: number): Job => {
    const job = smallJob({ conditions: { gravity, temperature: { setUp: 293.15, arm: [273.15, 313.15], conduit: [293.15, 293.15] } } });
    const sections = job.arm.sections.map((s) => ({
      ...s,
      vertebraExpansion: rest,
      cable: { ...s.cable, expansion: cable },
      rods: s.rods.map((r) => ({ ...r, material: { ...r.material, expansion: rest } })),
    }));
    return { ...job, arm: { ...job.arm, sections } };
  };
  const find = (result: PlanResult, id: string) => result.verdict.rows.find((row) => row.id === id)!;

  test("all of one material: the margins stay, but for the arm's own growth", () => {
    const { result } = run(expanding(17e-6, 17e-6));
    expect(result.wayIn).toEqual(plain.wayIn);
    for (const id of ["cable-load", "strain"]) expect(find(result, id).use / find(plain, id).use).toBeCloseTo(1, 2);
    // the part of the bent arm that a cable on the outside is longer by grows too
    expect(find(result, "slack").demand - find(plain, "slack").demand).toBeLessThan(0.02 * 8);
  });

  test("cables that grow more: the cold end tightens them, the hot end slackens them, by the handbook's EA da dT as a bound", () => {
    const { result } = run(expanding(23e-6, 11e-6));
    const load = find(result, "cable-load");
    expect(load.whereSays).toContain("at 0 degC");
    const most = ((73e9 * Math.PI * 0.6e-3 ** 2) / 4) * 12e-6 * 20;
    expect(load.demand - find(plain, "cable-load").demand).toBeGreaterThan(0);
    expect(load.demand - find(plain, "cable-load").demand).toBeLessThan(most);
    expect(find(result, "slack").whereSays).toContain("at 40 degC");
    expect(find(result, "slack").demand).toBeGreaterThan(find(plain, "slack").demand);
    expect(find(result, "slack").demand - find(plain, "slack").demand).toBeLessThan(most);
    expect(result.verdict.notChecked.join()).not.toContain("temperature");
  });

  test("with a drum and spreads too, cancelled after every third step and resumed from a copy: the same result", () => {
    const warm = expanding(23e-6, 11e-6);
    const friction = { low: 0.1, nominal: 0.2, high: 0.3 };
    const drum = { radius: 0.15, lay: "helix", pitch: 0.02, bentBy: "sections", start: 0, cover: 1e-3, friction, pull: 0 } as const;
    const fitted = { date: "2031-04-17", tables: [], spreads: { stiffness: 0.02, "hole-friction": 0.02 }, correlations: [], notes: [] };
    const job = { ...warm, arm: { ...warm.arm, drum, fitted } };
    const model = createPlan(job);
    let state = createPlanState(model);
    let work = createPlanWork(model);
    for (let step = 0; state.progress.stage !== "done"; step++) {
      if (step % 3 === 0) {
        state = structuredClone(state);
        work = createPlanWork(model);
      }
      stepPlan(model, state, work);
    }
    const { result } = run(job);
    expect(readPlan(model, state)).toEqual(result);
    // 24 cm of twin rods at 45 degrees: hinges take the square root of two of 10 mm on 158 mm, or less
    const joint = find(result, "drum-joint");
    expect(joint.demand / ((Math.SQRT2 * 0.01) / 0.158)).toBeCloseTo(1, 1);
    for (const id of ["drum-strain", "drum-cable"]) expect(find(result, id).use).toBeLessThan(1);
  });
});

describe("what the machine is filled with", () => {
  const about = (words: RegExp, result: PlanResult): string[] =>
    [...result.verdict.notChecked, ...result.verdict.conditions, ...result.verdict.assumptions].filter((line) => words.test(line));

  test("not said: named as not checked; dry: assumed, and the same numbers", () => {
    expect(plain.verdict.notChecked.join("; ")).toContain("buoyancy and drag");
    const dry = run(smallJob({ conditions: { gravity: [0, 0, -9.80665], fluid: "dry" } })).result;
    expect(about(/buoyancy/, dry)).toEqual([]);
    expect(about(/^Dry/, dry)).toHaveLength(1);
    expect(dry.wayIn).toEqual(plain.wayIn);
  });

  test("water lifts: less sag; its density and current are named", () => {
    const fluid = { density: 998, current: { velocity: [0.3, 0, 0], dragCoefficient: 1.2 } } as const;
    const wet = run(smallJob({ conditions: { gravity: [0, 0, -9.80665], fluid } })).result;
    const still = run(smallJob({ conditions: { gravity: [0, 0, -9.80665], fluid: { density: 998 } } })).result;
    expect(still.verdict.answer).toBe("go with conditions");
    expect(about(/buoyancy/, still)).toEqual([]);
    expect(about(/998 kg\/m3.*all immersed/, still)).toHaveLength(1);
    expect(about(/stands still/, still)).toHaveLength(1);
    const last = (result: PlanResult) => result.wayIn[result.wayIn.length - 1]!;
    expect(last(still).sag).toBeLessThan(0.9 * last(plain).sag);
    // 300 mm/s on 16 mm: 0.86 N/m, aside of the weight
    expect(about(/300 mm\/s|0\.3 m\/s/, wet)).toHaveLength(1);
    expect(last(wet).residual).toBeLessThan(1e-6);
    expect(last(wet).tension).not.toEqual(last(still).tension);
  });
});

describe("never a wrong go", () => {
  test("a bore too narrow for the body: no go, the place and the number named", () => {
    const job = smallJob();
    const narrow = run({
      ...job,
      bodies: [
        ...job.bodies,
        {
          name: "washer",
          placement: { ...identity, at: [0, 0, -0.1] },
          touch: { kind: "free" },
          shape: { kind: "plate", size: [0.08, 0.08], thickness: 0.002, holeRadius: 0.006 },
        },
      ],
    });
    expect(narrow.result.verdict.answer).toBe("no go");
    expect(narrow.result.verdict.reasons.join(" ")).toContain("washer");
    expect(narrow.result.wayIn).toEqual([]);
  }, 60_000);
  test("a bend sharper than the joints: undecided, never no go", () => {
    const stiff = smallJob();
    const { verdict } = run({
      ...stiff,
      arm: { ...stiff.arm, sections: stiff.arm.sections.map((s) => ({ ...s, jointLimit: 0.005 })) },
    }).result;
    expect(verdict.answer).toBe("undecided");
    expect(verdict.reasons.length).toBeGreaterThan(0);
  }, 60_000);
  test("an arm too short: undecided with the missing length, or no passage", () => {
    const short = smallJob();
    const { verdict } = run({ ...short, arm: { ...short.arm, sections: short.arm.sections.slice(0, 1) } }).result;
    expect(verdict.answer).not.toMatch(/^go/);
  });
  test("cables at their limit: no go by name", () => {
    const weak = smallJob();
    const { verdict } = run({
      ...weak,
      arm: { ...weak.arm, sections: weak.arm.sections.map((s) => ({ ...s, cable: { ...s.cable, breakingLoad: 20 } })) },
    }).result;
    expect(verdict.answer).toBe("no go");
    expect(verdict.reasons.join(" ")).toContain("Cable working load");
  });
  test("no pretension: every cable may fall slack, and that is no go", () => {
    const loose = smallJob();
    const { verdict } = run({ ...loose, arm: { ...loose.arm, sections: loose.arm.sections.map((s) => ({ ...s, pretension: 0 })) } }).result;
    expect(verdict.answer).not.toMatch(/^go/);
    expect(verdict.rows.find((row) => row.id === "slack")?.state).toBe("over");
  });
  test("negative stiffness, a hole that is no number: refused before anything is planned, all faults at once", () => {
    const bad = smallJob();
    const sections = bad.arm.sections.map((s, j) =>
      j === 0 ? { ...s, holeDiameter: Number.NaN, rods: s.rods.map((r) => ({ ...r, material: { ...r.material, youngModulus: -1 } })) } : s,
    );
    try {
      createPlan({ ...bad, arm: { ...bad.arm, sections } });
      expect.unreachable();
    } catch (error) {
      expect(error).toBeInstanceOf(InputError);
      const paths = (error as InputError).faults.map((f) => f.path);
      expect(paths).toContain("sections[0].holeDiameter");
      expect(paths).toContain("sections[0].rods[0].material.youngModulus");
    }
  });
});

describe("a tool that is there to touch", () => {
  const job = smallJob({ guideLength: 0 });
  const size = Math.hypot(0.447, 0.894);
  const d = [0.447 / size, 0, -0.894 / size] as const;
  const place = [0.08 - 0.065 * d[0], 0, -0.31 - 0.065 * d[2]] as const;
  // frame of the wall: z along the aim, y as the world's
  const rotation = [-d[2], 0, d[0], 0, 1, 0, d[0], 0, d[2]].map((v, k) => (k === 0 || k === 6 ? -v : v));
  const at = (off: number, along: number) => [place[0] + along * d[0], off, place[2] + along * d[2]] as const;
  const wall: Body = {
    name: "wall",
    placement: { at: at(0, 0.002), rotation },
    touch: { kind: "free" },
    shape: { kind: "box", size: [0.06, 0.06, 0.004] },
  };
  const pin: Body = {
    name: "pin",
    placement: { at: at(0.006, -0.004), rotation },
    touch: { kind: "never", standOff: 0 },
    shape: { kind: "cylinder", radius: 1e-3, length: 4e-3 },
  };
  const touching = (...extra: Body[]): Job => ({
    ...job,
    bodies: [...job.bodies, wall, ...extra],
    target: { ...job.target, kind: "touch", place, direction: d, cone: 0.05, standOff: [0, 1e-3] },
    limits: { ...job.limits, clearance: 0 },
  });
  test("may come up to the wall it is to touch", () => {
    const { verdict } = run(touching()).result;
    expect(verdict.rows.find((row) => row.id === "touch")?.state).toBe("ok");
  });
  test("may not run into a pin beside the place: the tool is 14 mm wide, the pin's edge 5 mm off", () => {
    const { verdict } = run(touching(pin)).result;
    expect(verdict.answer).toBe("no go");
    expect(verdict.reasons.join(" ")).toContain("pin");
  });
  test("is refused when the place lies on a body that must not be touched", () => {
    const never: Body = { ...wall, touch: { kind: "never", standOff: 0 } };
    expect(() => createPlan({ ...touching(), bodies: [...job.bodies, never] })).toThrow(/must not be touched/);
  });
});

test("a hole at the port narrower than the last section: no go, whatever the tool would pass", () => {
  const job = smallJob({ guideLength: 0 });
  const plate: Body = {
    name: "plate",
    placement: identity,
    touch: { kind: "free" },
    shape: { kind: "plate", size: [0.05, 0.05], thickness: 0.004, holeRadius: 0.0075 },
  };
  const { verdict } = run({ ...job, bodies: [...job.bodies, plate] }).result;
  expect(verdict.answer).toBe("no go");
  expect(verdict.reasons.join(" ")).toContain("own radius is 8.0 mm");
}, 60_000);

test("a part thicker than a hole that it never reaches: undecided, for only the thinnest part's no is a proof", () => {
  const job = smallJob({ guideLength: 0 });
  const arm = { ...job.arm, sections: job.arm.sections.map((s, j) => (j === 0 ? { ...s, outerDiameter: 0.04 } : s)) };
  const washer: Body = {
    name: "washer",
    placement: { ...identity, at: [0, 0, -0.14] },
    touch: { kind: "free" },
    shape: { kind: "plate", size: [0.08, 0.08], thickness: 0.002, holeRadius: 0.015 },
  };
  expect(run({ ...job, arm, bodies: [...job.bodies, washer] }).result.verdict.answer).toBe("undecided");
}, 60_000);

test("changed arms planned again on request: what was tried is said, and what it did to the margins", () => {
  const job = smallJob();
  const model = createTurns(job, plain, 3);
  const state = createTurnsState();
  const work = createTurnsWork();
  while (!state.done) stepTurns(model, state, work);
  expect(state.turns.map((turn) => turn.says)[0]).toMatch(/pretension/);
  expect(state.turns.length).toBe(model.jobs.length);
  const told = withTurns(plain, state.turns);
  // cables a quarter thicker have 1.25^2 the working load (strand of one make; common practice, no source)
  const before = plain.verdict.rows.find((row) => row.id === "cable-load")!.use;
  const after = state.turns.find((turn) => turn.says.includes("thicker"))!.uses["cable-load"]!;
  expect(after).toBeLessThan(before);
  expect(told.verdict.rows.find((row) => row.id === "cable-load")!.gains.some((gain) => gain.from === "planned")).toBe(true);
});

test("the version is the package's", () => {
  expect(JSON.parse(readFileSync(new URL("../../package.json", import.meta.url), "utf8")).version).toBe(version);
});

test("an arm that tells of its counts: the tool's way for a little of each cable, near what the straight geometry of its bend says; cancelled and resumed, the same", () => {
  const drives = { spool: { radius: 10e-3 }, gear: { ratio: 50, efficiency: 0.8 }, motor: { counts: 1000 } };
  const job = smallJob({ conditions: { gravity: [0, 0, -9.80665], feedRate: 5e-3 } });
  const told: Job = { ...job, arm: { ...job.arm, drives } };
  const model = createPlan(told);
  let state = createPlanState(model);
  let work = createPlanWork(model);
  for (let step = 1; state.progress.stage !== "done"; step++) {
    stepPlan(model, state, work);
    if (step % 13 !== 0) continue;
    state = structuredClone(state);
    work = createPlanWork(model);
  }
  const once = run(told).result;
  expect(readPlan(model, state)).toEqual(once);
  const { tug } = state;
  expect(tug?.length).toBe(model.arm.cables);
  const reach = model.arm.along[model.arm.spans]! + told.arm.tool.length;
  tug!.forEach((way, c) => {
    // a cable drawn in by d bends its section by at most d over its lever; all beyond swings by no more than that on the arm's length
    const lever = Math.hypot(model.arm.cableX[c]!, model.arm.cableY[c]!);
    expect(way).toBeGreaterThan(0);
    expect(way).toBeLessThan(reach / lever);
  });
  const row = once.verdict.rows.find(({ id }) => id === "lost-motion")!;
  const half = (10e-3 * Math.PI) / (50 * 1000);
  expect(row.demand).toBeCloseTo(
    tug!.reduce((sum, way) => sum + half * way, 0),
    9,
  );
  // timed at 5 mm/s, no drive slows it
  expect(once.drives!.ways[0]!.time).toBeCloseTo((once.wayIn.at(-1)!.depth - once.wayIn[0]!.depth) / 5e-3, 6);
  expect(once.verdict.notChecked.join()).not.toContain("says nothing of its drives");
  // what the drives are changes no shape
  expect(once.wayIn).toEqual(plain.wayIn);
});
