/** What must not change a result: how the world is turned, which hand it has, what the workspace did before, where a run was cut. */
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { type ArmDescription, createArm } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import {
  copyRodState,
  createRodState,
  createRodWork,
  heldResponse,
  type Load,
  type RodState,
  type RodWork,
  readFreeLengths,
  type Stance,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
import { randomFrame, randomTurn } from "./random-arm.ts";
import { twinArm } from "./twin.ts";

type Vector = readonly [number, number, number];
const description = twinArm({ sections: 3, spans: 4 });
const arm = createArm(description);
const bend = Float64Array.of(0.2, -0.1, 0.05, 0.2, -0.1, 0.1);
const load: Load = {
  gravity: [3, -5, -7],
  forces: [
    { vertebra: 12, force: [0.5, -0.2, 0.3], at: [1e-3, 2e-3, 0.01] },
    { vertebra: 5, force: [0, 0.4, 0], at: [0, 0, 0] },
  ],
  following: [0.01, 0, -0.02, 0.1, -0.2, 0.1],
  moment: [0.01, -0.02, 0],
};
const straight: Stance = { base: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0), exit: 0.013 };

interface Solved {
  state: RodState;
  work: RodWork;
}

/** Held, then locked under more load, then the tensions kept: all three closures. */
function solveAll(
  model: typeof arm,
  on: Load,
  stance: Stance,
  asked: Float64Array,
  work = createRodWork(model),
  state = createRodState(model),
): Solved[] {
  const free = new Float64Array(model.cables);
  const copy = (): Solved => ({ state: copyRodState(state), work: structuredClone(work) });
  expect(solveHeld(model, on, stance, asked, state, work).status).toBe("stable");
  heldResponse(model, work);
  const first = copy();
  readFreeLengths(model, state, work, free);
  const more: Load = { ...on, gravity: on.gravity.map((g) => 1.5 * g) as unknown as Vector };
  expect(["stable", "slack"]).toContain(solveLocked(model, more, stance, free, state, work).status);
  const second = copy();
  expect(solveTensions(model, on, stance, state, work).status).toBe("stable");
  return [first, second, copy()];
}

function turned(r: readonly number[], v: Vector): [number, number, number] {
  return [0, 1, 2].map((k) => [0, 1, 2].reduce((sum, n) => sum + (r[3 * k + n] as number) * (v[n] as number), 0)) as [
    number,
    number,
    number,
  ];
}

describe("the world turned and moved: nothing changes but the frames", () => {
  const truth = solveAll(arm, load, straight, bend);
  test.each([71, 72, 73, 74, 75])("random rotation (seed %d)", (seed) => {
    const random = createRandom(seed);
    const r = randomTurn(random);
    const at = [0, 1, 2].map(() => 10 * random() - 5);
    const base = Float64Array.of(...r, ...at);
    const other: Load = {
      ...load,
      gravity: turned(r, load.gravity),
      forces: load.forces.map((f) => ({ ...f, force: turned(r, f.force) })),
      moment: turned(r, load.moment as Vector),
    };
    solveAll(arm, other, { base, exit: straight.exit }, bend).forEach((solved, n) => {
      const { state, work } = truth[n] as Solved;
      // rounding, times what the last Newton step leaves: 1e-8 rad squared
      solved.state.strain.forEach((v, k) => expect(Math.abs(v - (state.strain[k] as number))).toBeLessThan(1e-9));
      solved.state.tension.forEach((v, c) => expect(Math.abs(v - (state.tension[c] as number))).toBeLessThan(1e-7));
      for (let i = 0; i <= arm.spans; i++) {
        const p = turned(r, [9, 10, 11].map((k) => work.frame[12 * i + k] as number) as unknown as Vector);
        p.forEach((v, k) => expect(Math.abs((solved.work.frame[12 * i + 9 + k] as number) - v - (at[k] as number))).toBeLessThan(1e-11));
      }
      if (n === 0) solved.work.response.forEach((v, k) => expect(Math.abs(v - (work.response[k] as number))).toBeLessThan(1e-7));
    });
  });
});

describe("the world in a mirror", () => {
  test.each([false, true])("x to -x: the mirrored arm takes the mirrored shape, single backbone: %s", (single) => {
    const whole = twinArm({ sections: 3, spans: 4, single });
    const mirrored: ArmDescription = {
      ...whole,
      sections: whole.sections.map((s) => ({
        ...s,
        cableAngles: s.cableAngles.map((angle) => Math.PI - angle),
        rods: s.rods.map((rod) => ({ ...rod, x: -rod.x })),
      })),
      tool: { ...whole.tool, centre: [-whole.tool.centre[0], whole.tool.centre[1], whole.tool.centre[2]] },
    };
    const [one, two] = [createArm(whole), createArm(mirrored)];
    const flip = ([x, y, z]: Vector): [number, number, number] => [-x, y, z];
    // turns and moments are flipped the other way
    const back = ([x, y, z]: Vector): [number, number, number] => [x, -y, -z];
    const f = load.following as NonNullable<Load["following"]>;
    const other: Load = {
      gravity: flip(load.gravity),
      forces: load.forces.map((point) => ({ ...point, force: flip(point.force), at: flip(point.at) })),
      following: [...back([f[0], f[1], f[2]]), ...flip([f[3], f[4], f[5]])],
      moment: back(load.moment as Vector),
    };
    const asked = bend.map((v, k) => (k % 2 === 0 ? v : -v) * (single ? 0.5 : 1));
    const a = solveAll(
      one,
      load,
      straight,
      bend.map((v) => v * (single ? 0.5 : 1)),
    );
    const b = solveAll(two, other, straight, asked);
    a.forEach(({ state, work }, n) => {
      const { state: flipped, work: seen } = b[n] as Solved;
      const sign = [1, -1, -1, 1];
      state.strain.forEach((v, k) => expect(Math.abs((sign[k % 4] as number) * v - (flipped.strain[k] as number))).toBeLessThan(1e-8));
      state.tension.forEach((v, c) => expect(Math.abs(v - (flipped.tension[c] as number))).toBeLessThan(1e-6));
      for (let i = 0; i <= one.spans; i++)
        expect(Math.abs((work.frame[12 * i + 9] as number) + (seen.frame[12 * i + 9] as number))).toBeLessThan(1e-10);
    });
  });
});

describe("state in, state out (same bits)", () => {
  const outcome = (solved: Solved[]): unknown =>
    solved.map(({ state, work }) => ({
      state,
      frame: work.frame,
      gradient: work.gradient,
      cableLength: work.cableLength,
      bend: work.bend,
      response: work.response,
      energy: work.energy,
    }));

  test("a workspace that solved something else before", () => {
    const used = createRodWork(arm);
    const otherLoad: Load = { gravity: [0, 0, 9], forces: [{ vertebra: 3, force: [1, 1, 1], at: [0, 0, 0.02] }] };
    solveHeld(
      arm,
      otherLoad,
      { base: randomFrame(createRandom(1)), exit: 0.047 },
      bend.map((v) => -v),
      createRodState(arm),
      used,
    );
    heldResponse(arm, used);
    const wild = createRodState(arm);
    wild.tension.fill(500);
    solveTensions(arm, { ...otherLoad, following: [0, 0, 0, 0, 0, -900] }, straight, wild, used, { mostSteps: 3 });
    // `frame` of vertebrae in the guide, `response` of limp sections: all of it
    expect(outcome(solveAll(arm, load, straight, bend, used))).toEqual(outcome(solveAll(arm, load, straight, bend)));
  });

  test("numbers that are no numbers do not stay in a workspace", () => {
    const used = createRodWork(arm);
    const report = solveHeld(arm, { gravity: [Number.NaN, 0, 0], forces: [] }, straight, bend, createRodState(arm), used);
    expect(report.status).toBe("not-converged");
    expect(outcome(solveAll(arm, load, straight, bend, used))).toEqual(outcome(solveAll(arm, load, straight, bend)));
  });

  test("cut after every step and resumed from a clone with a fresh workspace: the same steps", () => {
    const asked = bend.map((v) => 1.5 * v);
    const whole = createRodState(arm);
    const steps: Float64Array[] = [];
    const one = { mostSteps: 1, ramp: false };
    const work = createRodWork(arm);
    for (let k = 0; k < 6; k++) {
      solveHeld(arm, load, straight, asked, whole, work, one);
      steps.push(whole.strain.slice());
    }
    for (let cut = 1; cut < 6; cut++) {
      const first = createRodState(arm);
      const before = createRodWork(arm);
      for (let k = 0; k < cut; k++) solveHeld(arm, load, straight, asked, first, before, one);
      const resumed = structuredClone(first);
      const after = createRodWork(arm);
      for (let k = cut; k < 6; k++) {
        solveHeld(arm, load, straight, asked, resumed, after, one);
        expect(resumed.strain).toEqual(steps[k]);
      }
    }
  });

  test("model, load and stance are left as they were", () => {
    const before = structuredClone({ arm, load, straight, bend });
    solveAll(arm, load, straight, bend);
    expect({ arm, load, straight, bend }).toEqual(before);
  });
});

test("a solve allocates nothing but its report: heap growth over thousands of solves", { timeout: 120_000 }, () => {
  const script = fileURLToPath(new URL("./heap-growth.ts", import.meta.url));
  // compiled beside the run, code would come sooner or later by what else the machine does, and numbers are boxed until it has
  const flags = ["--expose-gc", "--no-concurrent-recompilation"];
  const run = spawnSync(process.execPath, [...flags, "--import", "tsx", script], { encoding: "utf8" });
  expect(run.stderr).toBe("");
  const { bytes, pressing } = JSON.parse(run.stdout) as { bytes: Record<string, number>; pressing: number[] };
  expect(Object.keys(bytes)).toEqual([
    "held",
    "response",
    "locked",
    "tensions",
    "tensions with a following wrench",
    "held, rods past their straight line",
    "held among walls",
    "what presses",
    "locked among walls",
    "tensions among walls",
  ]);
  // each kind of wall: plane, tube, box, grid
  expect(pressing.length).toBe(4);
  for (const push of pressing) expect(push).toBeGreaterThan(0.3);
  // the report, and here and there a number that a call hands over boxed (16 bytes; about seventy with the wrench): one view,
  // list or closure a step would come to more (each 100 to 200 bytes, four steps and ten evaluations a solve)
  for (const [name, each] of Object.entries(bytes)) expect([name, each < (name.includes("wrench") ? 1400 : 700)]).toEqual([name, true]);
});
