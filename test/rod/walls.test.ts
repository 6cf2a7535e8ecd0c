import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import type { DistanceField } from "../../src/math/index.ts";
import {
  checkBalance,
  createRodState,
  createRodWork,
  type Load,
  type RodWork,
  readFreeLengths,
  setStance,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
import { clearColumn, evaluate, solveTangent } from "../../src/rod/tangent.ts";
import { reach } from "../published/reach.ts";
import { type Bench, bench, noLoad, type PlainRod, plainRod, stanceAlongX, tipOf } from "./arms.ts";
import { twinArm } from "./twin.ts";

const g = 9.80665;

/** A rod as thick as a line, or with thin discs of a radius at its vertebrae. */
function line(rod: PlainRod, radius = 0): Bench {
  const arm = createArm(plainRod(rod), { lock: ["axial"] });
  return bench({ ...arm, width: arm.width.map(() => 2 * radius) });
}

/** Sum of what the walls do, N, world. */
function pushOf(work: RodWork): number[] {
  const sum = [0, 0, 0];
  for (let k = 0; k < work.contact.length; k++) sum[k % 3] = (sum[k % 3] as number) + (work.contact[k] as number);
  return sum;
}

describe("an arm lowered onto a plate", () => {
  // small slopes: clamped level at height h it touches down at a = (72 EI h/w)^1/4 and leaves 2 w a/3 to the clamp
  const rod = { length: 2, spans: 400, ei: 2, massPerLength: 0.5 };
  const w = rod.massPerLength * g;
  test.each([[0.002], [0.005], [0.01]])("clamped %d m above it: touch-down and the weight it carries", (height) => {
    const b = line(rod);
    const load: Load = {
      gravity: [0, 0, -g],
      forces: [],
      walls: { field: { walls: [{ kind: "plane", at: [0, 0, -height], normal: [0, 0, 1] }] }, stiffness: 1e7 },
    };
    expect(solveTensions(b.arm, load, stanceAlongX(), b.state, b.work).status).toBe("stable");
    expect(checkBalance(b.arm, load, stanceAlongX(), b.state)).toBeLessThan(1e-7);
    const a = ((72 * rod.ei * height) / w) ** 0.25;
    const pitch = rod.length / rod.spans;
    // the clamp's own vertebra bears half a pitch that the walls and the loads do not see
    const carried = w * (rod.length - pitch / 2) - (pushOf(b.work)[2] as number);
    // touch-down is spread over (4 EI pitch/k)^1/4 = 8 mm and falls between vertebrae 5 mm apart, a from 0.49 to 0.74 m; slopes up to 0.03
    reach("touchDown", carried / ((2 / 3) * w * a - (w * pitch) / 2) - 1);
    const first = Array.from({ length: b.arm.spans }, (_, i) => i + 1).find((i) => (b.work.contact[3 * i + 2] as number) > 0)!;
    expect(Math.abs(first * pitch - a)).toBeLessThan(8e-3 + pitch);
    // nothing is pulled down
    for (let i = 1; i <= b.arm.spans; i++) expect(b.work.contact[3 * i + 2]).toBeGreaterThanOrEqual(0);
  });

  test("lying in a bore, wherever down is: as on a plate at its lowest line, and along it", () => {
    const [bore, disc] = [12e-3, 8e-3];
    const pushes = [0, 2, 5].map((twelfth) => {
      const b = line(rod, disc);
      const angle = (twelfth * Math.PI) / 6;
      // corners of a disc are at twelfths of a turn from its own x, which is up
      const down = [0, Math.sin(angle), -Math.cos(angle)] as const;
      const load: Load = {
        gravity: [0, g * down[1], g * down[2]],
        forces: [],
        walls: { field: { walls: [{ kind: "tube", at: [0, 0, 0], axis: [1, 0, 0], radius: bore }] }, stiffness: 1e5 },
      };
      expect(solveTensions(b.arm, load, stanceAlongX(), b.state, b.work).status).toBe("stable");
      expect(checkBalance(b.arm, load, stanceAlongX(), b.state)).toBeLessThan(1e-7);
      const { at } = tipOf(b);
      for (const k of [1, 2]) expect(Math.abs((at[k] as number) - (bore - disc) * (down[k] as number))).toBeLessThan(1e-5);
      return -(pushOf(b.work).reduce((sum, f, k) => sum + f * (down[k] as number), 0) as number);
    });
    const a = ((72 * rod.ei * (bore - disc)) / w) ** 0.25;
    const pitch = rod.length / rod.spans;
    expect((w * (rod.length - pitch / 2) - (pushes[0] as number)) / ((2 / 3) * w * a - (w * pitch) / 2)).toBeCloseTo(1, 2);
    for (const push of pushes) expect(push).toBeCloseTo(pushes[0] as number, 6);
  });
});

describe("pushed tip-first against a wall (Timoshenko & Gere, table 2-4, recomputed)", () => {
  // tip angle, P/Pcr, x/L, y/L of a strut that is clamped below and free to slide and turn at its tip
  const rows = [
    [20, 1.015396866, 0.9697309074, 0.2194130424],
    [40, 1.063663266, 0.8812035117, 0.4222403401],
    [60, 1.15171962, 0.7410196061, 0.5932076462],
  ] as const;
  const critical = Math.PI ** 2 / 4;
  const stiffness = 1e4;

  test("it leaves the straight line, and carries what the table says", () => {
    const b = line({ length: 1, spans: 100, ei: 1 });
    const wall: DistanceField = { walls: [{ kind: "plane", at: [1, 0, 0], normal: [-1, 0, 0] }] };
    const load: Load = { ...noLoad, walls: { field: wall, stiffness } };
    let fed = 0;
    for (const [, p, x, y] of rows) {
      const goal = 1 - x + (p * critical) / stiffness;
      while (fed < goal) {
        fed = Math.min(goal, fed + 0.01);
        const stance = stanceAlongX();
        stance.base[9] = fed;
        expect(solveTensions(b.arm, load, stance, b.state, b.work).status).toBe("stable");
        expect(checkBalance(b.arm, load, stance, b.state)).toBeLessThan(1e-7);
      }
      // second order in the span: 1e-4 at 100
      reach("wallBuckled", -(pushOf(b.work)[0] as number) / critical / p - 1);
      const [, side, up] = tipOf(b).at;
      reach("wallBuckled", Math.sqrt(side * side + up * up) - y);
    }
  });
});

describe("friction of walls", () => {
  // mu w L is what it takes to push a rod along a floor
  test.each([
    ["in", -1],
    ["out", 1],
  ] as const)("along a floor, %s: each span carries what the weight beyond rubs", (way, sign) => {
    const rod = { length: 1, spans: 50, ei: 5, massPerLength: 0.5 };
    const made = createArm(plainRod(rod));
    const arm = { ...made, width: made.width.map(() => 0) };
    const b = bench(arm);
    const load: Load = {
      gravity: [0, 0, -g],
      forces: [],
      walls: {
        field: { walls: [{ kind: "plane", at: [0, 0, 0], normal: [0, 0, 1] }] },
        stiffness: 1e6,
        friction: { coefficient: 0.3, way },
      },
    };
    expect(solveTensions(arm, load, stanceAlongX(), b.state, b.work).status).toBe("stable");
    expect(checkBalance(arm, load, stanceAlongX(), b.state)).toBeLessThan(1e-7);
    const ea = arm.stiffness[15] as number;
    // clamp and tip are felt over a few (4 EI pitch/k)^1/4 = 25 mm: not at 300 mm
    for (const i of [15, 25, 35]) {
      const beyond = (rod.massPerLength * g * rod.length * (rod.spans - i - 0.5)) / rod.spans;
      reach("floorRub", (ea * (b.state.strain[4 * i + 3] as number)) / (sign * 0.3 * beyond) - 1);
    }
  });

  test("round the inside of a bend: the push grows by exp(mu angle) (Euler-Eytelwein)", () => {
    const [radius, angle, spans] = [0.3, Math.PI / 2, 180];
    const b = line({ length: radius * angle, spans, ei: 5, rest: [0, 1 / radius, 0] });
    const wall: DistanceField = { walls: [{ kind: "tube", at: [0, 0, radius], axis: [0, 1, 0], radius }] };
    for (const coefficient of [0, 0.2, 0.5]) {
      const load: Load = {
        ...noLoad,
        forces: [{ vertebra: spans, force: [0, 0, -5], at: [0, 0, 0] }],
        walls: { field: wall, stiffness: 1e6, friction: { coefficient, way: "in" } },
      };
      expect(solveTensions(b.arm, load, stanceAlongX(), b.state, b.work).status).toBe("stable");
      expect(checkBalance(b.arm, load, stanceAlongX(), b.state)).toBeLessThan(1e-6);
      // N = P pitch/radius on a vertebra, away from the ends
      const push = (i: number): number => Math.sqrt((b.work.contact[3 * i] as number) ** 2 + (b.work.contact[3 * i + 2] as number) ** 2);
      const between = (angle * (150 - 30)) / spans;
      reach("bendRub", push(30) / push(150) / Math.exp(coefficient * between) - 1);
    }
  });
});

describe("a thin wall", () => {
  const thickness = 0.5e-3;
  const unit = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, -5e-3 - thickness / 2);
  // a sheet at z = -5 mm without a solid side: 0 there, rising both ways; linear between corners 20 mm apart
  const sheet: DistanceField = {
    walls: [
      {
        kind: "grid",
        origin: [-1, -1, -0.025],
        step: 0.02,
        counts: [101, 101, 3],
        values: Float64Array.from({ length: 101 * 101 * 3 }, (_, k) => 0.02 * Math.abs((k % 3) - 1)),
      },
    ],
  };
  test.each<[string, DistanceField]>([
    ["a solid 0.5 mm thick", { walls: [{ kind: "box", frame: unit, half: [2, 2, thickness / 2] }] }],
    ["a sheet of no thickness", sheet],
  ])("%s, sunk into far past its middle: it pushes back to the side it was reached from, also when started anew", (_, field) => {
    const b = line({ length: 0.5, spans: 50, ei: 0.05 }, 1e-3);
    const walls = { field, stiffness: 1e3 };
    const at = (force: number): Load => ({ ...noLoad, forces: [{ vertebra: 50, force: [0, 0, -force], at: [0, 0, 0] }], walls });
    let before = 0;
    for (const force of [0, 0.1, 0.5, 2, 3, 3, 2, 0.5, 0]) {
      const load = at(force);
      expect(solveTensions(b.arm, load, stanceAlongX(), b.state, b.work).status).toBe("stable");
      expect(checkBalance(b.arm, load, stanceAlongX(), b.state)).toBeLessThan(1e-7);
      const push = pushOf(b.work)[2] as number;
      expect(push).toBeGreaterThanOrEqual(0);
      if (force > 1) expect((tipOf(b).at[2] as number) - 1e-3).toBeLessThan(-5e-3 - thickness);
      if (force === before && force > 0) expect(push).toBeGreaterThan(0.5 * force);
      before = force;
    }
    expect(tipOf(b).at[2]).toBeCloseTo(0, 9);
  });
});

const seed = 5;
describe(`gradient and tangent against differences, corners in a bore and a box (seed ${seed})`, () => {
  const arm = createArm(twinArm({ sections: 2, spans: 6 }));
  const random = createRandom(seed);
  const n4 = 4 * arm.spans;
  const size = [60, 60, 20, 3e-3];
  const strain = Float64Array.from({ length: n4 }, (_, k) => (2 * random() - 1) * (size[k % 4] as number));
  const tension = Float64Array.from({ length: arm.cables }, () => 30 * random());
  const stance = stanceAlongX(3e-3, 0.1);
  const load: Load = {
    gravity: [0, 1, -g],
    forces: [],
    walls: {
      field: {
        walls: [
          { kind: "tube", at: [0, 0, 4e-3], axis: [1, 0, 0], radius: 14e-3 },
          { kind: "box", frame: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0.07, 0.02, 0.02), half: [5e-3, 16e-3, 9e-3] },
        ],
      },
      stiffness: 2e3,
    },
  };
  const at = (s: Float64Array, work: RodWork): { energy: number; gradient: Float64Array } => {
    setStance(arm, stance, work);
    evaluate(arm, load, s, tension, false, work);
    return { energy: work.energy, gradient: work.gradient.slice() };
  };
  const difference = (f: (h: number) => number, h: number): number => {
    const d = (s: number): number => (f(s) - f(-s)) / (2 * s);
    return (4 * d(h / 2) - d(h)) / 3;
  };

  test("gradient", () => {
    const work = createRodWork(arm);
    const { gradient } = at(strain, work);
    expect(work.contact.filter((f) => f !== 0).length).toBeGreaterThan(12);
    const scale = Math.max(...Array.from(gradient, (v, i) => Math.abs(v) * (size[i % 4] as number)));
    for (let k = 0; k < n4; k++) {
      const slope = difference(
        (s) => {
          const copy = strain.slice();
          copy[k] = (copy[k] as number) + s;
          return at(copy, work).energy;
        },
        (size[k % 4] as number) * 1e-5,
      );
      expect(Math.abs(slope - (gradient[k] as number)) * (size[k % 4] as number)).toBeLessThan(1e-7 * scale);
    }
  });

  test("tangent", () => {
    const work = createRodWork(arm);
    const { gradient } = at(strain, work);
    const right = Float64Array.from(gradient, (_, k) => (2 * random() - 1) / (size[k % 4] as number));
    clearColumn(arm, 0, work);
    work.column.set(right, 0);
    solveTangent(arm, 1, work);
    const x = work.column.slice(0, n4);
    const reach = Math.max(...Array.from(x, (v, k) => Math.abs(v) / (size[k % 4] as number)));
    const along = (s: number): Float64Array => {
      return at(
        strain.map((v, i) => v + s * (x[i] as number)),
        work,
      ).gradient;
    };
    for (let k = 0; k < n4; k++) {
      const slope = difference((s) => along(s)[k] as number, 1e-5 / reach);
      // rounding of a difference over 1e-5, and of a wall's bend felt over 1 um
      expect(Math.abs(slope - (right[k] as number)) * (size[k % 4] as number)).toBeLessThan(1e-5);
    }
  });
});

describe("a twin-backbone arm in a bore", () => {
  const arm = createArm(twinArm({ sections: 3, spans: 6 }));
  const load: Load = {
    gravity: [0, 0, -g],
    forces: [{ vertebra: 18, force: [0, 1, -3], at: [0, 0, 0] }],
    walls: { field: { walls: [{ kind: "tube", at: [0, 0, 0], axis: [1, 0, 0], radius: 11e-3 }] }, stiffness: 1e5 },
  };
  test("held, locked and given tensions meet in one shape, balanced by a second computation", () => {
    const stance = stanceAlongX(13e-3);
    const work = createRodWork(arm);
    const state = createRodState(arm);
    const bend = Float64Array.of(0.02, -0.05, 0.01, 0.02, -0.02, 0.05);
    expect(solveHeld(arm, load, stance, bend, state, work).status).toBe("stable");
    expect(checkBalance(arm, load, stance, state)).toBeLessThan(1e-7);
    expect(Math.hypot(...pushOf(work))).toBeGreaterThan(0.1);
    expect(checkBalance(arm, { gravity: load.gravity, forces: load.forces }, stance, state)).toBeGreaterThan(1e-3);
    const free = new Float64Array(arm.cables);
    readFreeLengths(arm, state, work, free);
    const locked = createRodState(arm);
    expect(solveLocked(arm, load, stance, free, locked, work).status).toBe("stable");
    const given = createRodState(arm);
    given.tension.set(state.tension);
    expect(solveTensions(arm, load, stance, given, work).status).toBe("stable");
    for (const other of [locked, given])
      for (let k = 0; k < state.strain.length; k++) expect(other.strain[k]).toBeCloseTo(state.strain[k] as number, 5);
  });
});

describe(`random arms in random bores, cold and warm (seed ${seed})`, () => {
  test("every answer is balanced by a second computation, or says that there is none; most are found", () => {
    const random = createRandom(seed);
    const between = (a: number, b: number): number => a + (b - a) * random();
    let found = 0;
    let asked = 0;
    for (let n = 0; n < 30; n++) {
      const arm = createArm(
        twinArm({ sections: 1 + Math.floor(4 * random()), spans: 4 + Math.floor(6 * random()), single: random() < 0.3 }),
      );
      const stance = stanceAlongX(between(0, 0.03), between(-0.02, 0.02));
      const load: Load = {
        gravity: [between(-10, 10), between(-10, 10), between(-10, 10)],
        forces: [{ vertebra: arm.spans, force: [between(-2, 2), between(-2, 2), between(-2, 2)], at: [0, 0, 0.01] }],
        ...(random() < 0.5
          ? {}
          : { fluid: { density: 1000, current: { velocity: [0, between(-1, 1), between(-1, 1)] as const, dragCoefficient: 1.2 } } }),
        walls: {
          field: {
            walls: [
              { kind: "tube", at: [0, between(-1e-3, 1e-3), 0], axis: [1, 0, 0], radius: between(9e-3, 16e-3) },
              { kind: "plane", at: [(arm.along[arm.spans] as number) + between(0.028, 0.034), 0, 0], normal: [-1, 0, 0] },
            ],
          },
          stiffness: 10 ** between(3, 5),
          ...(random() < 0.5
            ? {}
            : { friction: { coefficient: between(0, 0.3), way: random() < 0.5 ? ("in" as const) : ("out" as const) } }),
        },
      };
      const bend = Float64Array.from({ length: 2 * arm.sections }, () => between(-0.05, 0.05));
      const work = createRodWork(arm);
      const state = createRodState(arm);
      const free = new Float64Array(arm.cables);
      const solves = [
        () => solveHeld(arm, load, stance, bend, state, work),
        () => {
          readFreeLengths(arm, state, work, free);
          return solveLocked(arm, load, stance, free, state, work);
        },
        () => solveTensions(arm, load, stance, state, work),
      ];
      for (const solve of solves) {
        asked++;
        if (["not-converged", "jammed"].includes(solve().status)) break;
        found++;
        // joints carry up to some N m: a millionth of that
        expect(checkBalance(arm, load, stance, state)).toBeLessThan(1e-6);
      }
    }
    // walls closer than the arm is bent, friction to 0.3 in a corner: a few of a hundred are not found
    expect(found).toBeGreaterThan(0.9 * asked);
  }, 60_000);
});

describe("a bend that the walls do not let it have", () => {
  const arm = createArm(twinArm({ sections: 2, spans: 8 }));
  const bend = Float64Array.of(0.2, 0, -0.2, 0);
  const at = (radius: number): { load: Load; report: ReturnType<typeof solveHeld>; tension: number; back: number } => {
    const walls = { field: { walls: [{ kind: "tube", at: [0, 0, 0], axis: [1, 0, 0], radius }] } as DistanceField, stiffness: 1e5 };
    const load: Load = { gravity: [0, 0, -g], forces: [], walls };
    const state = createRodState(arm);
    const report = solveHeld(arm, load, stanceAlongX(), bend, state, createRodWork(arm));
    return { load, report, tension: Math.max(...state.tension), back: checkBalance(arm, load, stanceAlongX(), state) };
  };
  test("jams, and says so; in a wider bore it comes to rest", () => {
    const narrow = at(8.2e-3).report;
    expect([narrow.status, narrow.slidesTo]).toEqual(["jammed", undefined]);
    const wide = at(30e-3);
    expect(wide.report.status).toBe("stable");
    expect(wide.back).toBeLessThan(1e-7);
  });
  test("what is asked of the cables grows as the bore narrows, to four times what breaks them", () => {
    // 220 N
    let before = 0;
    for (const radius of [30e-3, 14e-3, 12e-3, 11e-3, 10.5e-3, 10e-3]) {
      const { report, tension } = at(radius);
      if (report.status === "jammed") break;
      expect(["stable", "slack", "buckled"]).toContain(report.status);
      expect(tension).toBeGreaterThanOrEqual(before - 1e-9);
      before = tension;
    }
    expect(before).toBeGreaterThan(20);
  });
});

test("walls without stiffness are refused, and a state of another arm", () => {
  const arm = createArm(twinArm({ sections: 2, spans: 4 }));
  const field: DistanceField = { walls: [] };
  const bend = new Float64Array(4);
  for (const stiffness of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(() =>
      solveHeld(arm, { ...noLoad, walls: { field, stiffness } }, stanceAlongX(), bend, createRodState(arm), createRodWork(arm)),
    ).toThrow(/solve\.walls/);
  }
  const rough = { field, stiffness: 1, friction: { coefficient: -0.1, way: "in" } } as const;
  expect(() => solveHeld(arm, { ...noLoad, walls: rough }, stanceAlongX(), bend, createRodState(arm), createRodWork(arm))).toThrow(
    /solve\.walls/,
  );
  const other = { ...createRodState(arm), side: new Float64Array(8) };
  expect(() => solveHeld(arm, noLoad, stanceAlongX(), bend, other, createRodWork(arm))).toThrow(/state\.side/);
});

test("the same from a copied state and a fresh workspace, to the last bit", () => {
  const arm = createArm(twinArm({ sections: 2, spans: 6 }));
  const walls = { field: { walls: [{ kind: "plane", at: [0, 0, -9e-3], normal: [0, 0, 1] }] } as DistanceField, stiffness: 1e4 };
  const load: Load = { gravity: [0, 0, -g], forces: [], walls };
  const bend = Float64Array.of(0.02, 0, 0, 0.03);
  const run = (anew: boolean): Float64Array => {
    let state = createRodState(arm);
    let work = createRodWork(arm);
    for (let k = 0; k < 4; k++) {
      const stance = stanceAlongX(0.03 - 0.01 * k);
      expect(solveHeld(arm, load, stance, bend, state, work).status).toBe("stable");
      if (!anew) continue;
      state = structuredClone(state);
      work = createRodWork(arm);
    }
    return Float64Array.of(...state.strain, ...state.tension, ...state.side);
  };
  expect(run(true)).toEqual(run(false));
});
