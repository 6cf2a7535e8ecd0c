import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import {
  createSheet,
  createSheetState,
  createSheetWork,
  dampingOf,
  holdAt,
  readSheet,
  type SheetState,
  stepSheet,
} from "../../src/capacity/index.ts";
import { twinArm } from "../rod/twin.ts";
import { down, earth, fullLength, mapOf, plainRequest, rampOf, retentionOf, sheetOf, stiffnessOf, swingOf } from "./run.ts";

const arm = createArm({ ...twinArm({ sections: 2, spans: 6, pretension: 5 }), damping: { nominal: 0.06, low: 0.04, high: 0.08 } });
const bend = Float64Array.of(0.2, 0, 0.1, -0.2);
const request = plainRequest(arm, { gravity: earth, bend });
const hold = holdAt(arm, request, fullLength(arm));
const sentTo = new Float64Array(4);
const ask = { limits: {}, rows: 3, sentTo };

describe("a sheet", () => {
  const sheet = sheetOf(arm, hold, ask);

  test("holds what each question alone gives", () => {
    expect(sheet.stands).toBe(true);
    expect(sheet.stiffness).toEqual(stiffnessOf(arm, hold));
    expect(sheet.swing).toEqual(swingOf(arm, hold, dampingOf(arm)));
    const [point] = mapOf(arm, { gravity: earth, bend, directions: [down] });
    expect([sheet.payload?.load, sheet.payload?.end]).toEqual([point?.load, point?.end]);
    const pressed = {
      direction: [0, 0, -1] as const,
      follows: true,
      offset: [0, 0, 0] as const,
      limits: {},
      tolerance: 1e-3,
      most: 1e6,
      rows: 3,
    };
    expect(sheet.ramps.map((r) => [r.kind, r.follows])).toEqual([["pressing", false], ["pressing", true], ["dragging", false], ["dragging", true]]); // biome-ignore format: one list
    expect(sheet.ramps[1]?.rows).toEqual(rampOf(arm, hold, pressed).rows);
    // sudden faults are bound by the least damping the arm is known to have
    expect(sheet.retention.cases).toEqual(retentionOf(arm, hold, 0.04, sentTo).cases);
  });

  test("left after every step and taken up with fresh memory, comes out the same to the last bit; progress does not fall", () => {
    const model = createSheet(arm, hold, ask);
    let state: SheetState = createSheetState(model);
    let progress = 0;
    for (let k = 0; k < 3000 && state.stage !== "done"; k++) {
      state = structuredClone(state);
      stepSheet(model, state, createSheetWork(model));
      expect(state.progress).toBeGreaterThanOrEqual(progress);
      progress = state.progress;
    }
    expect(progress).toBe(1);
    expect(readSheet(model, state)).toEqual(sheet);
  });
});

test("without gravity nothing hangs; an arm that does not carry itself has nothing but that", () => {
  const light = sheetOf(arm, holdAt(arm, plainRequest(arm, { bend }), fullLength(arm)), { limits: {}, rows: 1 });
  expect([light.stands, light.payload]).toEqual([true, undefined]);
  const single = createArm(twinArm({ single: true }));
  const fallen = sheetOf(single, holdAt(single, plainRequest(single, { gravity: earth }), fullLength(single)), { limits: {}, rows: 1 });
  expect([fallen.stands, fallen.lock.status, fallen.stiffness, fallen.ramps.length, fallen.retention.cases.length]).toEqual([
    false,
    "buckled",
    undefined,
    0,
    0,
  ]);
  expect(fallen.swing.found).toBe(false);
});
