/** Rods whose cables do nothing (a modulus of 1 Pa), so that closed forms of beams and columns hold. */
import { type ArmDescription, type ArmModel, createArm } from "../../src/arm/index.ts";
import { type PlainRod, plainRod } from "../rod/arms.ts";

export interface LooseRod extends PlainRod {
  allowedStrain?: number;
  toolMass?: number;
}

export function looseRod(rod: LooseRod): ArmModel {
  const description = plainRod(rod);
  const changed: ArmDescription = {
    ...description,
    tool: { ...description.tool, mass: rod.toolMass ?? 0 },
    sections: description.sections.map((section) => ({
      ...section,
      cable: { ...section.cable, effectiveModulus: 1, breakingLoad: 1e9 },
      rods: section.rods.map((r) => ({ ...r, material: { ...r.material, allowedStrain: rod.allowedStrain ?? 1 } })),
    })),
  };
  return createArm(changed, { lock: ["axial"] });
}

/** half the rod's diameter, m */
export const outerFibre = 0.5e-3;
