/** How a cable gives between its drive and its end when nothing rubs. */
import type { ArmModel } from "../arm/index.ts";

/** Stiffness of a cable from its drive to its end, N/m: strand over arm and conduit, the conduit that it shortens, and the drive, in series. */
export function cableStiffness(arm: ArmModel, cable: number): number {
  const end = arm.firstSpan[(arm.sectionOfCable[cable] as number) + 1] as number;
  const { conduitLength, conduitStiffness = Number.POSITIVE_INFINITY, driveStiffness = Number.POSITIVE_INFINITY } = arm.description;
  const strand = ((arm.along[end] as number) + conduitLength) / (arm.cableEA[cable] as number);
  return 1 / (strand + conduitLength / conduitStiffness + 1 / driveStiffness);
}

/** What a cable gives a unit tension, m/N, part by part; the sum is one over its stiffness. */
export interface CableGive {
  readonly strandInArm: number;
  readonly strandInConduit: number;
  readonly conduit: number;
  readonly drive: number;
}

export function cableGive(arm: ArmModel, cable: number): CableGive {
  const end = arm.firstSpan[(arm.sectionOfCable[cable] as number) + 1] as number;
  const { conduitLength, conduitStiffness = Number.POSITIVE_INFINITY, driveStiffness = Number.POSITIVE_INFINITY } = arm.description;
  const ea = arm.cableEA[cable] as number;
  return {
    strandInArm: (arm.along[end] as number) / ea,
    strandInConduit: conduitLength / ea,
    conduit: conduitLength / conduitStiffness,
    drive: 1 / driveStiffness,
  };
}

/**
 * What strand, conduit and drive give outside the arm a unit tension at its entry, m/N.
 *
 * @param rub grip times coefficient times turning of the conduit: the tension grows to exp(rub) at the drive
 */
export function rubbedGive(arm: ArmModel, cable: number, rub: number): number {
  const { conduitLength, conduitStiffness = Number.POSITIVE_INFINITY, driveStiffness = Number.POSITIVE_INFINITY } = arm.description;
  const mean = Math.abs(rub) < 1e-6 ? 1 + rub / 2 : Math.expm1(rub) / rub;
  return (conduitLength / (arm.cableEA[cable] as number) + conduitLength / conduitStiffness) * mean + Math.exp(rub) / driveStiffness;
}
