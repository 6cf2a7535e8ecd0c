import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import {
  cableResponse,
  copyRodState,
  createRodState,
  createRodWork,
  type Load,
  readFreeLengths,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
import { stanceAlongX } from "./arms.ts";
import { twinArm } from "./twin.ts";

const arm = createArm(twinArm({ sections: 3, spans: 6 }));
const load: Load = { gravity: [0, 0, -9.81], forces: [] };
const stance = stanceAlongX(0.012, 0.2);
const bend = Float64Array.of(0.3, -0.2, 0.1, 0.4, -0.2, 0.3);
const block = 6 * (arm.spans + 1);

/** Central differences of the vertebrae's places, in each vertebra's own axes. */
function differences(frames: (step: number) => Float64Array, step: number, vertebra: number): number[] {
  const at = frames(0);
  const plus = frames(step);
  const minus = frames(-step);
  return [0, 1, 2].map((axis) =>
    [0, 1, 2].reduce(
      (sum, r) => sum + at[12 * vertebra + 3 * r + axis]! * ((plus[12 * vertebra + 9 + r]! - minus[12 * vertebra + 9 + r]!) / (2 * step)),
      0,
    ),
  );
}

describe("motion of vertebrae a unit command of one cable, against shapes solved again", () => {
  const work = createRodWork(arm);
  const state = createRodState(arm);
  solveHeld(arm, load, stance, bend, state, work);
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work, free);
  const out = new Float64Array(block * arm.cables);

  test.each([0, 4, 8])("tension of cable %d", (cable) => {
    solveTensions(arm, load, stance, copyRodState(state), work);
    cableResponse(arm, state, "tension", work, out);
    const frames = (step: number): Float64Array => {
      const other = copyRodState(state);
      other.tension[cable] = other.tension[cable]! + step;
      expect(solveTensions(arm, load, stance, other, work).status).toBe("stable");
      return work.frame.slice();
    };
    for (const vertebra of [8, arm.spans]) {
      differences(frames, 1e-3, vertebra).forEach((value, axis) =>
        expect(Math.abs(out[block * cable + 6 * vertebra + 3 + axis]! - value)).toBeLessThan(1e-7),
      );
    }
  });

  test.each([0, 4, 8])("length of cable %d", (cable) => {
    solveLocked(arm, load, stance, free, copyRodState(state), work);
    cableResponse(arm, state, "length", work, out);
    const frames = (step: number): Float64Array => {
      const other = copyRodState(state);
      const let_out = free.slice();
      let_out[cable] = let_out[cable]! + step;
      expect(solveLocked(arm, load, stance, let_out, other, work).status).toBe("stable");
      return work.frame.slice();
    };
    for (const vertebra of [8, arm.spans]) {
      differences(frames, 1e-6, vertebra).forEach((value, axis) =>
        expect(Math.abs(out[block * cable + 6 * vertebra + 3 + axis]! - value)).toBeLessThan(1e-4),
      );
    }
  });
});
