/** The roll that the arm is given before it goes in: by symmetry, and by laying the arm anew. */
import { describe, expect, test } from "vitest";
import { chooseRoll } from "../../src/insertion/choose-roll.ts";
import type { InsertionState } from "../../src/insertion/index.ts";
import { twinArm } from "../rod/twin.ts";
import { bentRoute, identity, insertionAlong, runInsertion, spaceOf } from "./made-route.ts";

const far = {
  name: "far wall",
  placement: identity,
  touch: { kind: "free" as const },
  shape: { kind: "box" as const, size: [3, 3, 3] as const },
};

describe("a quarter turn of 110 mm radius, in a plane that the joints bend worst in", () => {
  // in the arm's x plane every second hinge of a twin backbone does all: 2 x pitch / radius = 10.4 deg; turned by 45 deg, 1 / root 2 of it
  const whole = twinArm({ sections: 4, spans: 10, pretension: 6, tool: 0.005 });
  // cables strong enough not to count
  const arm = {
    ...whole,
    sections: whole.sections.map((section) => ({ ...section, jointLimit: 0.22, cable: { ...section.cable, breakingLoad: 5000 } })),
  };
  const state = runInsertion(insertionAlong(arm, bentRoute(0.05, 0.11, 0.02), [0, 0, 0], [0]), spaceOf(far));
  /** rods may be strained by 4 % */
  const hardest = ({ wayIn }: InsertionState): number =>
    Math.max(...wayIn.map((record) => Math.max(...record.jointAngle.map((a) => a / 0.22), ...record.strain.map((e) => e / 0.04))));
  const angle = (state.turned?.roll ?? 0) / (Math.PI / 4);

  test("the arm is turned by an eighth of a turn or nearly, and goes in again", () => {
    expect(state.failure).toBe("");
    expect(state.rollTries).toHaveLength(24);
    expect(state.turned).toBeDefined();
    // 45 deg from an axis of the hinges, give or take the 15 deg of the search
    expect(Math.abs(Math.abs(angle) % 2) - 1).toBeLessThan(0.34);
    expect(state.wayOut).toHaveLength(state.wayIn.length);
  });

  test("what is told is what the arm then has, and less than a way in that keeps its roll", () => {
    const { from, to } = state.turned!;
    expect(to).toBeLessThan(0.9 * from);
    expect(hardest(state)).toBeCloseTo(to, 12);
    // a roll that may not be left: no turns of the umbilical
    const model = insertionAlong(arm, bentRoute(0.05, 0.11, 0.02), [0, 0, 0], [0]);
    const kept = runInsertion({ ...model, roll: { carries: "pack", mostTurns: 1e-3 } }, spaceOf(far));
    expect(kept.turned).toBeUndefined();
    expect(hardest(kept)).toBeCloseTo(from, 9);
  });

  test("nothing is turned for less than a tenth, nor to where no balance was found", () => {
    expect(chooseRoll([0.9, 0.85, 0.84])).toBeUndefined();
    expect(chooseRoll([0.9, Number.POSITIVE_INFINITY, 0.7])).toBe(Math.PI / 6);
    expect(chooseRoll([0.9, Number.POSITIVE_INFINITY])).toBeUndefined();
  });
});
