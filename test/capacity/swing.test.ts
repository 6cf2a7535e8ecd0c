import { expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { createCapacityWork, createLockState, createSwingState, holdAt, readSwing, stepLock, stepSwing } from "../../src/capacity/index.ts";
import { twinArm } from "../rod/twin.ts";
import { earth, fullLength, plainRequest, swingOf } from "./run.ts";

const arm = createArm(twinArm({ sections: 3, spans: 5, pretension: 5 }));
const hold = holdAt(arm, plainRequest(arm, { gravity: earth }), fullLength(arm));

test("left after every step and taken up with fresh memory, a swing comes out the same to the last bit", () => {
  const lock = createLockState(arm, hold);
  while (lock.stage === "bending") stepLock(arm, hold, lock, createCapacityWork(arm));
  let state = createSwingState(arm);
  for (let k = 0; k < 200 && state.stage !== "done"; k++) {
    state = structuredClone(state);
    stepSwing(arm, hold, lock, state, createCapacityWork(arm));
  }
  expect(readSwing(state, 0.05)).toEqual(swingOf(arm, hold, 0.05));
  expect(readSwing(state).found).toBe(true);
});

test("a heavier tool swings slower, a shorter arm faster; the second frequency is not below the first", () => {
  const whole = swingOf(arm, hold);
  const heavy = createArm(twinArm({ sections: 3, spans: 5, pretension: 5, tool: 0.1 }));
  const slow = swingOf(heavy, holdAt(heavy, plainRequest(heavy, { gravity: earth }), fullLength(heavy)));
  const short = swingOf(arm, holdAt(arm, plainRequest(arm, { gravity: earth }), 0.6 * fullLength(arm)));
  expect(slow.frequency).toBeLessThan(whole.frequency);
  expect(short.frequency).toBeGreaterThan(whole.frequency);
  for (const swing of [whole, slow, short]) expect(swing.second).toBeGreaterThanOrEqual(swing.frequency);
});

test("without mass there is nothing to swing, and it says so", () => {
  const light = twinArm({ sections: 1, spans: 4, tool: 0 });
  const bare = createArm({
    ...light,
    sections: light.sections.map((s) => ({
      ...s,
      vertebraMass: 0,
      cable: { ...s.cable, massPerLength: 0 },
      rods: s.rods.map((r) => ({ ...r, material: { ...r.material, density: 1e-300 } })),
    })),
  });
  const swing = swingOf(bare, holdAt(bare, plainRequest(bare), fullLength(bare)));
  expect(swing.found).toBe(false);
  expect(swing.frequency).toBeNaN();
});
