import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import { shareTensions, takeGrip } from "../../src/rod/friction.ts";
import { changeShares, rateShares } from "../../src/rod/friction-rates.ts";
import { createRodState, createRodWork, type Load, type RodWork, setStance, solveHeld } from "../../src/rod/index.ts";
import { placeArm } from "../../src/rod/place.ts";
import { pullColumn } from "../../src/rod/solve-near.ts";
import { clearColumn } from "../../src/rod/tangent.ts";
import { stanceAlongX } from "./arms.ts";
import { twinArm } from "./twin.ts";

const mu = { nominal: 0.15, low: 0.1, high: 0.2 };
const rubbing = (sections: number, spans: number, cables = 3) =>
  createArm({ ...twinArm({ sections, spans, cables }), friction: { holes: mu, conduit: mu, conduitTurn: 1.2 } });

describe.each([
  { name: "all out", sections: 3, spans: 4, cables: 3, exit: 0, size: 9 },
  { name: "part emerged, an odd number of cables", sections: 3, spans: 4, cables: 5, exit: 0.0548, size: 9 },
  { name: "steep turns", sections: 1, spans: 5, cables: 4, exit: 0, size: 300 },
])("$name (seed 61)", ({ sections, spans, cables, exit, size }) => {
  const arm = rubbing(sections, spans, cables);
  const random = createRandom(61);
  const strain = Float64Array.from({ length: 4 * arm.spans }, (_, k) => (k % 4 === 3 ? 0.01 : size) * (2 * random() - 1));
  const way = Float64Array.from({ length: 4 * arm.spans }, (_, k) => (k % 4 === 3 ? 0.01 : size) * (2 * random() - 1));
  const state = createRodState(arm);
  for (let k = 0; k < state.grip.length; k++) state.grip[k] = 2 * random() - 1;
  const placed = (share: number, work: RodWork): RodWork => {
    setStance(arm, { ...stanceAlongX(), exit }, work);
    takeGrip(arm, state, work);
    placeArm(
      arm,
      strain.map((v, k) => v + share * (way[k] as number)),
      work,
    );
    shareTensions(arm, work);
    return work;
  };
  const changed = (work: RodWork): RodWork => {
    placed(0, work);
    rateShares(arm, work);
    clearColumn(arm, 0, work);
    for (let k = 4 * work.firstFree; k < way.length; k++) work.column[k] = way[k] as number;
    changeShares(arm, 0, work);
    return work;
  };

  test("changes of the shares against differences", () => {
    const work = createRodWork(arm);
    const h = 1e-4;
    const [plus, minus] = [h, -h].map((share) => placed(share, work).share.slice()) as [Float64Array, Float64Array];
    changed(work);
    let largest = 0;
    for (let i = work.firstFree; i < arm.spans; i++) {
      for (let c = arm.firstCable[arm.sectionOfSpan[i] as number] as number; c < arm.cables; c++) {
        const at = i * arm.cables + c;
        const difference = Math.log((plus[at] as number) / (minus[at] as number)) / (2 * h);
        largest = Math.max(largest, Math.abs(difference));
        // second order: the third derivative of an angle grows where the angle is small
        expect(Math.abs((work.shareChange[at] as number) - difference)).toBeLessThan(1e-7);
      }
    }
    expect(largest).toBeGreaterThan(0.01);
    // where the share is least
    for (let c = 0; c < arm.cables; c++) {
      const end = arm.firstSpan[(arm.sectionOfCable[c] as number) + 1] as number;
      const rows = Array.from({ length: Math.max(0, end - work.firstFree) }, (_, k) => (work.firstFree + k) * arm.cables + c);
      const least = rows.reduce((a, b) => ((work.share[b] as number) < (work.share[a] as number) ? b : a), rows[0] ?? 0);
      const there = rows.length > 0 && (work.share[least] as number) < 1 ? (work.shareChange[least] as number) : 0;
      expect(work.floorChange[c]).toBe(there);
    }
  });

  test("the kernel says the same", () => {
    const works = [changed(createRodWork(arm)), changed(createRodWork(arm, { plain: true }))] as const;
    const tension = Float64Array.from({ length: arm.cables }, (_, c) => 10 + c);
    for (const work of works) {
      work.tensionChange.set(tension.map((t) => Math.sin(t)));
      clearColumn(arm, 1, work);
      pullColumn(arm, 0, tension, work);
      pullColumn(arm, 1, undefined, work);
    }
    const [a, b] = works;
    expect(a.kernel !== undefined && b.kernel === undefined).toBe(true);
    const names = ["share", "weighted", "floor", "give", "shareRate", "shareChange", "floorChange", "column"] as const;
    for (const name of names) {
      const most = a[name].reduce((sum, v) => Math.max(sum, Math.abs(v)), 1e-300);
      // sums in another order; angles by a series to 1e-16 next to the engine's arcsine, whose rates grow as they shrink
      a[name].forEach((v, k) => expect([name, k, Math.abs(v - (b[name][k] as number)) < 1e-12 * most]).toEqual([name, k, true]));
    }
  });
});

test("a warm solve of a rubbing arm takes no more than two steps beyond one that does not", () => {
  const arm = rubbing(8, 6);
  const load: Load = { gravity: [0, 0, -9.81], forces: [{ vertebra: arm.spans, force: [0.2, 0.3, 0.1], at: [0, 0, 0] }] };
  const one = Float64Array.from({ length: 16 }, (_, k) => 0.2 * Math.sin(1.3 * k));
  const two = one.map((b) => b + 0.005);
  const steps = [false, true].map((rubs) => {
    const work = createRodWork(arm);
    const state = createRodState(arm);
    solveHeld(arm, load, stanceAlongX(), one, state, work);
    if (rubs) state.grip.forEach((_, k) => (state.grip[k] = k % 3 === 0 ? -1 : 1));
    solveHeld(arm, load, stanceAlongX(), one, state, work);
    const report = solveHeld(arm, load, stanceAlongX(), two, state, work);
    expect(report.status).toBe("stable");
    return report.iterations;
  });
  // shares lagged a step each would take eight
  expect(steps[1]).toBeLessThanOrEqual((steps[0] as number) + 2);
});
