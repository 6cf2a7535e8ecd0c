/** How the tip gives, drives locked, against beams and springs. */
import { describe, expect, test } from "vitest";
import { type ArmDescription, createArm } from "../../src/arm/index.ts";
import { holdAt, type TipStiffness } from "../../src/capacity/index.ts";
import { cableStiffness } from "../../src/rod/index.ts";
import { looseRod } from "../capacity/rods.ts";
import { fullLength, plainRequest, stiffnessOf } from "../capacity/run.ts";
import { plainRod } from "../rod/arms.ts";

/** Steel rod of 6 mm, 0.5 m, E = 200 GPa, G = 79.3 GPa, cables that do nothing. */
function steelRod(spans: number, toolLength = 0): ArmDescription {
  const { description } = looseRod({ length: 0.5, spans, ei: 1 });
  const material = {
    name: "steel",
    youngModulus: 200e9,
    poissonRatio: 200 / (2 * 79.3) - 1,
    density: 7850,
    allowedStrain: 1,
    fatigueStrain: 1,
  };
  return {
    ...description,
    tool: { ...description.tool, length: toolLength },
    sections: description.sections.map((s) => ({ ...s, rods: s.rods.map((r) => ({ ...r, diameter: 6e-3, material })) })),
  };
}

function stiffness(description: ArmDescription): TipStiffness {
  const arm = createArm(description);
  return stiffnessOf(arm, holdAt(arm, plainRequest(arm), fullLength(arm))) as TipStiffness;
}

const ei = 200e9 * 63.617251e-12;
const gj = 79.3e9 * 2 * 63.617251e-12;
const ea = (200e9 * Math.PI * 6e-3 ** 2) / 4;

describe("steel rod d = 6 mm, L = 0.5 m (Roark, tables 8.1 and 10.1; numbers recomputed)", () => {
  const error = [20, 40].map((spans) => (5 * stiffness(steelRod(spans)).acrossMost.give) / 16.373965e-3 - 1);

  test("5 N across its end: P L^3 / 3 EI = 16.374 mm, second order in the span", () => {
    expect(Math.abs(error[1] as number)).toBeLessThan(1e-3);
    expect((error[0] as number) / (error[1] as number)).toBeGreaterThan(3.8);
    expect((error[0] as number) / (error[1] as number)).toBeLessThan(4.2);
  });

  const found = stiffness(steelRod(40));
  const at = (r: number, c: number): number => found.compliance[6 * r + c] as number;

  test("slope P L^2 / 2 EI = 2.8144773 degrees; 0.15 N m about the axis twists by T L / GJ = 0.42589821 degrees", () => {
    // a force along y turns about -x
    expect(Math.abs((5 * -at(0, 4) * 180) / Math.PI - 2.8144773)).toBeLessThan(1e-6);
    expect(Math.abs((0.15 * at(2, 2) * 180) / Math.PI - 0.42589821)).toBeLessThan(1e-7);
  });

  test("all 36 entries: bending, twist and pull of a rod, nothing else; reciprocal", () => {
    const l = 0.5;
    const truth = new Float64Array(36);
    truth[0] = truth[7] = l / ei;
    truth[14] = l / gj;
    truth[21] = truth[28] = l ** 3 / (3 * ei);
    truth[4] = truth[24] = -(l ** 2) / (2 * ei);
    truth[9] = truth[19] = l ** 2 / (2 * ei);
    truth[35] = l / ea;
    for (let r = 0; r < 6; r++) {
      for (let c = 0; c < 6; c++) {
        const scale = Math.sqrt((truth[7 * r] as number) * (truth[7 * c] as number));
        // 1/(4 n^2) relative in the bending give
        expect(Math.abs(at(r, c) - (truth[6 * r + c] as number))).toBeLessThan(3e-4 * scale);
      }
    }
  });

  test("at the end of a tool that stands out stiff by b: L^3/3EI + L^2 b/EI + L b^2/EI", () => {
    const b = 0.1;
    const l = 0.5;
    const truth = (l ** 3 / 3 + l ** 2 * b + l * b ** 2) / ei;
    expect(Math.abs(stiffness(steelRod(80, b)).acrossMost.give / truth - 1)).toBeLessThan(1e-4);
  });
});

describe("cables locked at their drives, beside a rod on the axis (springs in parallel; strand, conduit and drive in series)", () => {
  const [length, spans, r] = [0.3, 60, 8e-3];
  const plain = plainRod({ length, spans, ei: 3e-3, cables: [[0, 1, 2, 3].map((k) => (k * Math.PI) / 2)], pretension: 1e-3 });
  const description: ArmDescription = {
    ...plain,
    conduitLength: 0.8,
    conduitStiffness: 5e3,
    driveStiffness: 2e4,
    sections: plain.sections.map((s) => ({ ...s, holeDiameter: 0.8e-3, cable: { ...s.cable, diameter: 0.5e-3, effectiveModulus: 73e9 } })),
  };
  const strand = (73e9 * Math.PI * 0.5e-3 ** 2) / 4;
  const gives = { strandInArm: 0.3 / strand, strandInConduit: 0.8 / strand, conduit: 0.8 / 5e3, drive: 1 / 2e4 };
  const k = 1 / (gives.strandInArm + gives.strandInConduit + gives.conduit + gives.drive);
  const rodEA = ((3e-3 * 64) / (Math.PI * 1e-3 ** 4)) * ((Math.PI * 1e-3 ** 2) / 4);
  const found = stiffness(description);
  const at = (row: number, c: number): number => found.compliance[6 * row + c] as number;

  test("along the axis: 1 / (EA / L + 4 k), and each part's share of the give", () => {
    const arm = createArm(description);
    expect(cableStiffness(arm, 0)).toBeCloseTo(k, 6);
    const give = 1 / (rodEA / length + 4 * k);
    // the pretension of 4 mN in all shortens the rod by 3e-9 of itself
    expect(Math.abs(found.along.give / give - 1)).toBeLessThan(1e-7);
    expect(Math.abs(found.along.backbone / (give ** 2 * (rodEA / length)) - 1)).toBeLessThan(1e-6);
    for (const part of ["strandInArm", "strandInConduit", "conduit", "drive"] as const) {
      expect(Math.abs(found.along[part] / (4 * (give * k) ** 2 * gives[part]) - 1)).toBeLessThan(1e-6);
    }
  });

  test("a moment across: 1 / (EI / L + 2 k r^2); a force across: the turn of the section alone is held back", () => {
    const bending = 3e-3 / length + 2 * k * r * r;
    expect(Math.abs(at(0, 0) * bending - 1)).toBeLessThan(1e-6);
    // the rod alone would give ten times as much
    expect(at(0, 0)).toBeLessThan((0.3 * length) / 3e-3);
    // under a force at the end the cables see the whole turn alone: the unit-load theorem with the turn L^2/2EI held back by 2 k r^2
    const free = length ** 3 / (3 * 3e-3);
    const turn = length ** 2 / (2 * 3e-3);
    const give = free - turn ** 2 / (length / 3e-3 + 1 / (2 * k * r * r));
    // the span's own error, 1/(4 n^2) of the free give, which is four times what is left
    expect(Math.abs(found.acrossMost.give / give - 1)).toBeLessThan(4e-4);
  });
});
