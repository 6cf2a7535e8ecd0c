/** How a cable gives between its drive and its end when nothing rubs. */
import type { ArmModel } from "../arm/index.ts";

/** Stiffness of each cable from its drive to its end, N/m: the strand over the arm and the conduit. */
export function cableStiffness(arm: ArmModel, cable: number): number {
  const end = arm.firstSpan[(arm.sectionOfCable[cable] as number) + 1] as number;
  return (arm.cableEA[cable] as number) / ((arm.along[end] as number) + arm.description.conduitLength);
}
