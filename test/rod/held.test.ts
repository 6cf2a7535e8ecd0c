import { describe, expect, test } from "vitest";
import { type ArmModel, createArm, type Section } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import { steadyByEfforts } from "../../src/rod/held-modes.ts";
import {
  checkBalance,
  copyRodState,
  createRodState,
  createRodWork,
  firstHeld,
  heldResponse,
  heldTipResponse,
  type Load,
  type Stance,
  solveHeld,
} from "../../src/rod/index.ts";
import { countUnstable } from "../../src/rod/stability.ts";
import { stanceAlongX } from "./arms.ts";
import { randomFrame } from "./random-arm.ts";
import { nitinol, twinArm } from "./twin.ts";

/** Sections of 3, 4, 5 and 6 cables, staggered. */
function mixedArm(pretension = 8, spans = 4): ArmModel {
  const whole = twinArm({ sections: 4, spans, pretension });
  const offsets = [0, 0.35, 0.17, 0.61];
  return createArm({
    ...whole,
    sections: whole.sections.map(
      (s, j): Section => ({
        ...s,
        cableRadius: 6.3e-3 - (j % 2) * 1.3e-3,
        cableAngles: Array.from({ length: 3 + j }, (_, k) => (2 * Math.PI * k) / (3 + j) + (offsets[j] as number)),
        rods: s.rods.map((rod) => ({ ...rod, x: 0.75 * rod.x })),
        channelDiameter: 4e-3,
      }),
    ),
  });
}

const gravity: Load["gravity"] = [1, -2, -9.5];
function loadOf(arm: ArmModel): Load {
  return {
    gravity,
    forces: [
      { vertebra: arm.spans, force: [0.3, -0.2, 0.4], at: [0, 0, 0.01] },
      { vertebra: 3, force: [0, 0.5, 0], at: [1e-3, 0, 0] },
    ],
  };
}

function bendsFor(arm: ArmModel, seed: number, size = 0.25): Float64Array {
  const random = createRandom(seed);
  return Float64Array.from({ length: 2 * arm.sections }, () => size * (2 * random() - 1));
}

function tipOf(arm: ArmModel, frame: Float64Array): number[] {
  return Array.from(frame.subarray(12 * arm.spans + 9, 12 * arm.spans + 12));
}

describe("bends held (seed 31)", () => {
  const arm = mixedArm();
  const work = createRodWork(arm);
  const state = createRodState(arm);
  const bend = bendsFor(arm, 31);
  const stance = stanceAlongX();
  const report = solveHeld(arm, loadOf(arm), stance, bend, state, work);

  test("balanced, with the bends asked", () => {
    expect(report.status).toBe("stable");
    bend.forEach((b, k) => expect(Math.abs((work.bend[k] as number) - b)).toBeLessThan(1e-12));
    // moments of 0.1 N m at joints of up to 1000 N m/rad; differences in the check leave about 1e-9
    expect(checkBalance(arm, loadOf(arm), stance, state)).toBeLessThan(1e-8);
  });

  test("a bend is what a section's own cables measure between its ends: the angle of the two vertebrae for a plane bend", () => {
    const own = createRodState(arm);
    const flat = new Float64Array(2 * arm.sections);
    flat[4] = 0.2;
    expect(solveHeld(arm, { gravity: [0, 0, 0], forces: [] }, stance, flat, own, work).status).toBe("stable");
    const [a, b] = [arm.firstSpan[2] as number, arm.firstSpan[3] as number].map((v) => 12 * v) as [number, number];
    const cosine = [2, 5, 8].reduce((sum, k) => sum + (work.frame[a + k] as number) * (work.frame[b + k] as number), 0);
    // chords instead of arcs: each hinge of 0.1 rad at most measures 2 sin(0.05), 4e-4 less
    expect(Math.abs(Math.acos(cosine) - 0.2)).toBeLessThan(0.2 * 5e-4);
  });

  test.each([0, 1, 2, 3])("section %d: the slackest of its cables is at the pretension", (j) => {
    const own = state.tension.subarray(arm.firstCable[j], arm.firstCable[j + 1]);
    expect(own.length).toBe(3 + j);
    expect(Math.abs(Math.min(...own) - 8)).toBeLessThan(1e-9);
    expect(Math.max(...own)).toBeGreaterThan(9);
  });

  test("no other tensions with the same moments and none below the pretension have a smaller sum of squares", () => {
    const random = createRandom(32);
    for (let j = 0; j < 4; j++) {
      const [first, end] = [arm.firstCable[j] as number, arm.firstCable[j + 1] as number];
      const t = state.tension;
      const square = (u: ArrayLike<number>): number => Array.from(u).reduce((sum, v) => sum + v * v, 0);
      for (let k = 0; k < 500; k++) {
        // along a random direction that makes no moment
        const d = Array.from({ length: end - first }, () => 2 * random() - 1);
        for (let pass = 0; pass < 60; pass++) {
          for (const axis of [arm.cableX, arm.cableY]) {
            const norm = square(axis.subarray(first, end));
            const along = d.reduce((sum, v, c) => sum + v * (axis[first + c] as number), 0) / norm;
            d.forEach((v, c) => (d[c] = v - along * (axis[first + c] as number)));
          }
        }
        const other = d.map((v, c) => (t[first + c] as number) + 0.1 * v);
        if (Math.min(...other) >= 8) expect(square(other)).toBeGreaterThan(square(t.subarray(first, end)) - 1e-9);
      }
    }
  });

  test("cold, warm and from afar: the same shape", () => {
    const near = copyRodState(state);
    solveHeld(
      arm,
      loadOf(arm),
      stance,
      bend.map((b) => b + 0.05),
      near,
      work,
    );
    expect(solveHeld(arm, loadOf(arm), stance, bend, near, work).status).toBe("stable");
    const far = copyRodState(state);
    solveHeld(
      arm,
      loadOf(arm),
      stance,
      bend.map((b) => -b),
      far,
      work,
    );
    expect(solveHeld(arm, loadOf(arm), stance, bend, far, work).status).toBe("stable");
    for (const other of [near, far]) {
      // strains up to 50 rad/m; a step of 1e-8 rad at the end, squared
      other.strain.forEach((v, k) => expect(Math.abs(v - (state.strain[k] as number))).toBeLessThan(1e-8));
      other.tension.forEach((v, c) => expect(Math.abs(v - (state.tension[c] as number))).toBeLessThan(1e-6));
    }
  });

  test("a warm solve takes few steps: quadratic", () => {
    const warm = copyRodState(state);
    const next = solveHeld(
      arm,
      loadOf(arm),
      stance,
      bend.map((b) => b + 0.01),
      warm,
      work,
    );
    expect(next.iterations).toBeLessThanOrEqual(4);
    expect(
      solveHeld(
        arm,
        loadOf(arm),
        stance,
        bend.map((b) => b + 0.01),
        warm,
        work,
      ).iterations,
    ).toBe(1);
  });
});

describe("sensitivities against re-solved shapes (seed 41)", () => {
  const cases: [string, ArmModel, number, Partial<Load>][] = [
    ["all out", mixedArm(), 0, {}],
    ["part emerged", mixedArm(), 0.0148, {}],
    ["following wrench and fixed moment", mixedArm(), 0, { following: [0.01, -0.02, 0.01, 0.2, 0.1, -0.3], moment: [0.01, 0, -0.02] }],
  ];
  test.each(cases)("%s", (_, arm, exit, extra) => {
    const work = createRodWork(arm);
    const load = { ...loadOf(arm), ...extra };
    const stance: Stance = { base: randomFrame(createRandom(41)), exit };
    const bend = bendsFor(arm, 42, 0.12);
    const state = createRodState(arm);
    expect(solveHeld(arm, load, stance, bend, state, work).status).toBe("stable");
    heldResponse(arm, work);
    const response = work.response.slice();
    const frame = work.frame.slice();
    const limp = firstHeld(arm, work);
    const firstFree = work.firstFree;
    const block = 6 * (arm.spans + 1);
    const shapeAt = (mode: number, step: number): Float64Array => {
      const other = copyRodState(state);
      const asked = bend.slice();
      let base = stance.base;
      if (mode < 2 * arm.sections) asked[mode] = (asked[mode] as number) + step;
      else base = rolled(base, step);
      expect(solveHeld(arm, load, { base, exit }, asked, other, work, { tolerance: 1e-12 }).status).toBe("stable");
      return work.frame.slice();
    };
    for (let mode = 0; mode <= 2 * arm.sections; mode++) {
      if (mode < 2 * limp) {
        for (let k = 0; k < block; k++) expect(response[block * mode + k]).toBe(0);
        continue;
      }
      const h = 2e-4;
      const [a, b, c, d] = [shapeAt(mode, h), shapeAt(mode, -h), shapeAt(mode, 2 * h), shapeAt(mode, -2 * h)];
      let worst = 0;
      let size = 0;
      for (let i = firstFree; i <= arm.spans; i++) {
        const motion = motionOf(
          frame,
          12 * i,
          (k) => (8 * ((a[k] as number) - (b[k] as number)) - ((c[k] as number) - (d[k] as number))) / (12 * h),
        );
        motion.forEach((v, r) => {
          worst = Math.max(worst, Math.abs(v - (response[block * mode + 6 * i + r] as number)));
          size = Math.max(size, Math.abs(v));
        });
      }
      // fourth-order differences of shapes known to 1e-12: 1e-8 of rad a rad, next to motions of about 1
      expect(size).toBeGreaterThan(0.1);
      expect(worst).toBeLessThan(1e-6 * size);
    }
  });

  test.each(cases)("the tip's alone, %s: the last of all, whichever is asked first", (_, arm, exit, extra) => {
    const work = createRodWork(arm);
    const load = { ...loadOf(arm), ...extra };
    const stance: Stance = { base: randomFrame(createRandom(41)), exit };
    const state = createRodState(arm);
    expect(solveHeld(arm, load, stance, bendsFor(arm, 42, 0.12), state, work).status).toBe("stable");
    heldTipResponse(arm, work);
    const [tip, compliance] = [work.tipResponse.slice(), work.bendCompliance.slice()];
    heldResponse(arm, work);
    expect([...work.bendCompliance]).toEqual([...compliance]);
    for (let mode = 0; mode <= 2 * arm.sections; mode++) {
      const at = 6 * ((arm.spans + 1) * mode + arm.spans);
      // products of reduced columns against returned columns: rounding, times the spread of the tangent's pivots
      for (let k = 0; k < 6; k++) expect(Math.abs((tip[6 * mode + k] as number) - (work.response[at + k] as number))).toBeLessThan(1e-9);
    }
    const again = work.response.slice();
    heldTipResponse(arm, work);
    expect([...work.tipResponse]).toEqual([...tip]);
    heldResponse(arm, work);
    expect([...work.response]).toEqual([...again]);
  });

  test("bend a unit effort is the bend that one more unit makes, efforts of the others kept", () => {
    const arm = mixedArm();
    const work = createRodWork(arm);
    const load = loadOf(arm);
    const state = createRodState(arm);
    const bend = bendsFor(arm, 43, 0.1);
    solveHeld(arm, load, stanceAlongX(), bend, state, work);
    heldResponse(arm, work);
    const compliance = work.bendCompliance.slice();
    // the effort that the solver finds for a changed bend tells the inverse; its diagonal is the other way round, so use all of it
    const n = 2 * arm.sections;
    const h = 1e-5;
    const inverse = Array.from({ length: n }, (_, mode) => {
      const at = (step: number): Float64Array => {
        const other = copyRodState(state);
        solveHeld(
          arm,
          load,
          stanceAlongX(),
          bend.map((b, k) => (k === mode ? b + step : b)),
          other,
          work,
          { tolerance: 1e-12 },
        );
        return other.effort;
      };
      const [plus, minus] = [at(h), at(-h)];
      return Array.from(plus, (v, k) => (v - (minus[k] as number)) / (2 * h));
    });
    // sum over modes of inverse[mode] x column of the compliance = unit: solve for each diagonal by Gauss-Jordan here
    const diagonal = invert(inverse).map((row, k) => row[k] as number);
    diagonal.forEach((v, k) => expect(Math.abs(v / (compliance[k] as number) - 1)).toBeLessThan(1e-5));
  });
});

describe("part-emerged arms", () => {
  const arm = createArm(twinArm({ sections: 2, spans: 5 }));
  const load: Load = { gravity: [0, 0, -9.81], forces: [] };
  // bend a unit length that is out, as a bend that follows a path does
  const bendAt = (exit: number): Float64Array => {
    const bend = new Float64Array(4);
    for (let i = 0; i < arm.spans; i++) {
      const start = (arm.along[i] as number) + (arm.lead[i] as number);
      const free = Math.min(1, Math.max(0, (start + (arm.flexible[i] as number) - exit) / (arm.flexible[i] as number)));
      // a hinge of the pair bends about one axis
      bend[2 * (arm.sectionOfSpan[i] as number) + (arm.turned[i] as number)] =
        (bend[2 * (arm.sectionOfSpan[i] as number) + (arm.turned[i] as number)] as number) + 0.03 * free;
    }
    return bend;
  };
  const shapeAt = (exit: number): { tip: number[]; status: string } => {
    const work = createRodWork(arm);
    const state = createRodState(arm);
    const stance = stanceAlongX(exit);
    // fed through the guide: the tip stays near, whatever the exit
    stance.base[9] = -exit;
    const { status } = solveHeld(arm, load, stance, bendAt(exit), state, work);
    if (status === "stable") expect(checkBalance(arm, load, stance, state)).toBeLessThan(1e-7);
    return { tip: tipOf(arm, work.frame), status };
  };

  test("continuous in the guide's exit, over hinges and over the end of a section", { timeout: 30_000 }, () => {
    const steps = 120;
    let before = shapeAt(0);
    for (let k = 1; k <= steps; k++) {
      const now = shapeAt((0.098 * k) / steps);
      expect(now.status).toBe("stable");
      // the exit moves 0.82 mm; along the tip's own line it moves by that, sideways by less
      expect(Math.hypot(...now.tip.map((v, r) => v - (before.tip[r] as number)))).toBeLessThan(2 * (0.098 / steps));
      before = now;
    }
  });

  test("spans in the guide are straight, and do not move", () => {
    const work = createRodWork(arm);
    const state = createRodState(arm);
    const stance = stanceAlongX(0.0447);
    expect(solveHeld(arm, load, stance, bendAt(0.0447), state, work).status).toBe("stable");
    expect(work.firstFree).toBe(4);
    for (let i = 0; i <= 4; i++) {
      for (let k = 0; k < 9; k++) expect(work.frame[12 * i + k]).toBe(stance.base[k]);
      expect(work.frame[12 * i + 9]).toBeCloseTo((stance.base[9] as number) + 0.01 * i, 14);
    }
    // the hinge on the exit is shortened to what is out of it
    expect(work.flexible[4]).toBeCloseTo(0.04 + 3.75e-3 + 2.5e-3 - 0.0447, 14);
  });

  test("sections wholly in the guide are limp: their cables at the pretension, their numbers not read", () => {
    const exit = 0.0663;
    const bend = bendAt(exit);
    const solve = (asked: Float64Array): Float64Array => {
      const work = createRodWork(arm);
      const state = createRodState(arm);
      expect(solveHeld(arm, load, stanceAlongX(exit), asked, state, work).status).toBe("stable");
      expect(firstHeld(arm, work)).toBe(1);
      for (const t of state.tension.subarray(0, 3)) expect(Math.abs(t - 8)).toBeLessThan(1e-12);
      expect(Array.from(state.effort.subarray(0, 2))).toEqual([0, 0]);
      return work.frame;
    };
    const wild = bend.slice();
    wild[0] = 1;
    wild[1] = Number.NaN;
    expect(solve(wild)).toEqual(solve(bend));
  });

  test("nothing out: nothing to solve", () => {
    const work = createRodWork(arm);
    const state = createRodState(arm);
    const report = solveHeld(arm, load, stanceAlongX(0.2), new Float64Array(4), state, work);
    expect(report.status).toBe("stable");
    expect(tipOf(arm, work.frame)[0]).toBeCloseTo(0.1, 14);
    heldResponse(arm, work);
    expect(checkBalance(arm, load, stanceAlongX(0.2), state)).toBe(0);
  });
});

describe("statuses", () => {
  const arm = createArm(twinArm({ sections: 2, spans: 6 }));
  const bend = Float64Array.of(0.2, 0.1, -0.2, 0.1);

  test("one step is not enough, and says so", () => {
    const report = solveHeld(arm, loadOf(arm), stanceAlongX(), bend, createRodState(arm), createRodWork(arm), {
      mostSteps: 1,
      ramp: false,
    });
    expect(report.status).toBe("not-converged");
    expect(report.iterations).toBe(1);
    expect(report.step).toBeGreaterThan(1e-3);
  });

  test("slack: no pretension leaves cables without tension", () => {
    const loose = createArm(twinArm({ sections: 2, spans: 6, pretension: 0 }));
    const state = createRodState(loose);
    expect(solveHeld(loose, loadOf(loose), stanceAlongX(), bend, state, createRodWork(loose)).status).toBe("slack");
    expect(Math.min(...state.tension)).toBe(0);
    expect(Math.max(...state.tension)).toBeGreaterThan(5);
  });

  test("steady by its efforts alone: the count over all cables says the same (seed 46)", () => {
    const arm = createArm(twinArm({ sections: 8, spans: 12 }));
    const work = createRodWork(arm);
    const state = createRodState(arm);
    let told = 0;
    for (let k = 0; k < 12; k++) {
      const heavy: Load = { gravity: [0, 0, -9.81], forces: [{ vertebra: arm.spans, force: [0.2, 0.05 * k, 0.1], at: [0, 0, 0] }] };
      const { status } = solveHeld(arm, heavy, stanceAlongX(), bendsFor(arm, 460 + k, 0.2), state, work);
      if (status !== "stable" || work.negative === 0) continue;
      if (!steadyByEfforts(arm, 0, state.tension, work)) continue;
      told++;
      expect([k, countUnstable(arm, state.tension, work)]).toEqual([k, 0]);
    }
    expect(told).toBeGreaterThan(3);
  });

  test("buckled: a strut pushed beyond Euler's load with its bends held straight", () => {
    // soft single rod, three sections; EI pi^2 / L^2 clamped at both ends is 4 times the pinned load
    const single = createArm({ ...twinArm({ sections: 1, spans: 20, single: true, pretension: 1 }), tool: { ...twinArm().tool, mass: 0 } });
    const ei = nitinol.youngModulus * (Math.PI / 64) * 1e-3 ** 4;
    const push = (force: number): string => {
      const load: Load = { gravity: [0, 0, 0], forces: [{ vertebra: 20, force: [-force, 0, 0], at: [0, 0, 0] }] };
      return solveHeld(single, load, stanceAlongX(), new Float64Array(2), createRodState(single), createRodWork(single)).status;
    };
    // hinges of a quarter of the length: as soft as a rod of 4 EI
    const pinned = (Math.PI ** 2 * 4 * ei) / 0.2 ** 2;
    expect(push(0.5 * pinned)).toBe("stable");
    expect(push(6 * pinned)).toBe("buckled");
  });
});

function rolled(base: Float64Array, angle: number): Float64Array {
  const out = base.slice();
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  for (let r = 0; r < 3; r++) {
    out[3 * r] = c * (base[3 * r] as number) + s * (base[3 * r + 1] as number);
    out[3 * r + 1] = -s * (base[3 * r] as number) + c * (base[3 * r + 1] as number);
  }
  return out;
}

/** Rate of a frame's entries -> its motion in its own axes. */
function motionOf(frame: Float64Array, o: number, rate: (k: number) => number): number[] {
  const local = (column: number, k: number): number =>
    [0, 1, 2].reduce((sum, r) => sum + (frame[o + 3 * r + column] as number) * rate(k + r), 0);
  const turned = (a: number, b: number): number =>
    [0, 1, 2].reduce((sum, r) => sum + (frame[o + 3 * r + a] as number) * rate(o + 3 * r + b), 0);
  return [
    (turned(2, 1) - turned(1, 2)) / 2,
    (turned(0, 2) - turned(2, 0)) / 2,
    (turned(1, 0) - turned(0, 1)) / 2,
    local(0, o + 9),
    local(1, o + 9),
    local(2, o + 9),
  ];
}

function invert(m: number[][]): number[][] {
  const n = m.length;
  const a = m.map((row, r) => [...row, ...row.map((_, c) => (r === c ? 1 : 0))]);
  for (let k = 0; k < n; k++) {
    const pivot = (a[k] as number[])[k] as number;
    a[k] = (a[k] as number[]).map((v) => v / pivot);
    for (let r = 0; r < n; r++) {
      const factor = (a[r] as number[])[k] as number;
      if (r !== k) a[r] = (a[r] as number[]).map((v, c) => v - factor * ((a[k] as number[])[c] as number));
    }
  }
  return a.map((row) => row.slice(n));
}
