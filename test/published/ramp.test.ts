/** A force growing on the tip, row by row, against elasticas. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { holdAt, type Ramp, type RampRequest } from "../../src/capacity/index.ts";
import { looseRod } from "../capacity/rods.ts";
import { plainRequest, rampOf } from "../capacity/run.ts";

const [length, spans, ei] = [0.3, 100, 3e-3];
const unit = ei / length ** 2;
const rod = looseRod({ length, spans, ei });
const request: RampRequest = {
  direction: [1, 0, 0],
  follows: false,
  offset: [0, 0, 0],
  limits: {},
  tolerance: 1e-3,
  most: 10 * unit,
  rows: 10,
};

function ramp(more: Partial<RampRequest>): Ramp {
  return rampOf(rod, holdAt(rod, plainRequest(rod), length), { ...request, ...more });
}

test("a dead side force, P L^2/EI = 1 to 10: slope, drop and way of the elastica (Bisshopp & Drucker 1945, recomputed)", () => {
  const { end, rows } = ramp({});
  expect([end.end, rows.length]).toEqual(["most", 11]);
  const truth = [
    [1, 26.43351959, 0.3017207738, 0.05643323628],
    [2, 44.79096598, 0.4934574804, 0.1606417208],
    [5, 69.63546369, 0.7137915236, 0.3876283607],
    [10, 81.94932487, 0.8106090249, 0.5549955978],
  ] as const;
  for (const [a, slope, drop, back] of truth) {
    const row = rows[a];
    expect(row?.load).toBeCloseTo(a * unit, 12);
    // second order of 100 spans: 1e-4 of the length
    expect(Math.abs(((row?.turned as number) * 180) / Math.PI - slope)).toBeLessThan(0.01);
    expect(Math.abs((row?.along as number) / length - drop)).toBeLessThan(1e-4);
    expect(Math.abs((row?.moved as number) / length - Math.hypot(drop, back))).toBeLessThan(1e-4);
  }
  expect(rows[0]?.load).toBe(0);
  expect(rows[0]?.moved).toBeLessThan(1e-12);
});

describe("a side force that turns with the tip: seen from the tip a problem with all at one end, phi'' = P/EI cos phi", () => {
  /** Runge-Kutta of fourth order over the rod; [slope, way of the tip over L] */
  function shot(a: number): [number, number] {
    let y = [0, 0, 0, 0];
    const rate = (v: readonly number[]): number[] => [
      v[1] as number,
      a * Math.cos(v[0] as number),
      Math.cos(v[0] as number),
      Math.sin(v[0] as number),
    ];
    const n = 2000;
    const ahead = (v: readonly number[], k: readonly number[], h: number): number[] => v.map((x, i) => x + h * (k[i] as number));
    for (let i = 0; i < n; i++) {
      const k1 = rate(y);
      const k2 = rate(ahead(y, k1, 0.5 / n));
      const k3 = rate(ahead(y, k2, 0.5 / n));
      const k4 = rate(ahead(y, k3, 1 / n));
      y = y.map((x, j) => x + ((k1[j] as number) + 2 * (k2[j] as number) + 2 * (k3[j] as number) + (k4[j] as number)) / 6 / n);
    }
    const [slope, , x, z] = y as [number, number, number, number];
    // from the tip's axes to the base's: the chord, looked at from the clamped end
    const [c, s] = [Math.cos(slope), Math.sin(slope)];
    return [slope, Math.hypot(c * x + s * z - 1, s * x - c * z)];
  }

  const { end, rows } = ramp({ follows: true, most: 12 * unit, rows: 6 });

  test.each([1, 2, 3, 4, 5, 6])("row %d of 6, P L^2/EI up to 12", (k) => {
    const [slope, way] = shot(2 * k);
    expect(end.end).toBe("most");
    expect(Math.abs((rows[k]?.turned as number) - Math.acos(Math.cos(slope)))).toBeLessThan(3e-4);
    expect(Math.abs((rows[k]?.moved as number) / length - way)).toBeLessThan(2e-4);
  });

  test("small ones are alike whether they follow or not; large ones are not", () => {
    const ratio = (most: number): number => {
      const [dead, turning] = [false, true].map((follows) => ramp({ follows, most: most * unit, rows: 1 }).rows[1]?.moved as number);
      return (turning as number) / (dead as number);
    };
    // they part by the square of the turn
    expect(Math.abs(ratio(0.1) - 1)).toBeLessThan(1e-3);
    expect(ratio(10)).toBeGreaterThan(1.2);
  });
});

test("5 N hung 30 mm off the axis of a level steel rod, d = 6 mm, L = 0.5 m: T L / GJ = 0.42589821 degrees (Roark), as the load goes to nothing", () => {
  const { description } = looseRod({ length: 0.5, spans: 20, ei: 1 });
  const material = {
    name: "steel",
    youngModulus: 200e9,
    poissonRatio: 200 / (2 * 79.3) - 1,
    density: 1e-9,
    allowedStrain: 1,
    fatigueStrain: 1,
  };
  const sections = description.sections.map((s) => ({ ...s, rods: s.rods.map((r) => ({ ...r, diameter: 6e-3, material })) }));
  const arm = createArm({ ...description, sections });
  const hold = holdAt(arm, plainRequest(arm), 0.5);
  const { rows } = rampOf(arm, hold, { ...request, offset: [0, 30e-3, 0], most: 5e-3, rows: 1 });
  // a thousandth of the load, scaled: what is left is of second order in a turn of 1e-5
  expect(Math.abs((Math.abs(rows[1]?.twist as number) * 1000 * 180) / Math.PI / 0.42589821 - 1)).toBeLessThan(1e-4);
});

test("a couple that grows with the force, about the axis and across: T L / GJ and M L / EI (Roark), whether it turns with the tip or not", () => {
  const arm = createArm(looseRod({ length, spans: 40, ei }).description, { lock: ["axial"] });
  const hold = holdAt(arm, plainRequest(arm), length);
  const gj = ei / 1.3;
  // the force itself is along the axis and bends nothing
  for (const follows of [false, true]) {
    const small = { ...request, direction: [0, 0, 1] as const, follows, most: 1e-6 * unit, rows: 1 };
    const about = rampOf(arm, hold, { ...small, couple: [0, 0, 1] }).rows[1];
    expect(Math.abs((about?.twist as number) / ((1e-6 * unit * length) / gj) - 1)).toBeLessThan(1e-6);
    const across = rampOf(arm, hold, { ...small, couple: [0, 1, 0] }).rows[1];
    expect(Math.abs((across?.turned as number) / ((1e-6 * unit * length) / ei) - 1)).toBeLessThan(1e-5);
  }
});

describe("pressed along its axis", () => {
  test("a force that keeps its direction: unstable at pi^2 EI / 4 L^2 (Timoshenko & Gere)", () => {
    const { end, rows } = ramp({ direction: [0, 0, -1], most: 100 * unit });
    expect(end.end).toBe("unstable");
    expect(Math.abs(end.bound / ((Math.PI ** 2 / 4) * unit) - 1)).toBeLessThan(2e-3);
    // straight until then
    expect(rows.every((row) => row.moved < 1e-9 * length)).toBe(true);
  });

  test("one that turns with the tip never tips it over (Beck 1952: it only begins to swing, at 20.05 EI / L^2, which is not looked for)", () => {
    const { end } = ramp({ direction: [0, 0, -1], follows: true, most: 19 * unit });
    expect(end.end).toBe("most");
  });
});
