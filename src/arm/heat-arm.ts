/** The same arm at another temperature: longer vertebrae, rods of another rest length, another end of their straight line. */
import { factorLu, solveLu } from "../math/index.ts";
import type { Rod, Section } from "./description.ts";
import type { ArmModel } from "./model.ts";
import { rodSection } from "./rod-stiffness.ts";

/**
 * A copy of the arm, warmer by a difference. Stiffness, masses and the cables' circle stay as they are; what rods of unlike
 * expansion in one span do to each other is in their common rest strain, not in the strain of each.
 *
 * @param by K, below 0 when it is colder than where it was set up
 * @see docs/sources.md#expansion
 */
export function heatArm(arm: ArmModel, by: number): ArmModel {
  const { sections } = arm.description;
  const warm: ArmModel = {
    ...arm,
    lead: arm.lead.slice(),
    tail: arm.tail.slice(),
    along: arm.along.slice(),
    rest: arm.rest.slice(),
    soft: arm.soft.slice(),
  };
  const rests = sections.map((section) => [restStrain(section, false, by), restStrain(section, true, by)] as const);
  for (let i = 0; i < arm.spans; i++) {
    const j = arm.sectionOfSpan[i] as number;
    const rigid = 1 + by * vertebraExpansion(sections[j] as Section);
    warm.lead[i] = (arm.lead[i] as number) * rigid;
    warm.tail[i] = (arm.tail[i] as number) * rigid;
    const rest = (rests[j] as (typeof rests)[number])[arm.turned[i] as 0 | 1];
    for (const [k, at] of [0, 1, 3].entries()) warm.rest[4 * i + at] = (arm.rest[4 * i + at] as number) + (rest[k] as number);
    const length = (warm.lead[i] as number) + (arm.flexible[i] as number) + (warm.tail[i] as number);
    warm.along[i + 1] = (warm.along[i] as number) + length;
  }
  sections
    .flatMap((section) => section.rods)
    .forEach(({ material }, r) => {
      if (material.linearStrain !== undefined) warm.soft[2 * r + 1] = linearStrainAt(material, by);
    });
  return warm;
}

/** Strain at which a material leaves its straight line, warmer by a difference, 1; +Infinity when it does not, 0 when it has none left. */
export function linearStrainAt({ linearStrain, plateauRise, youngModulus }: Rod["material"], by: number): number {
  if (linearStrain === undefined) return Number.POSITIVE_INFINITY;
  return Math.max(0, linearStrain + ((plateauRise ?? 0) * by) / youngModulus);
}

function vertebraExpansion(section: Section): number {
  return section.vertebraExpansion ?? section.rods[0]?.material.expansion ?? 0;
}

/**
 * Strains (bending about x and y, axial) at which a span's clamped rods, each longer by its own expansion over its effective length
 * while the vertebrae that hold it grow too, have no push, pull or moment between them.
 */
function restStrain(section: Section, turned: boolean, by: number): Float64Array {
  const ratio = section.flexible / section.effectiveLength;
  const matrix = new Float64Array(9);
  const right = new Float64Array(3);
  for (const rod of section.rods) {
    const { ei, ea } = rodSection(rod);
    matrix[0] = (matrix[0] as number) + ratio * ei;
    matrix[4] = (matrix[4] as number) + ratio * ei;
    if (rod.attachment === "sliding") continue;
    // stretch a unit of (ux, uy, e), as in the stiffness
    const lever = turned ? [rod.x, rod.y, 1] : [rod.y, -rod.x, 1];
    const growth = by * ((rod.material.expansion ?? 0) - vertebraExpansion(section) * (1 - ratio));
    for (let r = 0; r < 3; r++) {
      right[r] = (right[r] as number) + ea * growth * (lever[r] as number);
      for (let c = 0; c < 3; c++)
        matrix[3 * r + c] = (matrix[3 * r + c] as number) + ratio * ea * (lever[r] as number) * (lever[c] as number);
    }
  }
  const pivots = new Int32Array(3);
  if (factorLu(matrix, 3, 3, pivots)) solveLu(matrix, 3, 3, pivots, right);
  return right;
}
