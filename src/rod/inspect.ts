/** What a solved shape means for the parts of the arm: joint angles, rod strain and stress, twist, cable travel. */
import type { ArmModel, Rod, Section } from "../arm/index.ts";
import type { RodState } from "./model.ts";
import type { RodWork } from "./work.ts";

/** One array per quantity, made once and overwritten. */
export interface Inspection {
  /** [span] bending angle of the joint, rad; 0 in the guide */
  readonly jointAngle: Float64Array;
  /** [span] greatest strain of any rod: axial, bending and the clamps' bending from twist, 1 */
  readonly strain: Float64Array;
  /** [span] greatest stress, Pa: strain x Young's modulus, along the softer line where a rod has one */
  readonly stress: Float64Array;
  /** [vertebra] twist gathered from the guide's exit, rad */
  readonly twist: Float64Array;
  /** [cable] drawn in at the drive since straight and slack, strand stretch included, m */
  readonly drawn: Float64Array;
}

export function createInspection(arm: ArmModel): Inspection {
  return {
    jointAngle: new Float64Array(arm.spans),
    strain: new Float64Array(arm.spans),
    stress: new Float64Array(arm.spans),
    twist: new Float64Array(arm.spans + 1),
    drawn: new Float64Array(arm.cables),
  };
}

/** Fills an inspection from a solved state. @see docs/sources.md#rod-strain */
export function inspectShape(arm: ArmModel, state: RodState, work: RodWork, out: Inspection): void {
  out.jointAngle.fill(0);
  out.strain.fill(0);
  out.stress.fill(0);
  out.twist.fill(0);
  const free = new Float64Array(arm.sections + 1);
  for (let i = work.firstFree; i < arm.spans; i++) {
    const j = arm.sectionOfSpan[i] as number;
    const length = work.flexible[i] as number;
    const o = 4 * i;
    const x = length * (state.strain[o] as number);
    const y = length * (state.strain[o + 1] as number);
    out.jointAngle[i] = Math.sqrt(x * x + y * y);
    out.twist[i + 1] = (out.twist[i] as number) + length * (state.strain[o + 2] as number);
    free[j] = (free[j] as number) + length;
    rodStrain(arm, j, i, state.strain, out);
  }
  let straight = 0;
  for (let j = 0; j < arm.sections; j++) {
    straight += free[j] as number;
    for (let c = arm.firstCable[j] as number; c < (arm.firstCable[j + 1] as number); c++) {
      out.drawn[c] = straight - (work.cableLength[c] as number) + (state.tension[c] as number) * (work.give[c] as number);
    }
  }
}

function rodStrain(arm: ArmModel, j: number, i: number, strain: Float64Array, out: Inspection): void {
  const section = arm.description.sections[j] as Section;
  const ratio = section.flexible / section.effectiveLength;
  const o = 4 * i;
  // strains since rest, spread over the effective length
  const x = ratio * ((strain[o] as number) - (arm.rest[o] as number));
  const y = ratio * ((strain[o + 1] as number) - (arm.rest[o + 1] as number));
  const z = ratio * ((strain[o + 2] as number) - (arm.rest[o + 2] as number));
  const e = ratio * ((strain[o + 3] as number) - (arm.rest[o + 3] as number));
  for (let k = 0; k < section.rods.length; k++) {
    const rod = section.rods[k] as Rod;
    const rx = arm.turned[i] === 1 ? -rod.y : rod.x;
    const ry = arm.turned[i] === 1 ? rod.x : rod.y;
    const rho2 = rx * rx + ry * ry;
    const axial = rod.attachment === "clamped" ? Math.abs(e + x * ry - y * rx + 0.6 * rho2 * z * z) : 0;
    const bending = (Math.sqrt(x * x + y * y) * rod.diameter) / 2;
    // both ends clamped: 6 delta / l^2 with delta = rho theta and theta = z l
    const clamps = ((6 * Math.sqrt(rho2) * Math.abs(z)) / section.effectiveLength) * (rod.diameter / 2);
    const total = axial + bending + clamps;
    if (total > (out.strain[i] as number)) out.strain[i] = total;
    const soft = 2 * ((arm.firstRod[j] as number) + k);
    const past = Math.max(0, total - (arm.soft[soft + 1] as number));
    const stress = total * rod.material.youngModulus - past * (arm.soft[soft] as number);
    if (stress > (out.stress[i] as number)) out.stress[i] = stress;
  }
}
