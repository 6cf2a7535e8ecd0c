import { describe, expect, test } from "vitest";
import { type ArmDescription, createArm } from "../../src/arm/index.ts";
import type { InsertionModel } from "../../src/insertion/index.ts";
import type { Body } from "../../src/space/index.ts";
import { identity, insertionAlong, spaceOf, straightRoute } from "../insertion/made-route.ts";
import { twinArm } from "../rod/twin.ts";
import { faultsOf, indicesOf, runFaults } from "./made-faults.ts";

const arm = twinArm({ sections: 2, spans: 8 });
const g = 9.81;

function withModulus(of: ArmDescription, youngModulus: number): ArmDescription {
  const sections = of.sections.map((section) => ({
    ...section,
    rods: section.rods.map((rod) => ({ ...rod, material: { ...rod.material, youngModulus } })),
  }));
  return { ...of, sections };
}

function straightBore(radius: number): Body {
  const end = (z: number) => ({ at: [0, 0, z] as const, radius, bend: 0 });
  return { name: "bore", placement: identity, touch: { kind: "free" }, shape: { kind: "bore", points: [end(0.1), end(-0.5)] } };
}

describe("a limp arm in a straight level bore", () => {
  const friction = 0.25;
  // rods so stiff that it takes nothing to bend its sag straight
  const stiff = withModulus(arm, 6e12);
  const model: InsertionModel = {
    ...insertionAlong(stiff, straightRoute(0.14), [g, 0, 0], [0]),
    wallFriction: friction,
  };
  const space = spaceOf(straightBore(8.1e-3));
  // a guide so long that what bends it straight presses it by nothing
  const faults = faultsOf(model, space, 10);
  const { result } = runFaults(faults, space, indicesOf(faults, "released"));

  test("is drawn out with mu m g (Coulomb)", () => {
    const { mass, description } = createArm(arm);
    const weight = g * (mass.reduce((sum, m) => sum + m, 0) + description.tool.mass);
    const way = result.findings[0]?.holding.at(-1);
    expect(way?.outcome).toBe("out");
    // a rim lies on two of its twelve corners at the most, 15 degrees to either side: they press 3.5 % more than they carry
    expect(way?.pull).toBeGreaterThan(0.999 * friction * weight);
    expect(way?.pull).toBeLessThan(1.04 * friction * weight);
  });
});
