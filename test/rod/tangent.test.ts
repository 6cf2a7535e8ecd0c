import { describe, expect, test } from "vitest";
import { type ArmModel, createArm } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import { createRodWork, type Load, type RodWork, setStance } from "../../src/rod/index.ts";
import { clearColumn, evaluate, solveTangent } from "../../src/rod/tangent.ts";
import { stanceAlongX } from "./arms.ts";
import { twinArm } from "./twin.ts";

const seed = 7;
const random = createRandom(seed);
const twin = { ...twinArm({ sections: 3, spans: 4 }) };
// make everything differ: one rod slides, one section has rods of its own, strains at rest
const arm = createArm({
  ...twin,
  sections: twin.sections.map((s, j) => ({
    ...s,
    rest: [1, -2, 0.5] as const,
    effectiveLength: 3e-3,
    // stops are looked at by themselves
    jointLimit: 1,
    hoses: [{ name: "hose", bendingStiffness: 1e-3, torsionStiffness: 2e-3, massPerLength: 0.02 }],
    rods:
      j === 1
        ? [...s.rods, { x: 3.2e-3, y: 3.2e-3, diameter: 0.6e-3, material: s.rods[0]!.material, attachment: "sliding" as const }]
        : s.rods,
  })),
});
const n4 = 4 * arm.spans;
// angles up to 0.25 rad a joint, twist up to 0.05 rad, axial strain up to 0.5 %
const size = [100, 100, 20, 5e-3];
const strain = Float64Array.from({ length: n4 }, (_, k) => (2 * random() - 1) * (size[k % 4] as number));
const tension = Float64Array.from({ length: arm.cables }, () => 40 * random());
const stance = stanceAlongX(3e-3, 0.3);
const dead: Load = {
  gravity: [1, -2, -9],
  forces: [
    { vertebra: 12, force: [3, -1, 2], at: [0.01, 0.02, -0.03] },
    { vertebra: 6, force: [0, 2, 1], at: [0, 0, 0.01] },
  ],
};

// the surface cuts the arm half-way up, so that some vertebrae and the tool are deep, some dry, some between
const up = dead.gravity.map((g) => -g / Math.sqrt(86)) as unknown as readonly [number, number, number];
const middle = ((): readonly [number, number, number] => {
  const work = createRodWork(arm);
  setStance(arm, stance, work);
  evaluate(arm, dead, strain, tension, false, work);
  const { frame } = work;
  const height = (i: number): number => up.reduce((sum, u, k) => sum + u * (frame[12 * i + 9 + k] as number), 0);
  const heights = Array.from({ length: arm.spans }, (_, i) => height(i + 1)).sort((a, b) => a - b);
  return up.map((u) => u * (heights[arm.spans >> 1] as number)) as unknown as readonly [number, number, number];
})();
// heavy enough to count beside the other loads
const wet: Load = { ...dead, fluid: { density: 2e5, surface: { at: middle, up } } };

function gradientAt(load: Load, at: Float64Array, work: RodWork): { energy: number; gradient: Float64Array } {
  setStance(arm, stance, work);
  evaluate(arm, load, at, tension, false, work);
  return { energy: work.energy, gradient: work.gradient.slice() };
}

/** Central difference with the h^2 error taken off. */
function difference(at: (h: number) => number, h: number): number {
  const d = (s: number): number => (at(s) - at(-s)) / (2 * s);
  return (4 * d(h / 2) - d(h)) / 3;
}

function moved(k: number, h: number): Float64Array {
  const copy = strain.slice();
  copy[k] = (copy[k] as number) + h;
  return copy;
}

describe(`gradient and tangent against differences (seed ${seed})`, () => {
  test.each([
    ["dead loads", dead],
    ["half in a fluid", wet],
  ])("gradient of the energy, every strain, %s, to 1e-8", (_, load) => {
    const work = createRodWork(arm);
    const { gradient } = gradientAt(load, strain, work);
    for (let k = 0; k < n4; k++) {
      const h = (size[k % 4] as number) * 1e-2;
      const slope = difference((s) => gradientAt(load, moved(k, s), work).energy, h);
      // scaled by the strain's own reach, so that all four kinds count alike
      const scale = Math.max(...Array.from(gradient, (g, i) => Math.abs(g) * (size[i % 4] as number)));
      expect(Math.abs(slope - (gradient[k] as number)) * (size[k % 4] as number)).toBeLessThan(1e-8 * scale);
    }
  });

  test.each<[string, Load]>([
    ["dead loads", dead],
    ["half in a fluid", wet],
    ["following wrench and fixed moment", { ...dead, following: [0.1, -0.2, 0.05, 1, -2, 3], moment: [-0.1, 0.05, 0.2] }],
  ])("tangent: the gradient moves as the solution says, %s, to 1e-7", (_, load) => {
    const work = createRodWork(arm);
    const { gradient } = gradientAt(load, strain, work);
    const right = Float64Array.from(gradient, (_, k) => (2 * random() - 1) / (size[k % 4] as number));
    clearColumn(arm, 0, work);
    work.column.set(right, 0);
    solveTangent(arm, 1, work);
    const x = work.column.slice(0, n4);
    const reach = Math.max(...Array.from(x, (v, k) => Math.abs(v) / (size[k % 4] as number)));
    const h = 1e-3 / reach;
    for (let k = 0; k < n4; k++) {
      const slope = difference(
        (s) =>
          gradientAt(
            load,
            Float64Array.from(strain, (v, i) => v + s * (x[i] as number)),
            work,
          ).gradient[k] as number,
        h,
      );
      expect(Math.abs(slope - (right[k] as number)) * (size[k % 4] as number)).toBeLessThan(1e-7);
    }
  });

  test("motion of every vertebra that goes with a step, to 1e-7", () => {
    const work = createRodWork(arm);
    gradientAt(dead, strain, work);
    clearColumn(arm, 0, work);
    for (let k = 0; k < n4; k++) work.column[k] = (2 * random() - 1) / (size[k % 4] as number);
    solveTangent(arm, 1, work);
    const x = work.column.slice(0, n4);
    const motion = work.motion.slice(0, 6 * (arm.spans + 1));
    const frame = work.frame.slice();
    const h = 1e-3 / Math.max(...Array.from(x, (v, k) => Math.abs(v) / (size[k % 4] as number)));
    const placed = (s: number): Float64Array => {
      gradientAt(
        dead,
        Float64Array.from(strain, (v, i) => v + s * (x[i] as number)),
        work,
      );
      return work.frame.slice();
    };
    for (const i of [1, 5, arm.spans]) {
      for (let r = 0; r < 3; r++) {
        let world = 0;
        for (let k = 0; k < 3; k++) world += (frame[12 * i + 3 * r + k] as number) * (motion[6 * i + 3 + k] as number);
        const slope = difference((s) => placed(s)[12 * i + 9 + r] as number, h);
        expect(Math.abs(slope - world)).toBeLessThan(1e-7 * Math.max(1, Math.abs(world)));
      }
    }
  });
});

test("second differences of the energy are symmetric: no load here lacks a potential", () => {
  const work = createRodWork(arm);
  const columns: Float64Array[] = [];
  for (let k = 0; k < n4; k++) {
    const h = (size[k % 4] as number) * 1e-3;
    const plus = gradientAt(dead, moved(k, h), work).gradient;
    const minus = gradientAt(dead, moved(k, -h), work).gradient;
    columns.push(
      Float64Array.from(plus, (v, i) => ((v - (minus[i] as number)) / (2 * h)) * (size[k % 4] as number) * (size[i % 4] as number)),
    );
  }
  // symmetric where the loads have a potential
  let largest = 0;
  for (const c of columns) for (const v of c) largest = Math.max(largest, Math.abs(v));
  for (let a = 0; a < n4; a++)
    for (let b = 0; b < a; b++) expect(Math.abs((columns[a]![b] as number) - (columns[b]![a] as number))).toBeLessThan(1e-6 * largest);
});

test("a model has only plain data: it can be posted to a worker", () => {
  const copy: ArmModel = structuredClone(arm);
  expect(copy).toEqual(arm);
});
