/** Limits of an arm against beams and columns with closed forms. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { backboneEnergy, bendFactor, bendLife, holdAt, storedEnergy, wireStrain, workingLoad } from "../../src/capacity/index.ts";
import { cableStiffness } from "../../src/rod/index.ts";
import { looseRod, outerFibre } from "../capacity/rods.ts";
import { earth, lockOf, mapOf, plainRequest, retentionOf, swingOf } from "../capacity/run.ts";
import { plainRod } from "../rod/arms.ts";
import { reach } from "./reach.ts";

const length = 0.3;
const ei = 3e-3;

describe("rod strain M c / EI (beam theory), horizontal cantilever", () => {
  test("small load: the payload is strain EI / (c L)", () => {
    const spans = 100;
    const allowedStrain = 1e-4;
    const [point] = mapOf(looseRod({ length, spans, ei, allowedStrain }), { tolerance: 1e-5 });
    // a span's strain is even: that of its middle
    const lever = length - length / spans / 2;
    expect(point?.end).toBe("strain");
    expect(point?.at).toBe(0);
    // P L^2 / EI = 0.06 brings the load 2.4e-4 of L nearer
    expect(Math.abs((point?.load as number) / ((allowedStrain * ei) / (outerFibre * lever)) - 1)).toBeLessThan(4e-4);
  });

  test.each([
    [1, 0.9435667637],
    [5, 0.6123716393],
    [10, 0.4450044022],
  ])(
    "large load P L^2/EI = %d: the moment at the root is P times the elastica's tip x (Bisshopp & Drucker 1945, recomputed)",
    (a, tipX) => {
      const spans = 100;
      const lever = (tipX - 1 / spans / 2) * length;
      const load = (a * ei) / length ** 2;
      const allowedStrain = (load * lever * outerFibre) / ei;
      const [point] = mapOf(looseRod({ length, spans, ei, allowedStrain }), { tolerance: 1e-5 });
      expect(point?.end).toBe("strain");
      // second order in the span: 1e-4 of the length at 100 spans
      reach("payloadStrain", (point?.load as number) / load - 1);
      expect((point?.bound as number) - (point?.load as number)).toBeLessThanOrEqual(1e-5 * (point?.bound as number));
    },
  );
});

test("a column pushed along its axis is unstable at pi^2 EI / 4 L^2 (Timoshenko & Gere); second order in the span", () => {
  const euler = (Math.PI ** 2 * ei) / (4 * length ** 2);
  const error = [20, 40].map((spans) => {
    const [point] = mapOf(looseRod({ length, spans, ei }), { directions: [[-1, 0, 0]], tolerance: 1e-7 });
    expect(point?.end).toBe("unstable");
    return (point?.load as number) / euler - 1;
  });
  reach("payloadColumn", error[1] as number);
  expect((error[0] as number) / (error[1] as number)).toBeGreaterThan(3.6);
  expect((error[0] as number) / (error[1] as number)).toBeLessThan(4.4);
});

test("sag tolerance: P = 3 EI sag / L^3 in the small range (Roark)", () => {
  const sag = 1e-3 * length;
  const [point] = mapOf(looseRod({ length, spans: 60, ei }), { limits: { sag }, tolerance: 1e-6 });
  expect(point?.end).toBe("sag");
  expect(point?.uses.moved).toBeCloseTo(sag, 8);
  // 1 / 60^2 of the span's own error, and (sag / L)^2
  reach("payloadSag", (point?.load as number) / ((3 * ei * sag) / length ** 3) - 1);
});

test("released: a horizontal arm falls to the cantilever under its own weight, w L^3/EI = 3 (Rohde 1953, recomputed)", () => {
  const massPerLength = (3 * ei) / length ** 3 / 9.80665;
  const arm = createArm(plainRod({ length, spans: 100, ei, massPerLength, pretension: 3 }), { lock: ["axial"] });
  const hold = holdAt(arm, plainRequest(arm, { gravity: earth }), length);
  const state = retentionOf(arm, hold);
  const released = state.cases.at(-1);
  expect(released?.status).toBe("stable");
  // no cable bends it back any more; the second-order error of 100 spans
  reach("released", (released?.point[0] as number) / length - 0.931511207);
  reach("released", -(released?.point[2] as number) / length - 0.339648392);
  expect(released?.drop).toBeGreaterThan(0);
  expect(Math.abs((released?.lowest as number) / length - 0.339648392)).toBeLessThan(1e-4);
});

test("a stalled drive holds its section nearly straight: the curvature is T r / (EI + k r^2 L), its own cable's pretension against its own stretch (springs, by hand)", () => {
  const [r, pretension] = [8e-3, 2];
  const cables = [[0, 1, 2, 3].map((k) => (k * Math.PI) / 2)];
  const arm = createArm({ ...plainRod({ length, spans: 240, ei, cables, pretension }), conduitLength: 0.4 }, { lock: ["axial"] });
  const hold = holdAt(arm, plainRequest(arm), length);
  // bent towards the first cable by 0.5 rad: it should come in, the third goes out and hangs loose, the others keep their lengths
  const towards = Float64Array.of(0, 0.5);
  const state = retentionOf(arm, hold, 0, towards);
  const stalled = state.cases.filter((c) => c.kind === "stalled");
  expect(stalled.map((c) => c.cable)).toEqual([0, 1, 2, 3]);
  const [first, second] = stalled;
  const k = cableStiffness(arm, 0);
  const curvature = (pretension * r) / (ei + k * r * r * length);
  expect(first?.tension[2]).toBe(0);
  // straight cables between vertebrae take T l^2/12 off EI: 2e-4 of it at 240 spans
  expect(Math.abs((first?.tension[0] as number) / ((curvature * ei) / r) - 1)).toBeLessThan(5e-4);
  const arc = Math.hypot(1 - Math.cos(curvature * length), Math.sin(curvature * length) - curvature * length) / curvature;
  expect(Math.abs((first?.moved as number) / arc - 1)).toBeLessThan(1e-3);
  expect(first?.stall?.astray).toBeGreaterThan(0.1 * length);
  // a drive that has nothing to do may stall
  expect(second?.stall?.astray).toBeLessThan(1e-3 * length);
});

test("energy of a rod bent by its tip: half of force times way (Clapeyron), P^2 L^3 / 6 EI", () => {
  const arm = looseRod({ length, spans: 100, ei });
  const force = (0.01 * ei) / length ** 2;
  const forces = [{ vertebra: 100, force: [0, 0, -force] as const, at: [0, 0, 0] as const }];
  const { lock, work } = lockOf(arm, holdAt(arm, plainRequest(arm, { forces, lockedAt: "unloaded" }), length));
  // 1/(4 n^2), and 1e-4 of the load's own turn
  expect(Math.abs(backboneEnergy(arm, lock.rod.strain, work.rod) / ((force ** 2 * length ** 3) / (6 * ei)) - 1)).toBeLessThan(1e-4);
});

describe("first natural frequency (clamped-free beam; constants recomputed)", () => {
  const massPerLength = 0.05;
  const beam = (betaL: number): number => (betaL ** 2 * Math.sqrt(ei / (massPerLength * length ** 4))) / (2 * Math.PI);

  test("no tip mass: beta L = 1.87510406871, second order in the span", () => {
    const error = [20, 40].map((spans) => {
      const arm = looseRod({ length, spans, ei, massPerLength });
      const swing = swingOf(arm, holdAt(arm, plainRequest(arm), length), 0.02);
      expect(swing.found).toBe(true);
      // round rod: both planes swing alike
      expect(Math.abs(swing.second / swing.frequency - 1)).toBeLessThan(1e-5);
      // 2 % of the start: exp(-damping rate time) = 1/50
      expect(swing.settling).toBeCloseTo(3.912023005 / (0.02 * 2 * Math.PI * swing.frequency), 8);
      return swing.frequency / beam(1.87510406871) - 1;
    });
    reach("firstSwing", error[1] as number);
    expect((error[0] as number) / (error[1] as number)).toBeGreaterThan(3.5);
    expect((error[0] as number) / (error[1] as number)).toBeLessThan(4.5);
  });

  test.each([
    [0.1, 1.722741521],
    [0.5, 1.41996443],
    [1, 1.24791741],
    [2, 1.076195664],
    [5, 0.870021459],
  ])("tip mass of %d times the arm's: beta L = %d", (ratio, betaL) => {
    const arm = looseRod({ length, spans: 40, ei, massPerLength, toolMass: ratio * massPerLength * length });
    const swing = swingOf(arm, holdAt(arm, plainRequest(arm), length));
    reach("firstSwing", swing.frequency / beam(betaL) - 1);
    expect(swing.settling).toBe(Number.POSITIVE_INFINITY);
  });
});

test("first swing by length out: a cantilever's falls with the square of its length; Rayleigh's rule M + 33/140 m holds to 0.05 % at M = m", () => {
  const massPerLength = 0.05;
  const bare = looseRod({ length, spans: 60, ei, massPerLength });
  const [whole, half] = [1, 0.5].map((share) => swingOf(bare, holdAt(bare, plainRequest(bare), share * length)).frequency) as [
    number,
    number,
  ];
  // 1/n^2 of the spans that are out, 30 of them
  expect(Math.abs(half / whole / 4 - 1)).toBeLessThan(2e-3);
  const mass = massPerLength * length;
  const laden = looseRod({ length, spans: 60, ei, massPerLength, toolMass: mass });
  const rayleigh = Math.sqrt((3 * ei) / length ** 3 / (mass * (1 + 33 / 140))) / (2 * Math.PI);
  const { frequency } = swingOf(laden, holdAt(laden, plainRequest(laden), length));
  // Rayleigh is 0.053 % high
  expect(rayleigh / frequency - 1).toBeGreaterThan(2e-4);
  expect(rayleigh / frequency - 1).toBeLessThan(1e-3);
});

test("settling: a damped oscillator followed by small steps stays within 2 % of its start from then on, not from a half swing before", () => {
  const arm = looseRod({ length, spans: 20, ei, massPerLength: 0.05 });
  const swing = swingOf(arm, holdAt(arm, plainRequest(arm), length), { nominal: 0.05, low: 0.02, high: 0.1 });
  expect(swing.settlingLeast / swing.settling).toBeCloseTo(0.5, 12);
  expect(swing.settlingMost / swing.settling).toBeCloseTo(2.5, 12);
  const rate = 2 * Math.PI * swing.frequency;
  // Verlet with the damping lagged by half a step: first order in 1/4000 of a swing
  const h = 1 / swing.frequency / 4000;
  let [x, v, last] = [1, 0, 0];
  for (let k = 0; k * h < 2 * swing.settling; k++) {
    v += h * (-rate * rate * x - 2 * 0.05 * rate * v);
    x += h * v;
    if (Math.abs(x) > 0.02) last = k * h;
  }
  expect(last).toBeLessThan(swing.settling * 1.01);
  expect(last).toBeGreaterThan(swing.settling - 0.5 / swing.frequency);
});

test.each([
  ["hangs", 1],
  ["stands", -1],
])(
  "a mass at the end of a rod without any that %s: tip stiffness of a beam under pull or thrust P = m g (Timoshenko & Gere)",
  (_, sign) => {
    const [bending, mass] = [0.03, 0.05];
    const pull = mass * 9.80665;
    const k = Math.sqrt(pull / bending);
    const stiffness = sign > 0 ? pull / (length - Math.tanh(k * length) / k) : pull / (Math.tan(k * length) / k - length);
    const error = [20, 40].map((spans) => {
      const arm = looseRod({ length, spans, ei: bending, toolMass: mass });
      const gravity = [sign * 9.80665, 0, 0] as const;
      const swing = swingOf(arm, holdAt(arm, plainRequest(arm, { gravity }), length));
      return (2 * Math.PI * swing.frequency) / Math.sqrt(stiffness / mass) - 1;
    });
    reach("pulledSwing", error[1] as number);
    expect((error[0] as number) / (error[1] as number)).toBeGreaterThan(3.5);
    expect((error[0] as number) / (error[1] as number)).toBeLessThan(4.5);
  },
);

describe("cables", () => {
  test("stretched cables store T^2 L / 2 EA (strength of materials): 0.6 mm strand of 73 GPa, 2 m, 50 N: 4.8 mm, 0.121 J", () => {
    const description = plainRod({ length: 1, spans: 10, ei });
    const arm = createArm({
      ...description,
      conduitLength: 1,
      sections: description.sections.map((s) => ({
        ...s,
        holeDiameter: 0.8e-3,
        cable: { ...s.cable, diameter: 0.6e-3, effectiveModulus: 73e9 },
      })),
    });
    const ea = (73e9 * Math.PI * 0.6e-3 ** 2) / 4;
    expect(50 / cableStiffness(arm, 0)).toBeCloseTo((50 * 2) / ea, 12);
    reach("cableEnergy", storedEnergy(arm, [50, 0, 0]) / ((50 * 50 * 2) / (2 * ea)) - 1);
    expect(storedEnergy(arm, [50, 0, 0])).toBeCloseTo(0.121, 3);
  });

  test("strength kept over a pulley of 40, 20, 10, 4 and 1 cable diameters: 95, 91, 86, 75, 50 % (a wire-rope handbook's table)", () => {
    expect([40, 20, 10, 4, 1].map(bendFactor)).toEqual([0.95, 0.91, 0.86, 0.75, 0.5]);
    expect([30, 15, 8, 6, 2].map(bendFactor)).toEqual([0.93, 0.89, 0.83, 0.79, 0.65]);
    expect(bendFactor(400)).toBe(0.95);
    expect(bendFactor(3)).toBeCloseTo(0.7, 12);
    expect(() => bendFactor(0.5)).toThrow(/capacity\.value/);
  });

  test("working load by hand: 480 lbf x 0.85 x 0.86 / 5 over a curve of ten diameters", () => {
    const cable = { breakingLoad: 2135.146, terminationFactor: 0.85, designFactor: 5, diameter: 1.59e-3 };
    expect(workingLoad(cable)).toBeCloseTo(362.975, 3);
    expect(workingLoad({ ...cable, bendDiameter: 15.9e-3 })).toBeCloseTo(312.158, 3);
  });

  test("7x7 over less than 28 diameters, 7x19 over less than 18: short-lived (the same handbook)", () => {
    expect([27, 30, 43].map((ratio) => bendLife("7x7", ratio))).toEqual(["short", "fair", "long"]);
    expect([17, 20, 25].map((ratio) => bendLife("7x19", ratio))).toEqual(["short", "fair", "long"]);
    // outer wires of d/9 at 25 diameters
    expect(wireStrain(1 / 9, 25)).toBeCloseTo(0.00444, 5);
  });
});
