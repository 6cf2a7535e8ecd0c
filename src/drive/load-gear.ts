/** What a cable asks of its spool and motor. @see docs/sources.md#drives-of-cables */
import type { Gear } from "../arm/index.ts";

export interface GearLoad {
  /** N m */
  readonly torque: number;
  readonly motorTorque: number;
  /** at the motor's shaft, W */
  readonly power: number;
}

/**
 * Motor and cable turn together; a gear loses the same whichever way it turns: 1 / efficiency - 1 of the cable's work. Below an efficiency
 * of one half the cable cannot drive the motor, which has to drive it out. Standing counts as drawing in.
 *
 * @param tension at the spool, N
 * @param radius m
 * @param speed of the cable, drawn in > 0, m/s
 */
export function loadGear(gear: Gear | undefined, tension: number, radius: number, speed: number): GearLoad {
  const { ratio, efficiency } = gear ?? { ratio: 1, efficiency: 1 };
  const share = speed < 0 ? backShare(efficiency) : 1 / efficiency;
  const torque = tension * radius;
  return { torque, motorTorque: (torque / ratio) * share, power: tension * speed * share };
}

/** Share of the cable's work that reaches the motor when it is paid out; below 0 where the motor has to help. */
export function backShare(efficiency: number): number {
  return 2 - 1 / efficiency;
}
