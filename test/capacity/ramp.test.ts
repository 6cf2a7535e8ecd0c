import { expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import {
  createCapacityWork,
  createRampState,
  holdAt,
  loadedBy,
  type RampRequest,
  readRamp,
  stepRamp,
  type TipStiffness,
  tipStiffness,
} from "../../src/capacity/index.ts";
import { checkBalance, copyRodState, solveLocked } from "../../src/rod/index.ts";
import { twinArm } from "../rod/twin.ts";
import { earth, fullLength, lockOf, plainRequest, rampOf } from "./run.ts";

const arm = createArm({ ...twinArm({ sections: 3, spans: 6, pretension: 8 }), driveStiffness: 5e4 });
const bend = Float64Array.of(0.2, 0, 0, 0.3, -0.2, 0);
const hold = holdAt(arm, plainRequest(arm, { gravity: earth, bend }), fullLength(arm));
const pressed: RampRequest = {
  direction: [0, 0, -1],
  follows: true,
  offset: [0, 2e-3, 0],
  limits: {},
  tolerance: 1e-3,
  most: 1e4,
  rows: 8,
};
const dragged: RampRequest = { ...pressed, direction: [0.6, 0.8, 0], follows: false };

test.each([
  ["pressed, turning with the tool", pressed],
  ["dragged, keeping its direction", dragged],
])("%s: every row is a shape that small even steps of the load lead to, balanced, up to the limit that is named", (_, request) => {
  const { end, rows } = rampOf(arm, hold, request);
  expect(end.found).toBe(true);
  expect(["cable", "stop", "strain", "unstable"]).toContain(end.end);
  expect(rows.length).toBe(9);
  expect(rows[8]?.load).toBe(end.load);
  expect(rows[8]?.uses.cable).toBeCloseTo(end.uses.cable, 6);
  const { lock, work } = lockOf(arm, hold);
  const state = copyRodState(lock.rod);
  solveLocked(arm, { gravity: earth, forces: [] }, hold.stance, lock.free, state, work.rod);
  const axes = work.rod.frame.slice(12 * arm.spans, 12 * arm.spans + 9);
  const heading = [0, 1, 2].map((r) =>
    [0, 1, 2].reduce((sum, k) => sum + (axes[3 * r + k] as number) * (request.direction[k] as number), 0),
  );
  const on = (n: number) =>
    loadedBy(arm, hold, { ...request, direction: request.follows ? request.direction : (heading as [number, number, number]) }, n);
  for (let k = 1; k <= 80; k++) {
    const load = on((end.load * k) / 80);
    expect(["stable", "slack"]).toContain(solveLocked(arm, load, hold.stance, lock.free, state, work.rod, { ramp: false }).status);
    if (k % 10 !== 0) continue;
    expect(checkBalance(arm, load, hold.stance, state)).toBeLessThan(1e-6);
    const row = rows[k / 10];
    row?.tension.forEach((t, c) => expect(Math.abs(t - (state.tension[c] as number))).toBeLessThan(1e-5));
    const greatest = Math.max(...(row?.jointAngle ?? []));
    expect(greatest / 0.2).toBeCloseTo(row?.uses.stop as number, 9);
    expect(row?.slack).toEqual([...state.tension].flatMap((t, c) => (t <= 0 ? [c] : [])));
  }
});

test("the first small row is the stiffness of the tip times its load", () => {
  const { rows } = rampOf(arm, hold, { ...dragged, offset: [0, 0, 0], most: 1e-3, rows: 1 });
  const { lock, work } = lockOf(arm, hold);
  const { compliance } = tipStiffness(arm, hold, lock, work) as TipStiffness;
  const [x, y] = dragged.direction;
  const at = (r: number, c: number): number => compliance[6 * (3 + r) + 3 + c] as number;
  const way = [0, 1, 2].map((r) => at(r, 0) * x + at(r, 1) * y);
  // 1 mN moves it by micrometres
  expect(Math.abs((rows[1]?.moved as number) / (1e-3 * Math.hypot(...way)) - 1)).toBeLessThan(1e-4);
  expect(Math.abs((rows[1]?.along as number) / (1e-3 * ((way[0] as number) * x + (way[1] as number) * y)) - 1)).toBeLessThan(1e-4);
});

test("an arm that does not carry itself has no rows, and says unstable", () => {
  const single = createArm(twinArm({ single: true }));
  const { end, rows } = rampOf(single, holdAt(single, plainRequest(single, { gravity: earth }), fullLength(single)), pressed);
  expect([end.end, end.load, end.bound, rows.length]).toEqual(["unstable", 0, 0, 0]);
});

test("left after every step and taken up with fresh memory, a ramp comes out the same to the last bit", () => {
  const { lock } = lockOf(arm, hold);
  let state = createRampState(arm);
  for (let k = 0; k < 500 && state.stage !== "done"; k++) {
    state = structuredClone(state);
    stepRamp(arm, hold, pressed, lock, state, createCapacityWork(arm));
  }
  expect(readRamp(state)).toEqual(rampOf(arm, hold, pressed));
});
