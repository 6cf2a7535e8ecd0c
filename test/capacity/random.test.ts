/**
 * Arms drawn at random, pushed in a random direction: every payload is balanced by a computation of its own, within every limit, and
 * ends; or the answer says what is not known. 40 in a test run, 1000 in a soak run (WITHY_SOAK=1).
 */
import { describe, expect, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import {
  createCapacityWork,
  createLockState,
  createPayloadState,
  createRampState,
  createRetention,
  createRetentionState,
  createRetentionWork,
  type Hold,
  loadedBy,
  type PayloadRequest,
  type RampRequest,
  readPayload,
  readRamp,
  stepLock,
  stepPayload,
  stepRamp,
  stepRetention,
  type Vector,
} from "../../src/capacity/index.ts";
import { checkBalance, type Load } from "../../src/rod/index.ts";
import { randomCase } from "../rod/random-arm.ts";
import { lockOf } from "./run.ts";

const total = process.env["WITHY_SOAK"] === "1" ? 1000 : 40;
/** N m: as in the solver's own random tests */
const residual = 1e-6;

interface Tally {
  payloads: number;
  unknown: number;
  faults: number;
  unrested: number;
  rows: number;
  lost: number;
}

describe(`seeds 0 to ${total - 1}`, () => {
  const tally: Tally = { payloads: 0, unknown: 0, faults: 0, unrested: 0, rows: 0, lost: 0 };

  test("payloads", { timeout: 600_000 }, () => {
    for (let seed = 0; seed < total; seed++) payloadOf(seed, tally);
    // not a few arms do stand, and nearly all of their payloads are found
    expect(tally.payloads).toBeGreaterThan(0.5 * total);
    expect(tally.unknown).toBeLessThanOrEqual(0.05 * total);
  });

  test("forces that grow on the tool", { timeout: 600_000 }, () => {
    for (let seed = 0; seed < total; seed += 4) rampsOf(seed, tally);
    expect(tally.rows).toBeGreaterThan(0.5 * total);
    expect(tally.lost).toBeLessThanOrEqual(0.02 * tally.rows);
  });

  test("broken cables", { timeout: 600_000 }, () => {
    for (let seed = 0; seed < total; seed += 4) faultsOf(seed, tally);
    expect(tally.faults).toBeGreaterThan(total / 4);
    expect(tally.unrested).toBeLessThanOrEqual(0.02 * tally.faults);
  });
});

function holdOf(seed: number): { hold: Hold; arm: ReturnType<typeof randomCase>["arm"] } {
  const { arm, load, stance, bend } = randomCase(seed);
  return { arm, hold: { stance, bend, gravity: load.gravity, forces: [], lockedAt: seed % 2 === 0 ? "carrying" : "unloaded" } };
}

function payloadOf(seed: number, tally: Tally): void {
  const { arm, hold } = holdOf(seed);
  const random = createRandom(seed + 1000);
  const aim = [0, 1, 2].map(() => 2 * random() - 1);
  const size = Math.hypot(...aim);
  const direction = aim.map((x) => x / size) as unknown as PayloadRequest["direction"];
  const request: PayloadRequest = { direction, offset: [0, 0.01 * random(), 0], limits: {}, tolerance: 1e-3, most: 1e5 };
  const work = createCapacityWork(arm);
  const lock = createLockState(arm, hold);
  let steps = 0;
  while (lock.stage === "bending" || lock.stage === "loading") {
    stepLock(arm, hold, lock, work);
    expect(++steps, `seed ${seed}: locking ends`).toBeLessThan(1000);
  }
  const state = createPayloadState(arm);
  while (state.stage !== "done") {
    stepPayload(arm, hold, request, lock, state, work);
    expect(++steps, `seed ${seed}: the payload ends`).toBeLessThan(1000);
  }
  const payload = readPayload(state);
  if (!payload.found) tally.unknown++;
  if (payload.bound === 0 || lock.stage !== "locked" || state.good < 0) return;
  tally.payloads++;
  const place = `seed ${seed}, ${payload.load} N, ${payload.end}`;
  const [x, y, z] = direction;
  const n = payload.load;
  const [a, b, c] = request.offset;
  const at = [a, b, c + arm.description.tool.length] as const;
  const on: Load = { gravity: hold.gravity, forces: [{ vertebra: arm.spans, force: [n * x, n * y, n * z], at }] };
  expect(checkBalance(arm, on, hold.stance, state.rod), place).toBeLessThan(residual * Math.max(1, n));
  for (const use of [payload.uses.cable, payload.uses.stop, payload.uses.strain]) expect(use, place).toBeLessThan(1);
  if (payload.found) expect(payload.bound - payload.load, place).toBeLessThanOrEqual(1.001e-3 * payload.bound + 2e-6);
}

/** Every row is balanced by a computation of its own and within every limit, for forces that turn with the tool and that do not. */
function rampsOf(seed: number, tally: Tally): void {
  const { arm, hold } = holdOf(seed);
  const random = createRandom(seed + 2000);
  const aim = [0, 1, 2].map(() => 2 * random() - 1);
  const size = Math.hypot(...aim);
  const direction = aim.map((x) => x / size) as unknown as Vector;
  for (const follows of [false, true]) {
    const request: RampRequest = { direction, follows, offset: [0.01 * random(), 0, 0], limits: {}, tolerance: 1e-3, most: 1e5, rows: 4 };
    const { lock, work } = lockOf(arm, hold);
    const state = createRampState(arm);
    for (let steps = 0; state.stage !== "done"; steps++) {
      stepRamp(arm, hold, request, lock, state, work);
      const row = state.rows.at(-1);
      expect(steps, `seed ${seed}: the ramp ends`).toBeLessThan(1000);
      if (row === undefined) continue;
      const heading = follows ? direction : ([...state.heading] as unknown as Vector);
      if (state.stage !== "finding" && row.load === (state.payload.good * (state.row - 1)) / request.rows) {
        const place = `seed ${seed}, ${follows ? "turning" : "dead"}, ${row.load} N`;
        const on = loadedBy(arm, hold, { ...request, direction: heading }, row.load);
        expect(checkBalance(arm, on, hold.stance, work.trial), place).toBeLessThan(residual * Math.max(1, row.load));
        // one that is beyond a limit without any force has that row alone
        if (state.payload.bad > 0) for (const use of [row.uses.cable, row.uses.stop, row.uses.strain]) expect(use, place).toBeLessThan(1);
      }
    }
    const { rows, end } = readRamp(state);
    const wanted = end.load > 0 ? 5 : rows.length;
    tally.rows += rows.length;
    tally.lost += wanted - rows.length;
  }
}

function faultsOf(seed: number, tally: Tally): void {
  const { arm, hold } = holdOf(seed);
  const model = createRetention(arm, hold);
  const state = createRetentionState();
  const work = createRetentionWork(model);
  let steps = 0;
  while (!state.done) {
    stepRetention(model, state, work);
    expect(++steps, `seed ${seed}: the faults end`).toBeLessThan(5000);
  }
  for (const c of state.cases) {
    tally.faults++;
    if (c.status !== "stable" && c.status !== "slack") {
      tally.unrested++;
      expect(c.moved).toBeNaN();
      continue;
    }
    expect(Number.isFinite(c.moved + c.swing + c.drop + c.swingCable + c.stored + c.lost), `seed ${seed}, ${c.kind} ${c.cable}`).toBe(true);
    if (c.kind === "broken") expect(c.tension[c.cable]).toBe(0);
  }
}
