/** Whether cables rub anywhere, in the holes or in their conduits. */
import type { ArmModel } from "./model.ts";

export function cablesRub(arm: ArmModel): boolean {
  return (arm.holeFriction[2] as number) > 0 || (arm.conduitFriction[2] as number) * arm.conduitTurn > 0;
}
