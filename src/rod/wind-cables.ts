/** Cables that wind about the arm's axis between a pack that stands still and the base that rolls. */
import type { ArmModel } from "../arm/index.ts";
import { cableStiffness } from "./cable-stiffness.ts";

/** What a roll does to the cables. */
export interface Wound {
  /** the most that a cable's way grows by, m; its drive lets out as much */
  readonly longest: number;
  /** moment that the wound cables turn the base back with, N m */
  readonly moment: number;
  /** tension that the roll would add to the worst cable with its drive locked, N */
  readonly locked: number;
}

/**
 * Each cable lies on a helix of the radius of its hole; friction where it winds is left out.
 *
 * @param roll from where the cables are straight, rad
 * @param length over which they wind, m, > 0
 * @param tension [cable] N
 * @param longer [cable] written: how much longer each one's way is, m
 * @see docs/sources.md#winding
 */
export function windCables(arm: ArmModel, roll: number, length: number, tension: Float64Array, longer: Float64Array): Wound {
  let longest = 0;
  let moment = 0;
  let locked = 0;
  for (let c = 0; c < arm.cables; c++) {
    const radius = Math.sqrt((arm.cableX[c] as number) ** 2 + (arm.cableY[c] as number) ** 2);
    const around = radius * roll;
    const way = Math.sqrt(length * length + around * around);
    const more = (around * around) / (way + length);
    longer[c] = more;
    longest = Math.max(longest, more);
    // the slope of its way by the roll
    moment += ((tension[c] as number) * radius * Math.abs(around)) / way;
    locked = Math.max(locked, more * cableStiffness(arm, c));
  }
  return { longest, moment, locked };
}
