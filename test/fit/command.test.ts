/** Tip against command, and droop with locked drives: tables from spans four times finer, with noise. */
import { describe, expect, test } from "vitest";
import type { ArmDescription } from "../../src/arm/index.ts";
import { applyParameters, recordFit, untouched } from "../../src/fit/index.ts";
import { twinArm } from "../rod/twin.ts";
import { cutFiner, measure, parameter, runFit, tableOf } from "./made-tables.ts";

const plain = twinArm({ sections: 2, spans: 12, single: true, tool: 0.02 });
const lead = { name: "lead", bendingStiffness: 0, torsionStiffness: 0, massPerLength: 0.1 };
const arm: ArmDescription = {
  ...plain,
  sections: plain.sections.map((s) => ({ ...s, vertebraMass: 0, hoses: [lead] })),
  conduitLength: 0.5,
};
const truth = { ...untouched, stiffness: 0.85, stretch: 1.5 };
const finer = cutFiner(applyParameters(arm, truth), 4);
const noise = { x: 5e-4, z: 5e-4, drop: 3e-4 };

const command = tableOf(
  "command 1 (deg),command 2 (deg),towards (deg),length out (mm),x (mm),z (mm)",
  [0, 8, 16, 24].flatMap((one) => [-10, 0, 10].map((two) => [one, two, 90, 240, 0, 0])),
  "command.csv",
);
const droop = tableOf(
  "load (g),bend (deg),towards (deg),length out (mm),drop (mm)",
  [20, 40, 60].flatMap((load) => [0, 10].flatMap((bend) => [150, 240].map((out) => [load, bend, 90, out, 0]))),
  "droop.csv",
);

describe("drives that lock", () => {
  test("tip against command with droop (noise seed 7): stiffness and stretch within three spreads", { timeout: 60_000 }, () => {
    const found = runFit(arm, [measure(finer, command, noise, 7), measure(finer, droop, noise, 8)]);
    expect(found.status).toBe("converged");
    for (const name of ["stiffness", "stretch"] as const) {
      const { after, spread, state } = parameter(found, name);
      expect(state, name).toBe("fitted");
      expect(spread, name).toBeLessThan(0.3 * Math.abs(truth[name] - 1));
      expect(Math.abs(after - truth[name]), name).toBeLessThan(3 * spread);
    }
    // straight spans of 10 mm against 2.5 mm leave their own trace, so the readings scatter by more than the noise, but not by much
    for (const { name, spread } of found.groups) expect(spread / (noise as Record<string, number>)[name]!, name).toBeLessThan(3);
  });

  test("a row that no balance is found for is left out and said; the others are fitted", { timeout: 60_000 }, () => {
    const good = measure(finer, droop, noise, 8);
    // a tenth of a meganewton on every cable leaves nothing of the rod
    const absurd = tableOf("hold (N),x (mm)", [[100_000, 100]], "absurd.csv");
    const found = runFit(arm, [good, absurd]);
    const lost = found.readings.filter((r) => Number.isNaN(r.weight));
    expect(lost.map((r) => [r.table, r.row])).toEqual([[1, 2]]);
    expect(recordFit(found, [], "2031-04-17").notes.some((note) => note.includes("no balance"))).toBe(true);
    expect(found.parameters.some((p) => p.state === "fitted")).toBe(true);
  });
});
