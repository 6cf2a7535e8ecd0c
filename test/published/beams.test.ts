/** Small loads on slender beams: the low-load end of the rod model against handbook formulas, a thousandth of the load applied and scaled back. */
import { describe, expect, test } from "vitest";
import { createArm, rodSection } from "../../src/arm/index.ts";
import { createInspection, inspectShape, type Load, solveTensions } from "../../src/rod/index.ts";
import { bench, inextensible, noLoad, plainRod, stanceAlongX, tipForce, tipOf } from "../rod/arms.ts";
import { reach } from "./reach.ts";

/** h^2 and h^4 taken off. */
function limit(at: (spans: number) => number[], n: number): number[] {
  const [a, b, c] = [at(n), at(2 * n), at(4 * n)];
  return a.map((_, k) => {
    const one = (4 * (b[k] as number) - (a[k] as number)) / 3;
    const two = (4 * (c[k] as number) - (b[k] as number)) / 3;
    return (16 * two - one) / 15;
  });
}

// steel rod of 6 mm: E 200 GPa, G 79.3 GPa
const steelEi = (200e9 * Math.PI * 6e-3 ** 4) / 64;
const nu = 200 / (2 * 79.3) - 1;

describe("small loads: bracket and quarter circle (Roark, formulas from memory, numbers recomputed)", () => {
  test("quarter circle of 200 mm, 5 N out of plane: 3.881247678 mm", () => {
    const length = 0.1 * Math.PI;
    const drop = (spans: number): number[] => {
      const b = inextensible({ length, spans, ei: steelEi, poissonRatio: nu, rest: [1 / 0.2, 0, 0] });
      solveTensions(b.arm, tipForce(b.arm, [0, 0, 5e-3]), stanceAlongX(), b.state, b.work);
      return [tipOf(b).at[2] * 1e6];
    };
    reach("quarterCircle", (limit(drop, 30)[0] as number) - 3.881247678);
  });
  test("right-angle bracket 300 + 100 mm, 5 N out of plane: 5.154433437 mm, long leg twists 0.851796416 degrees", () => {
    // the corner is one short span pre-bent by 90 degrees: its own length vanishes as spans grow, so it is made 1e-5 of the rod
    const description = plainRod({ length: 0.4, spans: 400, ei: steelEi, poissonRatio: nu });
    const whole = description.sections[0]!;
    const cables = whole.cableAngles;
    const arm = createArm(
      {
        ...description,
        sections: [
          { ...whole, spans: 300, cableAngles: cables },
          { ...whole, cableRadius: 6e-3, spans: 1, pitch: 1e-6, flexible: 1e-6, effectiveLength: 1e-6, rest: [Math.PI / 2 / 1e-6, 0, 0] },
          { ...whole, cableRadius: 4e-3, spans: 100 },
        ],
      },
      { lock: ["axial"] },
    );
    const b = bench(arm);
    solveTensions(arm, tipForce(arm, [0, 0, 5e-3]), stanceAlongX(), b.state, b.work);
    reach("bracket", tipOf(b).at[2] * 1e6 - 5.154433437);
    let twist = 0;
    for (let i = 0; i < 300; i++) twist += (b.state.strain[4 * i + 2] as number) * (arm.flexible[i] as number);
    reach("bracketTwist", Math.abs((twist * 180e3) / Math.PI) - 0.851796416);
  });
});

describe("a steel rod of 6 mm, 0.5 m, level (Roark, from memory, numbers recomputed)", () => {
  const rod = { length: 0.5, ei: steelEi, poissonRatio: nu };
  const weight = 7850 * Math.PI * 9e-6;
  /** drop in mm and slope in degrees under a thousandth of the load, scaled back */
  const droop = (load: (spans: number) => Load, massPerLength: number): number[] =>
    limit((spans) => {
      const b = inextensible({ ...rod, spans, massPerLength });
      solveTensions(b.arm, load(spans), stanceAlongX(), b.state, b.work);
      const { at, tangent } = tipOf(b);
      return [-at[2] * 1e6, (Math.atan2(-tangent[2], tangent[0]) * 180e3) / Math.PI];
    }, 20);

  test("5 N at its tip: 16.373965 mm, 2.8144773 degrees", () => {
    const [drop, slope] = droop((spans) => ({ ...noLoad, forces: [{ vertebra: spans, force: [0, 0, -5e-3], at: [0, 0, 0] }] }), 0);
    reach("steelDrop", (drop as number) - 16.373965);
    reach("steelSlope", (slope as number) - 2.8144773);
  });

  test("its own weight of 2.1766205 N/m: 1.3364966 mm, 0.2042016 degrees", () => {
    expect(weight * 9.80665).toBeCloseTo(2.1766205, 7);
    const [drop, slope] = droop(() => ({ ...noLoad, gravity: [0, 0, -9.80665e-3] }), weight);
    reach("steelDrop", (drop as number) - 1.3364966);
    reach("steelSlope", (slope as number) - 0.2042016);
  });

  /** The same rod with its true diameter, for stresses. */
  const thick = (spans: number) => {
    const plain = plainRod({ ...rod, spans });
    const material = { ...plain.sections[0]!.rods[0]!.material, youngModulus: 200e9 };
    const sections = plain.sections.map((s) => ({ ...s, rods: [{ ...s.rods[0]!, diameter: 6e-3, material }] }));
    return bench(createArm({ ...plain, sections }, { lock: ["axial"] }));
  };

  test("5 N at its tip: 117.8926 MPa at the root", () => {
    // a span's strain is even, that of its middle: root and first middle tell the slope of it
    const b = thick(50);
    solveTensions(b.arm, tipForce(b.arm, [0, 0, -5e-3]), stanceAlongX(), b.state, b.work);
    const seen = createInspection(b.arm);
    inspectShape(b.arm, b.state, b.work, seen);
    const root = (3 * (seen.stress[0] as number) - (seen.stress[1] as number)) / 2;
    reach("rootStress", root * 1e-3 - 117.8926);
  });

  test("5 N hung 30 mm off its axis: twisted by 0.42589821 degrees, which adds to the sag", () => {
    const b = thick(50);
    // the arm's own y is across, level
    const load: Load = { ...noLoad, forces: [{ vertebra: 50, force: [0, 0, -5e-3], at: [0, 30e-3, 0] }] };
    solveTensions(b.arm, load, stanceAlongX(), b.state, b.work);
    const seen = createInspection(b.arm);
    inspectShape(b.arm, b.state, b.work, seen);
    reach("payloadTwist", Math.abs((seen.twist[50] as number) * 180e3) / Math.PI - 0.42589821);
    // the hung point falls by the rod's drop and by 30 mm times the twist: 16.373965 + 0.22300 mm
    const frame = b.work.frame.subarray(12 * 50);
    const hung = (frame[11] as number) + 30e-3 * (frame[7] as number);
    reach("payloadDrop", -hung * 1e6 - (16.373965 + (30 * 0.42589821 * Math.PI) / 180));
  });
});

test("second moments of round rods, pi d^4/64 (mm^4)", () => {
  const rows = [
    [0.8, 0.020106193],
    [1, 0.049087385],
    [2, 0.78539816],
    [3, 3.9760782],
    [6, 63.617251],
    [9, 322.06233],
  ] as const;
  for (const [d, inertia] of rows) {
    const material = { name: "test", youngModulus: 1e12, poissonRatio: 0, density: 1, allowedStrain: 1, fatigueStrain: 1 };
    const { ei, gj } = rodSection({ x: 0, y: 0, diameter: d * 1e-3, material, attachment: "clamped" });
    reach("secondMoment", ei / inertia - 1);
    // J = 2 I, G = E/2
    expect(gj / ei).toBeCloseTo(1, 14);
  }
});

test("the greatest strain of a bent rod is d/2R: 4.5 mm on 100 mm 2.25 %, 9 on 300 1.5 %, 11 on 350 1.571 % (geometry)", () => {
  for (const [d, radius, strain] of [
    [4.5e-3, 0.1, 0.0225],
    [9e-3, 0.3, 0.015],
    [11e-3, 0.35, 0.0157142857],
  ] as const) {
    const ei = 1;
    const length = 0.2;
    const plain = plainRod({ length, spans: 40, ei });
    const sections = plain.sections.map((s) => ({ ...s, rods: [{ ...s.rods[0]!, diameter: d }] }));
    const b = bench(createArm({ ...plain, sections }, { lock: ["axial"] }));
    const stiff = b.arm.stiffness[0] as number;
    solveTensions(b.arm, { ...noLoad, following: [0, stiff / radius, 0, 0, 0, 0] }, stanceAlongX(), b.state, b.work);
    const seen = createInspection(b.arm);
    inspectShape(b.arm, b.state, b.work, seen);
    reach("bendStrain", (seen.strain[20] as number) / strain - 1);
  }
});
