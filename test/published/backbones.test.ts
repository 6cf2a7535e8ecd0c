/** One backbone against two, against beams and shafts. */
import { expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { holdAt } from "../../src/capacity/index.ts";
import { backbonesOf, fullLength, plainRequest } from "../capacity/run.ts";
import { nitinol, twinArm } from "../rod/twin.ts";

// cables that do nothing, no weight but what is hung on: a straight level arm
const plain = twinArm({ sections: 1, spans: 48, pretension: 0, tool: 0 });
const loose = {
  ...plain,
  sections: plain.sections.map((s) => ({
    ...s,
    vertebraMass: 0,
    cable: { ...s.cable, effectiveModulus: 1, massPerLength: 0 },
    rods: s.rods.map((r) => ({ ...r, material: { ...r.material, density: 1e-9 } })),
  })),
};
const arm = createArm(loose);
const hung = 1e-3;
const [lever, force] = [0.02, hung * 9.80665];
const forces = [{ vertebra: arm.spans, force: [0, 0, -force] as const, at: [0, lever, loose.tool.length] as const }];
const rows = backbonesOf(loose, [holdAt(arm, plainRequest(arm, { forces }), fullLength(arm))]);
const [two, thick, stiff] = rows;
const bending = (nitinol.youngModulus * Math.PI * 1e-3 ** 4) / 64;
const hinge = 2.5e-3;

test("1 g hung 20 mm aside: a rod of 1 mm twists by 48 T l / GJ (St Venant)", () => {
  const gj = (bending * 2) / (2 * 1.33);
  const truth = (48 * force * lever * hinge) / gj;
  expect(Math.abs(Math.abs(thick?.twist as number) / truth - 1)).toBeLessThan(0.02);
});

test("two rods 8 mm apart twist by 48 T / 55 N m/rad, less than a fiftieth (12 EI rho^2/l^3 with shear, and the rods' own GJ)", () => {
  // 1.8 of the rods' own twist and 72.5/(1 + 0.36): 3-figure numbers worked by hand
  const truth = (48 * force * lever) / 55;
  expect(Math.abs(Math.abs(two?.twist as number) / truth - 1)).toBeLessThan(0.03);
  expect(Math.abs(two?.twist as number)).toBeLessThan(Math.abs(thick?.twist as number) / 50);
});

test("the rod as stiff bends as the pair does: sum of the hinges' turns, each way by every other hinge", () => {
  // hinges that give about one axis with 2 EI, and hardly about the other: every second one bends; one rod gives half as much at every one
  expect(Math.abs((stiff?.sag as number) / (two?.sag as number) - 1)).toBeLessThan(0.05);
  const stiffer = 2 * bending * 2;
  let droop = 0;
  for (let k = 0; k < 48; k++) {
    const reach = fullLength(arm) - (k + 0.5) * 10e-3;
    droop += (force * reach * reach * hinge) / stiffer;
  }
  expect(Math.abs((stiff?.sag as number) / droop - 1)).toBeLessThan(0.05);
  // and yet it twists: GJ goes as its EI
  expect(Math.abs(stiff?.twist as number)).toBeGreaterThan(10 * Math.abs(two?.twist as number));
});
