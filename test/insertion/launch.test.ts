/** A guide tube and a drum behind the exit: closed forms of straights and round bends, and the rod's own numbers for the same bend. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import type { InsertionModel } from "../../src/insertion/index.ts";
import { atDepth, bendsBehind, frameBehind, layTube, leastTubeRadius, recordLaunch, tubeLength } from "../../src/insertion/launch.ts";
import { createFrameAlong } from "../../src/math/index.ts";
import { takenBy } from "../../src/plan/measure-tube.ts";
import { createInspection, createRodState, createRodWork, inspectShape, solveHeld } from "../../src/rod/index.ts";
import { stanceAlongX } from "../rod/arms.ts";
import { twinArm } from "../rod/twin.ts";

/** Down 100 mm, a quarter turn of 60 mm radius to +x, on for 40 mm, a quarter turn of 50 mm to +y, on for 30 mm. */
const points = [
  { at: [0, 0, 0], bend: 0 },
  { at: [0, 0, -0.16], bend: 0.06 },
  { at: [0.15, 0, -0.16], bend: 0.05 },
  { at: [0.15, 0.08, -0.16], bend: 0 },
] as const;
const port = createFrameAlong([0.15, 0.08, -0.16], [0, 1, 0]);
const tube = layTube({ points }, port);
const launch = { tube };

describe("a tube of straights and round bends", () => {
  test("its length, its tightest bend", () => {
    expect(tubeLength(tube)).toBeCloseTo(0.1 + 0.03 * Math.PI + 0.04 + 0.025 * Math.PI + 0.03, 12);
    expect(leastTubeRadius(tube)).toBeCloseTo(0.05, 12);
    expect(leastTubeRadius(layTube({ points: [points[0], { ...points[1], bend: 0 }] }, createFrameAlong([0, 0, -0.16], [0, 0, -1])))).toBe(
      Number.POSITIVE_INFINITY,
    );
  });

  test.each([
    [0, [0.15, 0.08, -0.16], [0, 1, 0]],
    [0.03, [0.15, 0.05, -0.16], [0, 1, 0]],
    // half round the second bend
    [0.03 + 0.0125 * Math.PI, [0.1 + 0.05 * Math.SQRT1_2, 0.05 - 0.05 * Math.SQRT1_2, -0.16], [Math.SQRT1_2, Math.SQRT1_2, 0]],
    [0.03 + 0.025 * Math.PI, [0.1, 0, -0.16], [1, 0, 0]],
    [0.07 + 0.025 * Math.PI, [0.06, 0, -0.16], [1, 0, 0]],
    [0.07 + 0.055 * Math.PI, [0, 0, -0.1], [0, 0, -1]],
    [0.17 + 0.055 * Math.PI, [0, 0, 0], [0, 0, -1]],
    // straight on behind it
    [0.22 + 0.055 * Math.PI, [0, 0, 0.05], [0, 0, -1]],
  ] as const)("where it is %d m behind its exit", (behind, at, along) => {
    const frame = new Float64Array(12);
    frameBehind(launch, port, behind, frame);
    for (let r = 0; r < 3; r++) {
      expect(frame[9 + r]).toBeCloseTo(at[r] as number, 12);
      expect(frame[3 * r + 2]).toBeCloseTo(along[r] as number, 12);
    }
    const [x, y, z] = [0, 1, 2].map((k) => [0, 1, 2].map((r) => frame[3 * r + k] as number));
    const dot = (a: number[], b: number[]): number => a.reduce((sum, value, k) => sum + value * (b[k] as number), 0);
    expect([dot(x!, x!), dot(x!, y!), dot(x!, z!), dot(y!, y!)].map((value) => Math.round(value * 1e12) / 1e12 + 0)).toEqual([1, 0, 0, 1]);
  });

  test("frames that follow one another are turned by the bends between them, whatever the base's roll", () => {
    const arm = createArm(twinArm({ sections: 2, spans: 20, cables: 3 }));
    const bends = new Float64Array(2 * arm.spans);
    const exit = arm.along[arm.spans] as number;
    for (const roll of [0, 0.7, -2]) {
      bendsBehind(arm, launch, exit, roll, bends);
      // a twin backbone's hinges take turns: of each pair the mean counts
      let whole = 0;
      for (let i = 0; i + 1 < arm.spans; i += 2) {
        const [x, y] = [0, 1].map((k) => (bends[2 * i + k] as number) + (bends[2 * i + 2 + k] as number));
        whole += Math.hypot(x!, y!);
      }
      // all of both quarter turns is in; in each plane hinges about one axis stand a few per cent stiffly in the other's way
      expect(Math.abs(whole / Math.PI - 1)).toBeLessThan(0.005);
    }
  });
});

describe("what the cables and rods of the part in the tube do", () => {
  const arm = createArm({
    ...twinArm({ sections: 1, spans: 16, cables: 4 }),
    friction: { holes: { nominal: 0.15, low: 0.1, high: 0.2 }, conduit: { nominal: 0, low: 0, high: 0 }, conduitTurn: 0 },
  } as never);
  const length = arm.along[arm.spans] as number;
  const whole = length + arm.description.tool.length;
  const quarter = layTube(
    {
      points: [
        { at: [0, 0, 0], bend: 0 },
        { at: [0, 0, 0.4], bend: 0.4 },
        { at: [0.4, 0, 0.4], bend: 0 },
      ],
    },
    createFrameAlong([0.4, 0, 0.4], [1, 0, 0]),
  );
  const model = { arm, port: createFrameAlong([0.4, 0, 0.4], [1, 0, 0]), launch: { tube: quarter } } as unknown as InsertionModel;

  test("drawn in as the rod's own solve draws them for the same bend, joint by joint to a thousandth", () => {
    // all of the arm inside the round bend, weightless: by the tube; and free, held to the same mean bend
    const seen = createInspection(arm);
    recordLaunch(model, whole - length - 1e-12, 0, 0, new Float64Array(12 * (arm.spans + 1)), seen, {
      bent: new Float64Array(2 * arm.spans),
    });
    const state = createRodState(arm);
    const work = createRodWork(arm);
    const turn = length / 0.4;
    const direction = [quarter[4] as number, quarter[5] as number].map((k) => k * 0.4);
    const slackFree = { ...arm, pretension: arm.pretension.map(() => 1e-6) };
    const report = solveHeld(
      slackFree,
      { gravity: [0, 0, 0], forces: [], toolShare: 0 },
      stanceAlongX(),
      Float64Array.of(turn * direction[0]!, turn * direction[1]!),
      state,
      work,
    );
    expect(report.status).toBe("stable");
    const free = createInspection(arm);
    inspectShape(slackFree, state, work, free);
    for (let c = 0; c < arm.cables; c++) {
      const stretch = (state.tension[c] as number) * (work.give[c] as number);
      expect(Math.abs((seen.drawn[c] as number) - ((free.drawn[c] as number) - stretch))).toBeLessThan(1.5e-3 * turn * 6e-3 + 2e-5);
    }
    for (let i = 2; i < arm.spans - 2; i++) expect(seen.strain[i]).toBeGreaterThan(0);
  });

  test("rub by Euler's and Eytelwein's law: the turning of every hole behind the exit is added to the conduit's", () => {
    const here = atDepth(model, whole - length, 0);
    const bent = new Float64Array(2 * arm.spans);
    bendsBehind(arm, model.launch!, length, 0, bent);
    let turning = 0;
    for (let i = 0; i < arm.spans; i++) turning += Math.hypot(bent[2 * i] as number, bent[2 * i + 1] as number);
    expect(turning).toBeGreaterThan((0.98 * length) / 0.4);
    expect((here.arm.conduitFriction[1] as number) * here.arm.conduitTurn).toBeCloseTo(0.15 * turning, 12);
    // further out nothing is bent, and asking twice changes nothing
    expect(atDepth(atDepth(here, 0.02, 0), whole - length, 0).arm.conduitFriction[2] as number).toBeCloseTo(0.2 * turning, 12);
  });
});

test("room of a stiff cylinder in a round bend, drawn: it touches inside in the middle, outside at its ends", () => {
  // radius 100, cylinder 10 x 40, mm: bore by the closed form; then the corners' distance from the bend's centre
  const bore = takenBy(10, 40, 100);
  const inner = 100 - bore / 2;
  expect(Math.hypot(inner + 10, 20)).toBeCloseTo(100 + bore / 2, 9);
});
