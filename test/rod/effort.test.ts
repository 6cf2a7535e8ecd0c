/** Tensions for an effort: the least sum of squares with every cable at its pretension or above, against a general quadratic program. */
import quadprog from "quadprog";
import { describe, expect, test } from "vitest";
import { createArm, type Section } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import { spreadEffort } from "../../src/rod/effort.ts";
import { createRodWork } from "../../src/rod/index.ts";
import { twinArm } from "./twin.ts";

function armWith(angles: readonly number[], pretension: number) {
  const whole = twinArm({ sections: 1, spans: 4 });
  return createArm({ ...whole, sections: [{ ...(whole.sections[0] as Section), cableAngles: angles, pretension }] });
}

/** Goldfarb and Idnani's dual method (package quadprog, 1-based): min 1/2 T'T, moments equal, T >= pretension. */
function reference(x: readonly number[], y: readonly number[], effort: readonly [number, number], pretension: number): number[] {
  const m = x.length;
  // about the pretension: 1/2 |t|^2 + p sum t, t >= 0, so that the numbers are of one size
  const one = (row: readonly number[]): number[] => [0, ...row];
  const d = [[], ...Array.from({ length: m }, (_, r) => one(Array.from({ length: m }, (_, c) => (r === c ? 1 : 0))))];
  const a = [
    [],
    ...Array.from({ length: m }, (_, r) =>
      one([-1e3 * (y[r] as number), 1e3 * (x[r] as number), ...Array.from({ length: m }, (_, c) => (r === c ? 1 : 0))]),
    ),
  ];
  const solution = quadprog.solveQP(d, one(Array(m).fill(-pretension)), a, one([1e3 * effort[0], 1e3 * effort[1], ...Array(m).fill(0)]), 2);
  expect(solution.message).toBe("");
  return solution.solution.slice(1).map((t) => t + pretension);
}

const regular = (m: number): number[] => Array.from({ length: m }, (_, k) => (2 * Math.PI * k) / m);

describe.each<[string, readonly number[]]>([
  ["3 cables", regular(3)],
  ["4 cables", regular(4)],
  ["5 cables", regular(5)],
  ["6 cables", regular(6)],
  ["3 cables, unevenly spaced", [0.1, 1.9, 4.4]],
  ["5 cables, unevenly spaced", [0.1, 0.6, 2.3, 3.1, 4.9]],
])("%s (seed 21)", (_, angles) => {
  test.each([0, 8])("pretension %d N: against quadprog, in 200 directions", (pretension) => {
    const arm = armWith(angles, pretension);
    const work = createRodWork(arm);
    const random = createRandom(21);
    const [x, y] = [Array.from(arm.cableX), Array.from(arm.cableY)];
    const tension = new Float64Array(arm.cables);
    // what the pretensions make by themselves when the cables are not evenly spaced counts as no effort
    for (let k = 0; k < 200; k++) {
      const way = 2 * Math.PI * random();
      const size = 0.4 * random();
      const effort = Float64Array.of(size * Math.cos(way), size * Math.sin(way));
      spreadEffort(arm, effort, tension, work);
      const expected = reference(x, y, [effort[0] as number, effort[1] as number], pretension);
      // both are exact methods: rounding on some hundred newtons
      expected.forEach((t, c) => expect(Math.abs((tension[c] as number) - t)).toBeLessThan(1e-8 * (1 + Math.max(...expected))));
    }
  });

  test("the slackest cable is at its pretension, and the tensions move as their rates say", () => {
    const arm = armWith(angles, 8);
    const work = createRodWork(arm);
    const random = createRandom(22);
    const tension = new Float64Array(arm.cables);
    const moved = new Float64Array(arm.cables);
    for (let k = 0; k < 50; k++) {
      const way = 2 * Math.PI * random();
      const effort = Float64Array.of(0.3 * Math.cos(way), 0.3 * Math.sin(way));
      spreadEffort(arm, effort, tension, work);
      expect(Math.abs(Math.min(...tension) - 8)).toBeLessThan(1e-9);
      const rate = work.tensionRate.slice();
      for (const mode of [0, 1]) {
        // linear between the directions where a cable joins: one step, small enough to seldom cross one
        const h = 1e-9;
        const next = effort.slice();
        next[mode] = (next[mode] as number) + h;
        spreadEffort(arm, next, moved, work);
        for (let c = 0; c < arm.cables; c++) {
          expect(Math.abs((moved[c] as number) - (tension[c] as number) - h * (rate[2 * c + mode] as number))).toBeLessThan(1e-11 * 300);
        }
      }
    }
  });
});

test("four cables: one of each opposed pair stays at the pretension", () => {
  const arm = armWith(regular(4), 5);
  const work = createRodWork(arm);
  const tension = new Float64Array(4);
  spreadEffort(arm, Float64Array.of(0.1, -0.2), tension, work);
  // about +x the cable at -y pulls, about -y the one at -x
  const r = 6.3e-3;
  expect(Array.from(tension, (t) => Math.round(t * 1e9) / 1e9)).toEqual(
    [5, 5, 5 + 0.2 / r, 5 + 0.1 / r].map((t) => Math.round(t * 1e9) / 1e9),
  );
});
