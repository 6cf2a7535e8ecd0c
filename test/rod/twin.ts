/** A twin-backbone arm of the kind the tool is for: pairs of 1 mm nitinol rods 8 mm apart, turned by 90 degrees from vertebra to vertebra. */
import type { ArmDescription, RodMaterial, Section } from "../../src/arm/index.ts";

export const nitinol: RodMaterial = {
  name: "nitinol",
  youngModulus: 60e9,
  poissonRatio: 0.33,
  density: 6450,
  allowedStrain: 0.04,
  fatigueStrain: 0.004,
};

export function twinArm(
  options: { sections?: number; spans?: number; single?: boolean; pretension?: number; tool?: number; cables?: number } = {},
): ArmDescription {
  const sections = options.sections ?? 8;
  const spans = options.spans ?? 12;
  const m = options.cables ?? 3;
  const stagger = (2 * Math.PI) / (sections * m);
  const section = (j: number): Section => ({
    name: `section ${j + 1}`,
    spans,
    pitch: 10e-3,
    flexible: 2.5e-3,
    effectiveLength: 2.5e-3,
    outerDiameter: 16e-3,
    channelDiameter: options.single ? 0 : 5e-3,
    vertebraMass: 1.5e-3,
    rods: options.single
      ? [{ x: 0, y: 0, diameter: 1e-3, material: nitinol, attachment: "clamped" }]
      : [-4e-3, 4e-3].map((x) => ({ x, y: 0, diameter: 1e-3, material: nitinol, attachment: "clamped" as const })),
    alternating: options.single !== true,
    hoses: [],
    cableAngles: Array.from({ length: m }, (_, k) => (2 * Math.PI * k) / m + j * stagger),
    cableRadius: 6.3e-3,
    holeDiameter: 0.8e-3,
    cable: { name: "0.6 mm strand", diameter: 0.6e-3, effectiveModulus: 73e9, breakingLoad: 220, massPerLength: 1.6e-3 },
    pretension: options.pretension ?? 8,
    jointLimit: 0.2,
  });
  return {
    name: options.single ? "single" : "twin",
    sections: Array.from({ length: sections }, (_, j) => section(j)),
    tool: { name: "sensor", mass: options.tool ?? 0.05, centre: [2e-3, -1e-3, 15e-3], diameter: 14e-3, length: 30e-3 },
    conduitLength: 1,
    cableDesignFactor: 3,
    terminationFactor: 0.85,
  };
}
