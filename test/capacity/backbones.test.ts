import { describe, expect, test } from "vitest";
import { checkArm, createArm } from "../../src/arm/index.ts";
import {
  type BackboneState,
  compareBackbones,
  createBackboneModel,
  createBackboneState,
  createBackboneWork,
  holdAt,
  listBackbones,
} from "../../src/capacity/index.ts";
import { checkBalance } from "../../src/rod/index.ts";
import { twinArm } from "../rod/twin.ts";
import { backbonesOf, earth, fullLength, lockOf, plainRequest } from "./run.ts";

const twin = twinArm({ sections: 2, spans: 6, pretension: 5 });
const single = twinArm({ sections: 2, spans: 6, pretension: 5, single: true });
const arm = createArm(twin);
const bend = Float64Array.of(0.3, 0, 0, 0.3);
const hold = holdAt(arm, plainRequest(arm, { gravity: earth, bend }), fullLength(arm));

test("a twin is compared with one rod as thick and one as stiff; the first is the arm that is built so", () => {
  const kinds = listBackbones(twin);
  expect(kinds.map((b) => b.kind)).toEqual(["given", "one-rod", "one-stiff-rod"]);
  expect(kinds.map((b) => b.losesChannel)).toEqual([false, true, true]);
  expect(kinds[1]?.description.sections).toEqual(single.sections);
  const rows = backbonesOf(twin, [hold]);
  const [alone] = backbonesOf(single, [hold]);
  expect(rows[1]?.sag).toBe(alone?.sag);
  expect(rows[1]?.twist).toBe(alone?.twist);
});

test("the rows are locked shapes, balanced by a computation of their own, with the weight on", () => {
  for (const description of [twin, single]) {
    const which = createArm(description);
    const unloaded = { ...hold, lockedAt: "unloaded" as const };
    const { lock, work } = lockOf(which, unloaded);
    expect(checkBalance(which, { gravity: earth, forces: [] }, hold.stance, lock.rod)).toBeLessThan(1e-7);
    const [row] = backbonesOf(description, [hold]);
    const o = 12 * which.spans;
    const way = [0, 1, 2].map(
      (k) => (work.rod.frame[o + 9 + k] as number) + twin.tool.length * (work.rod.frame[o + 3 * k + 2] as number) - (lock.tip[k] as number),
    );
    expect(row?.sag).toBeCloseTo(Math.hypot(...way), 9);
  }
});

test("bent out of its plane and loaded, one rod twists far more than two", () => {
  const [two, thick, stiff] = backbonesOf(twin, [hold]);
  for (const row of [two, thick, stiff]) expect(row?.status).toMatch(/stable|slack/);
  const turned = [two, thick, stiff].map((row) => Math.abs((row?.twist as number) - (row?.twistBefore as number)));
  expect(turned[1]).toBeGreaterThan(5 * (turned[0] as number));
  expect(turned[2]).toBeGreaterThan(5 * (turned[0] as number));
  expect(thick?.sag).toBeGreaterThan(two?.sag as number);
});

describe("an arm with one rod", () => {
  const [given, pair] = listBackbones(single);

  test("is compared with the widest pair that its vertebrae hold", () => {
    expect([given?.kind, pair?.kind]).toEqual(["given", "twin"]);
    expect(checkArm(pair?.description ?? single)).toEqual([]);
    for (const section of pair?.description.sections ?? []) {
      const [a, b] = section.rods;
      expect([a?.diameter, b?.diameter]).toEqual([1e-3, 1e-3]);
      expect(section.alternating).toBe(true);
      expect([a?.x, a?.y]).toEqual([-(b?.x as number), -(b?.y as number)]);
    }
    expect(listBackbones(single).every((b) => !b.losesChannel)).toBe(true);
  });

  test("whose vertebrae are too small for a pair is compared with nothing", () => {
    const tight = {
      ...single,
      sections: single.sections.map((s) => ({ ...s, channelDiameter: 0, cableRadius: 1.4e-3, outerDiameter: 4.2e-3 })),
    };
    expect(checkArm(tight)).toEqual([]);
    expect(listBackbones(tight).map((b) => b.kind)).toEqual(["given"]);
  });
});

test("an arm of one rod that does not carry itself says so, and how much it carries; two rods do", () => {
  const long = twinArm();
  const whole = createArm(long);
  const straight = holdAt(whole, plainRequest(whole, { gravity: earth }), fullLength(whole));
  const [two, one] = backbonesOf(long, [straight]);
  expect(two?.status).toMatch(/stable|slack/);
  expect(one?.status).toBe("buckled");
  expect(one?.share).toBeLessThan(1);
  expect(one?.sag).toBeNaN();
});

test("left after every step and taken up with fresh memory, the rows come out the same to the last bit", () => {
  const model = createBackboneModel(twin, [hold, { ...hold, bend: new Float64Array(4) }]);
  let state: BackboneState = createBackboneState();
  for (let k = 0; k < 500 && !state.done; k++) {
    state = structuredClone(state);
    compareBackbones(model, state, createBackboneWork(model));
  }
  expect(state.rows).toEqual(backbonesOf(twin, model.holds));
  expect(state.rows.map((r) => [r.hold, r.kind])).toEqual([0, 1].flatMap((h) => ["given", "one-rod", "one-stiff-rod"].map((k) => [h, k])));
  expect(state.progress).toBe(1);
});
