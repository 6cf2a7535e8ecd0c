/** Stiffness of one span from its backbone rods and hoses. */
import type { Rod, Section } from "./description.ts";

/**
 * Adds the stiffness of a section's rods and hoses, a unit flexible length.
 *
 * Each rod bends and twists over its effective length; a clamped rod off the axis is bent sideways when the span twists
 * (both ends clamped: 12 EI/l^3), and is lengthened by it, which softens the twist of a rod under compression and
 * stiffens that of one under tension (6/5 P rho^2 / l).
 *
 * @param turned rods turned by 90 degrees about the axis
 * @param stiffness [16] 4 x 4 over (ux, uy, uz, e), added to
 * @param twistStretch [4] coefficients of (ux, uy, e) uz^2 and of uz^4 / 2, added to
 * @see docs/sources.md#twin-joint
 */
export function addRodStiffness(section: Section, turned: boolean, stiffness: Float64Array, twistStretch: Float64Array): void {
  const ratio = section.flexible / section.effectiveLength;
  const length = section.effectiveLength;
  const add = (row: number, column: number, value: number): void => {
    stiffness[4 * row + column] = (stiffness[4 * row + column] as number) + value;
    if (row !== column) stiffness[4 * column + row] = (stiffness[4 * column + row] as number) + value;
  };
  for (const rod of section.rods) {
    const x = turned ? -rod.y : rod.x;
    const y = turned ? rod.x : rod.y;
    const { ei, gj, ea, shear } = rodSection(rod);
    const rho2 = x * x + y * y;
    add(0, 0, ratio * ei);
    add(1, 1, ratio * ei);
    const slender = (12 * ei) / (shear * length * length);
    add(2, 2, ratio * (gj + (12 * ei * rho2) / (length * length) / (1 + slender)));
    if (rod.attachment === "sliding") continue;
    add(0, 0, ratio * ea * y * y);
    add(1, 1, ratio * ea * x * x);
    add(0, 1, -ratio * ea * x * y);
    add(0, 3, ratio * ea * y);
    add(1, 3, -ratio * ea * x);
    add(3, 3, ratio * ea);
    const lengthening = 0.6 * rho2 * ratio;
    twistStretch[0] = (twistStretch[0] as number) + ea * lengthening * ratio * y;
    twistStretch[1] = (twistStretch[1] as number) - ea * lengthening * ratio * x;
    twistStretch[2] = (twistStretch[2] as number) + ea * lengthening * ratio;
    twistStretch[3] = (twistStretch[3] as number) + ea * lengthening * lengthening * ratio;
  }
  const share = section.flexible / section.pitch;
  for (const hose of section.hoses) {
    add(0, 0, share * hose.bendingStiffness);
    add(1, 1, share * hose.bendingStiffness);
    add(2, 2, share * hose.torsionStiffness);
  }
}

/** EI, GJ, EA and shear stiffness kGA of a solid round rod (Cowper's shear factor). SI. */
export function rodSection(rod: Rod): { ei: number; gj: number; ea: number; shear: number } {
  const { youngModulus: e, poissonRatio: nu } = rod.material;
  const area = (Math.PI * rod.diameter ** 2) / 4;
  const inertia = (Math.PI * rod.diameter ** 4) / 64;
  const g = e / (2 * (1 + nu));
  return { ei: e * inertia, gj: 2 * g * inertia, ea: e * area, shear: ((6 + 6 * nu) / (7 + 6 * nu)) * g * area };
}

/** Mass of all rods of a section a unit length of arm, kg/m. */
export function rodMassPerLength(section: Section): number {
  return section.rods.reduce((sum, rod) => sum + (rod.material.density * Math.PI * rod.diameter ** 2) / 4, 0);
}

/**
 * Stiffness of a joint whose vertebrae touch at the rim: it can only turn about the place that touches, and that stretches all clamped
 * rods by their distance from it. The rims themselves count as rigid, N m/rad.
 *
 * @see docs/sources.md#joint-stop
 */
export function rimStiffness(section: Section): number {
  const lever = section.outerDiameter / 2;
  let sum = 0;
  for (const rod of section.rods) if (rod.attachment === "clamped") sum += (rodSection(rod).ea / section.effectiveLength) * lever * lever;
  return sum;
}
