/** Tables made by the rigid-body engine (three hinges in a point a span, tendons, gravity), with noise: the fit has no part in it. */
import { expect, test } from "vitest";
import { type ArmDescription, createArm } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import { applyParameters, untouched } from "../../src/fit/index.ts";
import { settleInEngine } from "../rod/engine.ts";
import { nitinol, twinArm } from "../rod/twin.ts";
import { bench, normal, parameter, runFit, tableOf } from "./made-tables.ts";

/** A rod on the axis and four thinner ones about it that slide in the vertebrae: they resist twist by the cube of what they bend over. */
const places = [
  [0, 0],
  [4e-3, 0],
  [-4e-3, 0],
  [0, 4e-3],
  [0, -4e-3],
] as const;
const whole = twinArm({ sections: 1, spans: 8, single: true, tool: 0.02 });
const arm: ArmDescription = {
  ...whole,
  sections: whole.sections.map((s) => ({
    ...s,
    effectiveLength: 3e-3,
    rods: places.map(([x, y], k) => ({
      x,
      y,
      diameter: k === 0 ? 1e-3 : 0.6e-3,
      material: nitinol,
      attachment: k === 0 ? ("clamped" as const) : ("sliding" as const),
    })),
  })),
};
const truth = { ...untouched, stiffness: 0.85, "effective-length": 0.5e-3 };
const noise = { height: 2e-4, twist: 0.1 * (Math.PI / 180) };

/** mass (kg), how far it hangs to the left (m) */
const hung = [
  [0, 0],
  [0.1, 0],
  [0.2, 0],
  [0.3, 0],
  [0.1, 0.03],
  [0.2, 0.03],
  [0.3, 0.03],
  [0.15, 0.05],
  [0.25, 0.05],
] as const;

test("droop and twist under masses hung aside, noise seed 11: modulus and effective length, both at once", {
  timeout: 60_000,
}, async () => {
  const random = createRandom(11);
  const tool = arm.tool;
  const rows: number[][] = [];
  for (const [load, side] of hung) {
    // the engine's arm stands along z with its y up; left, seen from its base, is its x: the hung mass becomes part of the tool
    const mass = tool.mass + load;
    const at = [side, 0, tool.length];
    const centre = tool.centre.map((c, k) => (tool.mass * c + load * (at[k] as number)) / mass) as [number, number, number];
    const real = createArm({ ...applyParameters(arm, truth), tool: { ...tool, mass, centre } }, { lock: ["axial"] });
    const settled = await settleInEngine(real, { gravity: [0, -9.80665, 0], forces: [] }, [2, 2, 2], 12);
    expect(settled.residual).toBeLessThan(1e-5);
    const tip = 3 * real.spans;
    const height = (settled.place[tip + 1] as number) + (settled.tipTurn[5] as number) * tool.length;
    const twist = settled.hinge.reduce((sum, angle, k) => sum + (k % 3 === 2 ? angle : 0), 0);
    const read = [height + noise.height * normal(random), twist + noise.twist * normal(random)];
    rows.push([1e3 * load, 1e3 * side, 2, 1e3 * (read[0] as number), (180 / Math.PI) * (read[1] as number)]);
  }
  const found = runFit(arm, [tableOf("load (g),side (mm),hold (N),height (mm),twist (deg)", rows)], bench);
  expect(found.status).toBe("converged");
  for (const name of ["stiffness", "effective-length"] as const) {
    const { after, spread, state } = parameter(found, name);
    expect(state).toBe("fitted");
    // it is told at all, and lies where it was put: within three spreads (1 in 370)
    expect(spread).toBeLessThan(0.5 * Math.abs(truth[name] - untouched[name]));
    expect(Math.abs(after - truth[name])).toBeLessThan(3 * spread);
  }
  expect(parameter(found, "stretch").untold?.why).toBe("unseen");
});
