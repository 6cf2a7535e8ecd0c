/**
 * Loads at which an arm leaves its balance: found by bisection on the solver's own count of unstable directions, on chains of three
 * lengths of span, with the error terms h^2 and h^4 taken off.
 *
 * The base of an arm is clamped, or gives in turning. Its tip is free, or led by a smooth tube that it fills to 1e-12 m: a disc at the tip may turn but not go
 * aside, a tool of some length does neither. All of them may slide and roll.
 */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { createRodState, createRodWork, type Load, solveTensions } from "../../src/rod/index.ts";
import { bench, inextensible, noLoad, plainRod, stanceAlongX } from "../rod/arms.ts";
import { reach } from "./reach.ts";

type Tip = "free" | "pinned" | "built in";

const bore = 0.02;
/** m: small enough that the discs' own spring (stiffness times this times the bore) turns nothing */
const oversize = 1e-12;

/** EI = 1, L = 1; rods twist 1.3 times as easily as they bend. @param give of the base in turning, rad/(N m) */
function column(spans: number, tip: Tip, give = 0) {
  const rigid = plainRod({ length: 1, spans, ei: 1 });
  const plain = give === 0 ? rigid : { ...rigid, base: { compliance: [give, give, 0, 0, 0, 0] } };
  const wide = 2 * (bore + oversize);
  const arm = createArm(tip === "built in" ? { ...plain, tool: { ...plain.tool, diameter: wide, length: 0.1 } } : plain, {
    lock: ["axial"],
  });
  return { ...arm, width: arm.width.map((_, i) => (tip === "pinned" && i === spans ? wide : 0)) };
}

/** A tool leads by two rims 0.1 apart, a disc must not lead at all by what it is wider than the bore: each takes its own stiffness. */
const tube = (stiffness: number): NonNullable<Load["walls"]> => {
  return { field: { walls: [{ kind: "tube", at: [0, 0, 0], axis: [1, 0, 0], radius: bore }] }, stiffness };
};
const stiffness = { "built in": 1e9, pinned: 1e7, free: 0 };

/** Least x of a load at which a straight column has an unstable direction. */
function critical(tip: Tip, load: (x: number, spans: number) => Load, low: number, high: number, give = 0): number {
  const at = (spans: number): number => {
    const arm = column(spans, tip, give);
    const work = createRodWork(arm);
    const unstable = (x: number): number => {
      const state = createRodState(arm);
      const on = load(x, spans);
      // twisted as it will be: GJ = EI / 1.3
      const wrung = on.moment?.[0] ?? on.following?.[2] ?? 0;
      for (let i = 0; i < spans; i++) state.strain[4 * i + 2] = 1.3 * wrung;
      const report = solveTensions(arm, tip === "free" ? on : { ...on, walls: tube(stiffness[tip]) }, stanceAlongX(), state, work, {
        escape: false,
      });
      expect(report.status).not.toBe("not-converged");
      // it is still straight
      expect(Math.abs((work.frame[12 * spans + 9] as number) - 1)).toBeLessThan(1e-9);
      expect(report.status === "buckled").toBe(report.unstable > 0);
      return report.unstable;
    };
    expect([unstable(low), unstable(high) > 0]).toEqual([0, true]);
    return bisect((x) => unstable(x) > 0, low, high);
  };
  return extrapolate(at);
}

function bisect(above: (x: number) => boolean, low: number, high: number): number {
  while (high - low > 1e-9 * high) {
    const middle = (low + high) / 2;
    if (above(middle)) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

function extrapolate(at: (spans: number) => number): number {
  const [a, b, c] = [at(40), at(80), at(160)];
  const one = (4 * b - a) / 3;
  const two = (4 * c - b) / 3;
  // second order: halving the span quarters the error
  expect((a - b) / (b - c)).toBeGreaterThan(3.8);
  expect((a - b) / (b - c)).toBeLessThan(4.2);
  return (16 * two - one) / 15;
}

const push = (thrust: number, spans: number): Load => ({ ...noLoad, forces: [{ vertebra: spans, force: [-thrust, 0, 0], at: [0, 0, 0] }] });
const wring = (torque: number): Load => ({ ...noLoad, moment: [torque, 0, 0] });
/** first root of tan z = z */
const z = 4.493409457909064;

describe("thrust", () => {
  test("clamped and free: pi^2/4", () => reach("eulerFree", critical("free", push, 1, 5) / (Math.PI ** 2 / 4) - 1));
  test("clamped and pinned: z^2, tan z = z", () => reach("eulerPinned", critical("pinned", push, 10, 30) / z ** 2 - 1));
  test("both ends built in: 4 pi^2", () => reach("eulerBuiltIn", critical("built in", push, 20, 60) / (4 * Math.PI ** 2) - 1));
});

describe("thrust on a base that gives", () => {
  test("hinged below, pinned above: pi^2", () => {
    // a hinge as good as free: 1e-8 of EI/L holds it
    reach("eulerHinged", critical("pinned", push, 5, 15, 1e8) / Math.PI ** 2 - 1);
  });

  test.each([0.1, 1, 10])("a spring of %d EI/L below, free above: k L tan k L = c L/EI", (spring) => {
    const root = bisect((k) => k * Math.tan(k) > spring, 1e-6, Math.PI / 2 - 1e-9);
    reach("eulerSpring", critical("free", push, 0.9 * root ** 2, 1.1 * root ** 2, 1 / spring) / root ** 2 - 1);
  });
});

describe("own weight", () => {
  const upright = { base: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0), exit: 0 };

  test("w L^3/EI = 9/4 j^2, j the first zero of J_-1/3", () => {
    const at = (spans: number): number => {
      const { arm, state, work } = inextensible({ length: 1, spans, ei: 1, massPerLength: 1 });
      return bisect(
        (k) => solveTensions(arm, { ...noLoad, gravity: [0, 0, -k] }, upright, state, work, { escape: false }).unstable > 0,
        5,
        12,
      );
    };
    reach("greenhillColumn", extrapolate(at) / 7.83734743894 - 1);
  });

  test("a steel rod of 3 mm stands to 2.254120 m (200 GPa, 7850 kg/m3)", () => {
    const fallsAt = (length: number, spans: number): boolean => {
      const plain = plainRod({ length, spans, ei: 1 });
      const material = { ...plain.sections[0]!.rods[0]!.material, youngModulus: 200e9, density: 7850 };
      const sections = plain.sections.map((s) => ({ ...s, rods: [{ ...s.rods[0]!, diameter: 3e-3, material }] }));
      const { arm, state, work } = bench(createArm({ ...plain, sections }, { lock: ["axial"] }));
      return solveTensions(arm, { ...noLoad, gravity: [0, 0, -9.80665] }, upright, state, work, { escape: false }).unstable > 0;
    };
    reach("steelColumn", extrapolate((spans) => bisect((length) => fallsAt(length, spans), 1, 4)) - 2.25412);
  });
});

describe("twist", () => {
  test("built in at both ends: 2 z, tan z = z; a moment that turns with the tip is the same, as the tip cannot tilt", () => {
    reach("twistBuiltIn", critical("built in", wring, 5, 12) / (2 * z) - 1);
    const following = (torque: number): Load => ({ ...noLoad, following: [0, 0, torque, 0, 0, 0] });
    reach("twistBuiltIn", critical("built in", following, 5, 12) / (2 * z) - 1);
  });

  /*
   * Deflection w = y + i z: EI w'''' + i M w''' + P w'' = 0, w and w' 0 at both ends. With 1, s, exp(2 i a s), exp(2 i b s),
   * 2 a and 2 b the roots of x^2 + m x - p = 0 (m = M L/EI, p = P L^2/EI), the determinant is real but for a factor:
   * (b - a) sin a sin b - a b sin(b - a) = 0. For m = 0 it gives p = 4 pi^2.
   */
  test.each([2, 4.5, 7])("wrung by %d EI/L and pushed, built in at both ends", (m) => {
    const determinant = (p: number): number => {
      const root = Math.sqrt(m * m + 4 * p);
      const [a, b] = [(-m - root) / 4, (-m + root) / 4];
      return (b - a) * Math.sin(a) * Math.sin(b) - a * b * Math.sin(b - a);
    };
    // the first sign change going up from the twist alone
    let low = 0.5;
    while (determinant(low) * determinant(low + 0.25) > 0) low += 0.25;
    const truth = bisect((p) => determinant(p) * determinant(low) < 0, low, low + 0.25);
    expect(truth).toBeLessThan(4 * Math.PI ** 2);
    const both = (thrust: number, spans: number): Load => ({ ...push(thrust, spans), moment: [m, 0, 0] });
    reach("twistAndThrust", critical("built in", both, 1, 60) / truth - 1);
  });

  /*
   * A free tip wrung about an axis that stays has no static divergence at all: EI u' + i M u = 0 there, with u(0) = 0, has no solution
   * but u = 0; such a rod swings up instead. The tangent's part with a potential is that of a semitangential moment:
   * EI u' + i M u/2 = 0 with u = 1 - exp(-i m s) gives exp(-i m) = -1.
   */
  test("clamped and free, about an axis that stays: never by the whole tangent, from pi on by its symmetric part", () => {
    const at = (spans: number): number => {
      const arm = column(spans, "free");
      const work = createRodWork(arm);
      return bisect(
        (torque) => {
          const state = createRodState(arm);
          for (let i = 0; i < spans; i++) state.strain[4 * i + 2] = 1.3 * torque;
          expect(solveTensions(arm, wring(torque), stanceAlongX(), state, work).status).toBe("stable");
          return work.negative > 0;
        },
        2,
        5,
      );
    };
    reach("semitangential", extrapolate(at) / Math.PI - 1);
  });

  test("a thrust that stays with the tip's axis never bends it over statically (Beck 1952, from memory: it swings up at 20.05)", () => {
    const arm = column(60, "free");
    for (const thrust of [1, 2.5, 5, 10, 15, 20]) {
      const state = createRodState(arm);
      const on: Load = { ...noLoad, following: [0, 0, 0, 0, 0, -thrust] };
      expect(solveTensions(arm, on, stanceAlongX(), state, createRodWork(arm)).status).toBe("stable");
    }
  });
});
