/** Cables that wind as the base rolls: a helix, and the moment by the slope of its length. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { cableStiffness, windCables } from "../../src/rod/index.ts";
import { twinArm } from "./twin.ts";

describe("cables on a circle of 50 mm that wind over 100 mm", () => {
  const whole = twinArm({ sections: 1, spans: 4 });
  const arm = createArm({
    ...whole,
    sections: whole.sections.map((section) => ({ ...section, outerDiameter: 0.12, cableRadius: 0.05 })),
  });
  const tension = Float64Array.of(10, 20, 5);
  const longer = new Float64Array(3);

  test("one turn: each is 329.6908309 mm long (helix of radius 50 mm and pitch 100 mm, recomputed)", () => {
    const { longest, locked } = windCables(arm, 2 * Math.PI, 0.1, tension, longer);
    for (const more of longer) expect(more).toBeCloseTo(0.3296908309 - 0.1, 9);
    expect(longest).toBe(Math.max(...longer));
    expect(locked).toBeCloseTo(longest * cableStiffness(arm, 0), 9);
  });

  test("the moment is what the tensions do as it turns further, by differences; either way alike", () => {
    const energy = (roll: number): number => {
      windCables(arm, roll, 0.1, tension, longer);
      return longer.reduce((sum, more, c) => sum + more * (tension[c] as number), 0);
    };
    const { moment } = windCables(arm, 1.3, 0.1, tension, longer);
    expect(moment).toBeCloseTo((energy(1.3 + 1e-4) - energy(1.3 - 1e-4)) / 2e-4, 8);
    expect(windCables(arm, -1.3, 0.1, tension, longer).moment).toBe(moment);
  });

  test("no roll, nothing wound", () => {
    expect(windCables(arm, 0, 0.1, tension, longer)).toEqual({ longest: 0, moment: 0, locked: 0 });
  });
});
