/** A range that was kept goes into the spread of what was fitted: against whole fits with the range's ends in the file. */
import { expect, test } from "vitest";
import type { ArmDescription } from "../../src/arm/index.ts";
import { applyParameters, recordFit, untouched } from "../../src/fit/index.ts";
import { twinArm } from "../rod/twin.ts";
import { measure, parameter, runFit, tableOf } from "./made-tables.ts";

const plain = twinArm({ sections: 1, spans: 8, single: true, tool: 0.02 });
const withFriction = (nominal: number, half: number): ArmDescription => ({
  ...plain,
  friction: { holes: { nominal, low: nominal - half, high: nominal + half }, conduit: { nominal: 0, low: 0, high: 0 }, conduitTurn: 0 },
});

test("droop held at 30 N with friction known to 0.15 +- 0.09 (noise seed 5): what the range adds is what whole fits with its ends give", () => {
  const table = tableOf(
    "load (g),hold (N),length out (mm),height (mm)",
    [20, 60, 100].flatMap((load) => [80, 110].map((out) => [load, 30, out, 0])),
  );
  const made = measure(applyParameters(withFriction(0.15, 0), { ...untouched, stiffness: 0.9 }), table, { height: 4e-5 }, 5);
  const at = (nominal: number, half: number) => runFit(withFriction(nominal, half), [made]);
  const sure = parameter(at(0.15, 0), "stiffness");
  const ranged = at(0.15, 0.09);
  const found = parameter(ranged, "stiffness");
  expect(found.after).toBeCloseTo(sure.after, 6);
  // half width over the root of 3 either way
  const d = 0.09 / Math.sqrt(3);
  const moved = (parameter(at(0.15 + d, 0), "stiffness").after - parameter(at(0.15 - d, 0), "stiffness").after) / 2;
  expect(Math.abs(moved)).toBeGreaterThan(2 * sure.spread);
  expect(found.spread / Math.sqrt(sure.spread ** 2 + moved ** 2)).toBeCloseTo(1, 1);
  expect(found.mostlyFrom).toBe("hole-friction");
  expect(recordFit(ranged, [], "2031-04-17").notes.join(" ")).toContain("range of friction in the holes");
}, 60_000);
