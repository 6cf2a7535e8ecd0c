/** A base that gives: closed forms of a stiff arm on springs, differences, an arm that rolls over it, and random bases by the independent balance. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { createRandom, InputError } from "../../src/base/index.ts";
import {
  checkBalance,
  createRodState,
  createRodWork,
  heldResponse,
  heldTipResponse,
  type Load,
  type RodState,
  type RodWork,
  readFreeLengths,
  type Stance,
  setStance,
  solveHeld,
  solveLocked,
  solveTensions,
  tipCompliance,
} from "../../src/rod/index.ts";
import { clearColumn, evaluate, gradientColumn, solveTangent } from "../../src/rod/tangent.ts";
import { noLoad, plainRod, stanceAlongX } from "./arms.ts";
import { randomCase } from "./random-arm.ts";
import { twinArm } from "./twin.ts";

const stiff = { lock: ["bend-x", "bend-y", "twist", "axial"] } as const;

/** A metre of arm that does not bend, its exit at the base, on a base with this compliance. */
function stiffArm(compliance: readonly number[], lock = stiff) {
  return createArm({ ...plainRod({ length: 1, spans: 10, ei: 1 }), base: { compliance } }, lock);
}

describe("an arm that does not bend", () => {
  test("1 mrad/(N m) and 200 g at a metre: 2 mm at the tip (common practice: 2 to 3 mm with the arm's own weight, no source)", () => {
    const arm = stiffArm([1e-3, 1e-3, 1e-3, 0, 0, 0]);
    const work = createRodWork(arm);
    const state = createRodState(arm);
    const load: Load = { ...noLoad, forces: [{ vertebra: 10, force: [0, 0, -0.2 * 9.80665], at: [0, 0, 0] }] };
    expect(solveTensions(arm, load, stanceAlongX(), state, work).status).toBe("stable");
    const drop = -(work.frame[120 + 11] as number);
    // tilt t with t = c W cos t
    const tilt = 1e-3 * 0.2 * 9.80665;
    expect(drop).toBeCloseTo(Math.sin(tilt * Math.cos(tilt)), 9);
    expect(drop).toBeGreaterThan(1.9e-3);
    expect(checkBalance(arm, load, stanceAlongX(), state)).toBeLessThan(1e-8);
  });

  test("shifts and turns of the exit add: 10 um/N along and aside, 2 mrad/(N m) about its axis", () => {
    const arm = stiffArm([0, 0, 2e-3, 1e-5, 1e-5, 1e-5]);
    const work = createRodWork(arm);
    const load: Load = { ...noLoad, forces: [{ vertebra: 10, force: [3, 5, 0], at: [0.1, 0, 0] }] };
    expect(solveTensions(arm, load, stanceAlongX(), createRodState(arm), work).status).toBe("stable");
    // the arm's x is up: 5 N to the left a tenth of a metre above its axis turns it by 2e-3 * 0.5 about world x, less the square of it
    expect(work.frame[120 + 9]).toBeCloseTo(1 + 3e-5, 9);
    expect(work.frame[120 + 10]).toBeCloseTo(5e-5, 7);
    expect(Math.abs(work.frame[120 + 3] as number)).toBeCloseTo(1e-3, 6);
  });

  test("pushed along its axis it falls over at k / L (a stiff bar on a spring, Timoshenko & Gere, from memory)", () => {
    const arm = stiffArm([2e-2, 2e-2, 0, 0, 0, 0]);
    const at = (force: number) => {
      const load: Load = { ...noLoad, forces: [{ vertebra: 10, force: [-force, 0, 0], at: [0, 0, 0] }] };
      return solveTensions(arm, load, stanceAlongX(), createRodState(arm), createRodWork(arm), { escape: false });
    };
    // 50 N m/rad over 1 m
    expect([at(49.9).status, at(50.1).status, at(50.1).unstable]).toEqual(["stable", "buckled", 2]);
  });

  test("a base that rolls with nothing: the arm rolled by a quarter turn tilts as before", () => {
    const arm = stiffArm([1e-3, 0, 0, 0, 0, 0]);
    const drop = (roll: number, force: readonly [number, number, number]): number => {
      const still = stanceAlongX();
      const base = still.base.slice();
      for (let r = 0; r < 3; r++) {
        const [x, y] = [still.base[3 * r] as number, still.base[3 * r + 1] as number];
        base[3 * r] = Math.cos(roll) * x + Math.sin(roll) * y;
        base[3 * r + 1] = Math.cos(roll) * y - Math.sin(roll) * x;
      }
      const work = createRodWork(arm);
      const load: Load = { ...noLoad, forces: [{ vertebra: 10, force, at: [0, 0, 0] }] };
      const stance: Stance = { base, exit: 0, roll };
      const state = createRodState(arm);
      expect(solveTensions(arm, load, stance, state, work).status).toBe("stable");
      expect(checkBalance(arm, load, stance, state)).toBeLessThan(1e-8);
      return Math.hypot(work.frame[120 + 10] as number, work.frame[120 + 11] as number);
    };
    // the port's x is up: about it the base gives to a force aside, and to none upwards, however the arm is rolled
    for (const roll of [0, 0.4, Math.PI / 2, 2]) {
      expect(drop(roll, [0, 2, 0])).toBeCloseTo(2e-3, 7);
      expect(drop(roll, [0, 0, 2])).toBeLessThan(1e-12);
    }
  });
});

/** A compliance without symmetry among its axes, and an arm in its guide. */
function leaning(seed: number, spans = 4) {
  const random = createRandom(seed);
  const mixed = Array.from({ length: 36 }, () => 2 * random() - 1);
  const size = [0.03, 0.03, 0.03, 1e-3, 1e-3, 1e-3];
  const compliance = new Array<number>(36).fill(0);
  for (let r = 0; r < 6; r++) {
    for (let c = 0; c <= r; c++) {
      for (let k = 0; k < 6; k++)
        compliance[6 * r + c] = (compliance[6 * r + c] as number) + mixed[6 * r + k]! * mixed[6 * c + k]! * size[r]! * size[c]!;
      compliance[6 * c + r] = compliance[6 * r + c] as number;
    }
  }
  return createArm({ ...twinArm({ sections: 3, spans }), base: { compliance } });
}

describe("differences (seed 21)", () => {
  const arm = leaning(21);
  const random = createRandom(22);
  const size = [100, 100, 20, 5e-3];
  const n4 = 4 * arm.spans;
  const strain = Float64Array.from({ length: n4 }, (_, k) => 0.5 * (2 * random() - 1) * (size[k % 4] as number));
  const tension = Float64Array.from({ length: arm.cables }, () => 20 * random());
  const load: Load = { gravity: [1, -2, -9], forces: [{ vertebra: 12, force: [3, -1, 2], at: [0.01, 0.02, -0.03] }] };
  const stance: Stance = { ...stanceAlongX(13e-3, 0.3), roll: 0.7 };
  const difference = (f: (h: number) => number, h: number): number => (8 * (f(h / 2) - f(-h / 2)) - (f(h) - f(-h))) / (6 * h);
  const at = (strains: Float64Array, base: Float64Array, work: RodWork): RodWork => {
    setStance(arm, stance, work);
    work.base = base;
    evaluate(arm, load, strains, tension, false, work);
    return work;
  };

  test("gradient of the energy by each of the base's unknowns, far from rest, to 1e-8", () => {
    const work = createRodWork(arm);
    const base = Float64Array.from({ length: 6 }, () => 2 * random() - 1);
    const push = at(strain, base, work).footPush.slice();
    for (let k = 0; k < 6; k++) {
      const slope = difference(
        (h) =>
          at(
            strain,
            base.map((value, r) => (r === k ? value + h : value)),
            work,
          ).energy,
        1e-2,
      );
      expect(Math.abs(slope + (push[k] as number))).toBeLessThan(1e-8 * Math.hypot(...push));
    }
  });

  test("tangent: gradient and push move as the solution says, the base at rest, to 1e-6 of a rad and J^1/2 each", () => {
    const work = createRodWork(arm);
    at(strain, new Float64Array(6), work);
    clearColumn(arm, 0, work);
    const right = Float64Array.from({ length: n4 }, (_, k) => (2 * random() - 1) / (size[k % 4] as number));
    const root = Float64Array.from({ length: 6 }, () => 2 * random() - 1);
    work.column.set(right);
    work.columnRoot.set(root);
    solveTangent(arm, 1, work);
    const [x, y] = [work.column.slice(0, n4), work.columnRoot.slice(0, 6)];
    const reach = Math.max(...Array.from(x, (v, k) => Math.abs(v) / (size[k % 4] as number)), ...y.map(Math.abs));
    const moved = (h: number): RodWork =>
      at(
        Float64Array.from(strain, (v, i) => v + h * (x[i] as number)),
        y.map((v) => h * v),
        work,
      );
    for (let k = 4 * work.firstFree; k < n4; k++) {
      const slope = difference((h) => moved(h).gradient[k] as number, 1e-3 / reach);
      expect(Math.abs(slope - (right[k] as number)) * (size[k % 4] as number)).toBeLessThan(1e-6);
    }
    for (let k = 0; k < 6; k++) {
      const slope = difference((h) => -(moved(h).footPush[k] as number), 1e-3 / reach);
      expect(Math.abs(slope - (root[k] as number))).toBeLessThan(1e-6);
    }
  });

  test("Newton's step takes the base along: the energy falls as it says", () => {
    const work = createRodWork(arm);
    const base = new Float64Array(6);
    at(strain, base, work);
    gradientColumn(arm, 0, work);
    solveTangent(arm, 1, work);
    const [x, y] = [work.column.slice(0, n4), work.columnRoot.slice(0, 6)];
    const gradient = work.gradient.slice();
    const push = work.footPush.slice();
    let slope = 0;
    for (let k = 4 * work.firstFree; k < n4; k++) slope += (gradient[k] as number) * (x[k] as number);
    for (let k = 0; k < 6; k++) slope -= (push[k] as number) * (y[k] as number);
    const found = difference(
      (h) =>
        at(
          Float64Array.from(strain, (v, i) => v + h * (x[i] as number)),
          y.map((v) => h * v),
          work,
        ).energy,
      1e-3,
    );
    expect(found / slope).toBeCloseTo(1, 6);
  });
});

test("how the held arm answers to bends and roll, the base giving: by differences of whole solves (seed 31)", () => {
  const arm = leaning(31);
  const load: Load = { gravity: [1, -2, -9], forces: [] };
  const bend = Float64Array.of(0.1, -0.05, 0.1, 0.1, -0.1, 0.05);
  const rolled = (roll: number): Stance => {
    const still = stanceAlongX(13e-3, 0.3);
    const base = still.base.slice();
    for (let r = 0; r < 3; r++) {
      const [x, y] = [still.base[3 * r] as number, still.base[3 * r + 1] as number];
      base[3 * r] = Math.cos(roll) * x + Math.sin(roll) * y;
      base[3 * r + 1] = Math.cos(roll) * y - Math.sin(roll) * x;
    }
    return { base, exit: still.exit, roll };
  };
  const tip = (bends: Float64Array, roll: number): [Float64Array, RodWork] => {
    const work = createRodWork(arm);
    expect(solveHeld(arm, load, rolled(roll), bends, createRodState(arm), work, { tolerance: 1e-11 }).status).toBe("stable");
    return [work.frame.slice(12 * arm.spans), work];
  };
  const [here, work] = tip(bend, 0.5);
  heldTipResponse(arm, work);
  const alone = work.tipResponse.slice();
  heldResponse(arm, work);
  const n = arm.spans;
  // by products of reduced columns: the same motion of the tip but for rounding
  for (let mode = 0; mode <= 6; mode++) {
    for (let k = 0; k < 6; k++) {
      const returned = work.response[6 * ((n + 1) * mode + n) + k] as number;
      expect(Math.abs((alone[6 * mode + k] as number) - returned)).toBeLessThan(1e-9);
    }
  }
  for (let mode = 0; mode <= 6; mode++) {
    const h = 1e-4;
    const moved = (by: number): Float64Array =>
      mode === 6
        ? tip(bend, 0.5 + by)[0]
        : tip(
            bend.map((value, k) => (k === mode ? value + by : value)),
            0.5,
          )[0];
    const [plus, minus] = [moved(h), moved(-h)];
    const o = 6 * ((n + 1) * mode + n);
    for (let r = 0; r < 3; r++) {
      let said = 0;
      for (let k = 0; k < 3; k++) said += (here[3 * r + k] as number) * (work.response[o + 3 + k] as number);
      // what the tangent leaves out is a sixth of the wrench times the turn of the base, some 1e-6 here
      expect(Math.abs(((plus[9 + r] as number) - (minus[9 + r] as number)) / (2 * h) - said)).toBeLessThan(1e-5);
    }
  }
});

test("the tip of a straight arm at rest gives by the arm's own and the base's compliance, carried to the tip", () => {
  const whole = leaning(41);
  const { base: given, ...rest } = whole.description;
  expect(given).toBeDefined();
  const alone = createArm(rest);
  const found = [whole, alone].map((arm) => {
    const work = createRodWork(arm);
    const state = createRodState(arm);
    state.tension.fill(0);
    const load: Load = { ...noLoad, toolShare: 0 };
    expect(solveTensions(arm, load, stanceAlongX(20e-3), state, work).status).toBe("stable");
    const out = new Float64Array(36);
    tipCompliance(arm, state, "tensions", work, out);
    return out;
  });
  const compliance = whole.description.base?.compliance as readonly number[];
  const height = (whole.along[whole.spans] as number) - 20e-3;
  // motion of the tip a unit motion of the exit: rows of [1, 0; -[h z]x, 1]
  const carry = Array.from({ length: 36 }, (_, k) => (k % 7 === 0 ? 1 : k === 6 * 3 + 1 ? height : k === 6 * 4 ? -height : 0));
  for (let r = 0; r < 6; r++) {
    for (let c = 0; c < 6; c++) {
      let sum = 0;
      for (let a = 0; a < 6; a++) for (let b = 0; b < 6; b++) sum += carry[6 * r + a]! * compliance[6 * a + b]! * carry[6 * c + b]!;
      const more = (found[0]![6 * r + c] as number) - (found[1]![6 * r + c] as number);
      expect(Math.abs(more - sum)).toBeLessThan(1e-10);
    }
  }
});

test("random arms on random bases, some with rubbing cables: balanced by the second computation, held, locked and by tensions (seeds 0 to 59)", () => {
  for (let seed = 0; seed < 60; seed++) {
    const { arm: rigid, load, stance: still, bend } = randomCase(seed);
    const random = createRandom(1000 + seed);
    const compliance =
      random() < 0.5
        ? (leaning(seed, 1).description.base?.compliance as readonly number[])
        : [5e-3 * random(), 0, 5e-3 * random(), 0, 1e-5 * random(), 0];
    const exact = (value: number) => ({ nominal: value, low: value, high: value });
    const friction = { holes: exact(0.15), conduit: exact(0.1), conduitTurn: 1 };
    const arm = createArm({ ...rigid.description, base: { compliance }, ...(seed % 3 === 0 ? { friction } : {}) });
    const stance = { ...still, roll: 6 * random() };
    const work = createRodWork(arm, { plain: seed % 2 === 0 });
    const check = (what: string, status: string, state: RodState): boolean => {
      if (status === "not-converged") return false;
      const left = checkBalance(arm, load, stance, state);
      expect([seed, what, left < 1e-6, left]).toEqual([seed, what, true, left]);
      return true;
    };
    const state = createRodState(arm);
    // cables that slid one way or the other
    state.grip.forEach((_, k) => {
      state.grip[k] = random() < 0.5 ? 1 : -1;
    });
    expect(check("held", solveHeld(arm, load, stance, bend, state, work).status, state)).toBe(true);
    const free = new Float64Array(arm.cables);
    readFreeLengths(arm, state, work, free);
    const locked = createRodState(arm);
    check("locked", solveLocked(arm, load, stance, free, locked, work).status, locked);
    const kept = createRodState(arm);
    kept.tension.set(state.tension);
    check("tensions", solveTensions(arm, load, stance, kept, work).status, kept);
  }
});

test("a compliance of nothing is a rigid base, to the last bit; one that cannot be is refused", () => {
  const description = twinArm({ sections: 2, spans: 4 });
  const solve = (base?: { compliance: readonly number[] }): RodState => {
    const arm = createArm(base === undefined ? description : { ...description, base });
    const state = createRodState(arm);
    solveHeld(arm, { gravity: [1, 2, -9], forces: [] }, stanceAlongX(), Float64Array.of(0.1, 0.1, 0, 0.1), state, createRodWork(arm));
    return state;
  };
  expect(solve({ compliance: [0, 0, 0, 0, 0, 0] })).toEqual(solve());
  const skew = Array.from({ length: 36 }, (_, k) => (k % 7 === 0 ? 1e-3 : k === 1 ? 1e-4 : 0));
  const gains = Array.from({ length: 36 }, (_, k) => (k % 7 === 0 ? 1e-3 : k === 1 || k === 6 ? 2e-3 : 0));
  for (const compliance of [[1e-3], skew, gains, [1e-3, -1e-3, 0, 0, 0, 0], [Number.NaN, 0, 0, 0, 0, 0]]) {
    expect(() => createArm({ ...description, base: { compliance } })).toThrow(InputError);
  }
});
