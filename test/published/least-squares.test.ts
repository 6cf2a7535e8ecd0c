/** The fit's least squares on data with certified answers: NIST StRD, nonlinear regression (docs/sources.md#nist-strd). */
import { describe, expect, test } from "vitest";
import { findSpreads } from "../../src/fit/covariance.ts";
import { createLeastSquares, type LeastSquares, tellResiduals } from "../../src/fit/least-squares.ts";

interface Certified {
  name: string;
  /** [point] y, x */
  points: readonly (readonly [number, number])[];
  model: (x: number, b: Float64Array) => number;
  starts: readonly (readonly number[])[];
  value: readonly number[];
  deviation: readonly number[];
  residual: number;
}

const sets: Certified[] = [
  {
    name: "Misra1a (lower difficulty)",
    points: [
      [10.07, 77.6], [14.73, 114.9], [17.94, 141.1], [23.93, 190.8], [29.61, 239.9], [35.18, 289.0], [40.02, 332.8],
      [44.82, 378.4], [50.76, 434.8], [55.05, 477.3], [61.01, 536.8], [66.4, 593.1], [75.47, 689.1], [81.78, 760.0],
    ], // biome-ignore format: as published
    model: (x, b) => (b[0] as number) * (1 - Math.exp(-(b[1] as number) * x)),
    starts: [
      [500, 0.0001],
      [250, 0.0005],
    ],
    value: [2.3894212918e2, 5.5015643181e-4],
    deviation: [2.7070075241, 7.2668688436e-6],
    residual: 1.018787633e-1,
  },
  {
    name: "MGH10 (higher difficulty)",
    points: [
      [34780, 50], [28610, 55], [23650, 60], [19630, 65], [16370, 70], [13720, 75], [11540, 80], [9744, 85],
      [8261, 90], [7030, 95], [6005, 100], [5147, 105], [4427, 110], [3820, 115], [3307, 120], [2872, 125],
    ], // biome-ignore format: as published
    model: (x, b) => (b[0] as number) * Math.exp((b[1] as number) / (x + (b[2] as number))),
    starts: [[0.02, 4000, 250]],
    value: [5.609636471e-3, 6.1813463463e3, 3.4522363462e2],
    deviation: [1.5687892471e-4, 2.3309021107e1, 7.8486103508e-1],
    residual: 2.6009740065,
  },
];

const cases = sets.flatMap((set) => set.starts.map((start, k) => [`${set.name}, start ${k + 1}`, set, start] as const));

describe("certified nonlinear regressions", () => {
  test.each(cases)("%s: six digits of every value and deviation", (_, set, start) => {
    const n = start.length;
    const m = set.points.length;
    const model: LeastSquares = {
      parameters: n,
      readings: m,
      start: Float64Array.from(start),
      low: new Float64Array(n).fill(Number.NEGATIVE_INFINITY),
      high: new Float64Array(n).fill(Number.POSITIVE_INFINITY),
      // the steps of central differences: small beside each certified value
      difference: Float64Array.from(set.value, (v) => 1e-5 * v),
      group: new Int32Array(m),
      groups: 1,
      stated: new Float64Array(m).fill(Number.NaN),
      least: new Float64Array(1),
      huber: Number.POSITIVE_INFINITY,
    };
    const state = createLeastSquares(model);
    for (let told = 0; state.stage !== "done"; told++) {
      expect(told).toBeLessThan(3000);
      tellResiduals(
        model,
        state,
        Float64Array.from(set.points, ([y, x]) => set.model(x, state.asked) - y),
      );
    }
    expect(state.status).toBe("converged");
    const { spread } = findSpreads(model, state);
    for (let k = 0; k < n; k++) {
      expect((state.parameter[k] as number) / (set.value[k] as number)).toBeCloseTo(1, 6);
      // slopes by differences: their square's error is about 1e-10, times a condition number of 1e5 in MGH10
      expect((spread[k] as number) / (set.deviation[k] as number)).toBeCloseTo(1, 4);
    }
    expect((state.scale[0] as number) / set.residual).toBeCloseTo(1, 7);
  });
});
