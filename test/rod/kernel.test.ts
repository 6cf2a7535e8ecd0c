/**
 * The inner loops in WebAssembly against the plain ones, which the checks against differences are older than: the same numbers but for the
 * order of their sums.
 */
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import { createRodState, createRodWork, heldTipResponse, type RodWork, setStance, solveHeld, solveTensions } from "../../src/rod/index.ts";
import { placeArm } from "../../src/rod/place.ts";
import { combineColumns, dotsReduced, reduceColumns, returnColumns } from "../../src/rod/solve-columns.ts";
import { clearColumn, evaluate, liftTangent } from "../../src/rod/tangent.ts";
import { stanceAlongX } from "./arms.ts";
import { randomFrame } from "./random-arm.ts";
import { twinArm } from "./twin.ts";

/** Greatest difference of two arrays next to the greatest size in them. */
function apart(a: Float64Array, b: Float64Array): number {
  let size = 1e-300;
  let most = 0;
  for (let k = 0; k < a.length; k++) {
    size = Math.max(size, Math.abs(a[k] as number));
    const gap = Math.abs((a[k] as number) - (b[k] as number));
    if (!(gap <= most)) most = gap;
  }
  return most / size;
}

const cases = [
  { name: "eight sections of three cables", sections: 8, spans: 4, cables: 3, size: 3, exit: 0, lock: [] },
  {
    name: "part emerged, an odd number of cables, no axial strain",
    sections: 3,
    spans: 5,
    cables: 5,
    size: 3,
    exit: 0.0748,
    lock: ["axial"],
  },
  { name: "one section, spans that turn by more than a radian", sections: 1, spans: 6, cables: 4, size: 900, exit: 0, lock: [] },
  { name: "no twist", sections: 2, spans: 3, cables: 3, size: 20, exit: 0, lock: ["twist"] },
] as const;

describe.each(cases)("$name (seed 51)", ({ sections, spans, cables, size, exit, lock }) => {
  const arm = createArm(twinArm({ sections, spans, cables }), { lock: [...lock] });
  const works: RodWork[] = [createRodWork(arm), createRodWork(arm, { plain: true })];
  const [quick, plain] = works as [RodWork, RodWork];
  const random = createRandom(51);
  const strain = Float64Array.from({ length: 4 * arm.spans }, (_, k) => (k % 4 === 3 ? 0.01 : size) * (2 * random() - 1));
  const tension = Float64Array.from({ length: arm.cables }, () => 5 + 20 * random());
  const stance = { base: randomFrame(random), exit };
  const load = {
    gravity: [1, -2, -9.5] as const,
    forces: [{ vertebra: arm.spans, force: [0.3, -0.2, 0.4] as const, at: [0, 0, 0.01] as const }],
  };

  test("one has the kernel, one has not, and a clone goes the plain way", () => {
    expect(quick.kernel).toBeDefined();
    expect(plain.kernel).toBeUndefined();
    expect(structuredClone(quick).kernel).toBeUndefined();
  });

  test.each([
    { name: "placed", guard: undefined, lift: 0 },
    { name: "factored", guard: false, lift: 0 },
    { name: "factored, pivots guarded", guard: true, lift: 0 },
    { name: "factored, lifted", guard: false, lift: 0.01 },
  ])("$name", ({ guard, lift }) => {
    for (const work of works) {
      setStance(arm, stance, work);
      if (guard === undefined) placeArm(arm, strain, work);
      else evaluate(arm, load, strain, tension, guard, work);
      if (lift > 0) liftTangent(arm, strain, tension, lift, work);
    }
    const placed = ["frame", "turn", "shift", "reach", "cableRate", "cableLine", "cableLength", "bend"] as const;
    const factored = ["gradient", "weight", "gain"] as const;
    expect(quick.negative).toBe(plain.negative);
    // a sum of n terms in another order: n roundings; the factors, of a tangent whose pivots are a few digits smaller than its entries
    for (const name of placed) expect([name, apart(plain[name], quick[name]) < 1e-12]).toEqual([name, true]);
    if (guard !== undefined) for (const name of factored) expect([name, apart(plain[name], quick[name]) < 1e-9]).toEqual([name, true]);
  });

  test("columns reduced, multiplied, combined, returned", () => {
    const count = 5; // odd: the last one goes alone
    for (const work of works) {
      setStance(arm, stance, work);
      evaluate(arm, load, strain, tension, false, work);
      const numbers = createRandom(52);
      for (let c = 0; c < count; c++) {
        clearColumn(arm, c, work);
        // two by two they end alike; the wrench of one that ends early does not count
        const end = c < 3 ? arm.spans : Math.max(work.firstFree, arm.spans - 2);
        work.columnEnd[c] = end;
        for (let k = 0; k < 4 * arm.spans; k++) work.column[4 * arm.spans * c + k] = numbers() - 0.5;
        for (let k = 0; k < 6; k++) work.columnTip[6 * c + k] = numbers() - 0.5;
        for (let k = 0; k < 6; k++) work.columnBase[6 * c + k] = numbers() - 0.5;
      }
      reduceColumns(arm, 0, count, work);
      dotsReduced(arm, 0, 2, 1, 4, work.dense, 3, work);
      dotsReduced(arm, 1, 4, 0, 2, work.denseRight, work.columns, work);
    }
    const head = (a: Float64Array, k: number): Float64Array => a.slice(0, k);
    const all = 4 * arm.spans * count;
    expect(apart(head(plain.columnFoot, 6 * count), head(quick.columnFoot, 6 * count))).toBeLessThan(1e-9);
    expect(apart(head(plain.column, all), head(quick.column, all))).toBeLessThan(1e-9);
    for (let r = 0; r < 2; r++) {
      const row = (work: RodWork): Float64Array => work.dense.slice(work.columns * r + 3, work.columns * r + 7);
      expect(apart(row(plain), row(quick))).toBeLessThan(1e-9);
    }
    for (const work of works) {
      work.denseRight.set([0.3, -2, 0.7]);
      combineColumns(arm, 0, 2, 3, work);
      returnColumns(arm, 0, count, work);
    }
    expect(apart(head(plain.column, all), head(quick.column, all))).toBeLessThan(1e-9);
    for (let c = 0; c < count; c++) {
      const part = (work: RodWork): Float64Array =>
        work.motion.slice(6 * ((arm.spans + 1) * c + work.firstFree), 6 * (arm.spans + 1) * (c + 1));
      expect(apart(part(plain), part(quick))).toBeLessThan(1e-9);
    }
  });
});

const mu = { nominal: 0.15, low: 0.1, high: 0.2 };
const plainArm = twinArm({ sections: 4, spans: 6 });
test.each([
  ["whole solves", plainArm],
  ["cables that rub", { ...plainArm, friction: { holes: mu, conduit: mu, conduitTurn: 1 } }],
] as const)("%s: the same shapes, tensions and sensitivities either way", (name, description) => {
  const arm = createArm(description);
  const bend = Float64Array.from({ length: 8 }, (_, k) => 0.3 * Math.sin(1.3 * k));
  const load = {
    gravity: [0, 0, -9.81] as const,
    forces: [{ vertebra: arm.spans, force: [0.2, 0.3, 0.1] as const, at: [0, 0, 0] as const }],
  };
  const solved = [false, true].map((plain) => {
    const work = createRodWork(arm, { plain });
    const state = createRodState(arm);
    if (name !== "whole solves") for (let k = 0; k < state.grip.length; k++) state.grip[k] = k % 3 === 0 ? -1 : 1;
    const held = solveHeld(arm, load, stanceAlongX(), bend, state, work).status;
    heldTipResponse(arm, work);
    const response = work.tipResponse.slice();
    const frame = work.frame.slice();
    const given = solveTensions(arm, load, stanceAlongX(), state, work).status;
    return { held, given, response, frame, tension: state.tension, again: work.frame.slice() };
  });
  const [a, b] = solved as [(typeof solved)[0], (typeof solved)[0]];
  expect([a.held, a.given, b.held, b.given]).toEqual(["stable", "stable", "stable", "stable"]);
  // what Newton leaves (1e-8 rad squared; of friction a tenth of the last step) and rounding
  const left = name === "whole solves" ? 1e-11 : 1e-7;
  for (const part of ["frame", "again", "tension"] as const) expect([part, apart(a[part], b[part]) < left]).toEqual([part, true]);
  expect(apart(a.response, b.response)).toBeLessThan(100 * left);
});

test("the bytes are those of the source", { timeout: 60_000 }, () => {
  const script = fileURLToPath(new URL("../../scripts/build-kernel.js", import.meta.url));
  const run = spawnSync(process.execPath, [script, "--check"], { encoding: "utf8" });
  expect([run.stderr, run.status]).toEqual(["", 0]);
});
