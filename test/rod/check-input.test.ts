import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { type Fault, InputError } from "../../src/base/index.ts";
import { createRodState, createRodWork, type Load, solveHeld, solveLocked, solveTensions } from "../../src/rod/index.ts";
import { noLoad, stanceAlongX } from "./arms.ts";
import { twinArm } from "./twin.ts";

const arm = createArm(twinArm({ sections: 2, spans: 3 }));
const other = createArm(twinArm({ sections: 3, spans: 3, cables: 4 }));

function faultsOf(call: () => void): [string, string][] {
  try {
    call();
  } catch (error) {
    if (error instanceof InputError) return error.faults.map((f: Fault) => [f.code, f.path]);
    throw error;
  }
  return [];
}

describe("arrays and loads that do not fit the arm are refused, all at once, and nothing is written", () => {
  const work = createRodWork(arm);
  const state = createRodState(other);
  const before = structuredClone(state);
  const load: Load = {
    ...noLoad,
    forces: [0, 7, 2.5, Number.NaN, 6].map((vertebra) => ({ vertebra, force: [0, 0, 1] as const, at: [0, 0, 0] as const })),
  };
  const forces = [0, 1, 2, 3].map((k): [string, string] => ["solve.vertebra", `load.forces[${k}].vertebra`]);
  const sizes: [string, string][] = [
    ["solve.size", "state.strain"],
    ["solve.size", "state.tension"],
    ["solve.size", "state.effort"],
    ["solve.size", "state.side"],
    ["solve.size", "state.grip"],
    ["solve.size", "state.run"],
  ];

  test("held", () => {
    expect(faultsOf(() => solveHeld(arm, load, { base: new Float64Array(9), exit: 0 }, new Float64Array(3), state, work))).toEqual([
      ...sizes,
      ["solve.size", "stance.base"],
      ["solve.size", "bend"],
      ...forces,
    ]);
  });
  test("locked", () => {
    expect(faultsOf(() => solveLocked(arm, load, stanceAlongX(), new Float64Array(7), state, work))).toEqual([
      ...sizes,
      ["solve.size", "free"],
      ...forces,
    ]);
  });
  test("tensions", () => {
    expect(faultsOf(() => solveTensions(arm, load, stanceAlongX(), state, work))).toEqual([...sizes, ...forces]);
    expect(state).toEqual(before);
  });
});

test.each<[string, number[]]>([
  ["twice as long", [2, 0, 0, 0, 2, 0, 0, 0, 2, 0, 0, 0]],
  ["a mirror", [1, 0, 0, 0, 1, 0, 0, 0, -1, 0, 0, 0]],
  ["not square", [1, 0.01, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0]],
  ["nothing", [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]],
  ["no number", [1, 0, 0, 0, Number.NaN, 0, 0, 0, 1, 0, 0, 0]],
  ["nowhere", [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, Number.POSITIVE_INFINITY, 0]],
])("a base that is no frame is refused: %s", (_, base) => {
  const stance = { base: Float64Array.from(base), exit: 0 };
  expect(faultsOf(() => solveTensions(arm, noLoad, stance, createRodState(arm), createRodWork(arm)))).toEqual([
    ["solve.base", "stance.base"],
  ]);
});
