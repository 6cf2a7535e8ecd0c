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
 * Motor and cable turn together: what the gear loses comes out of whoever drives. Standing counts as drawing in.
 *
 * @param tension at the spool, N
 * @param radius m
 * @param speed of the cable, drawn in > 0, m/s
 */
export function loadGear(gear: Gear | undefined, tension: number, radius: number, speed: number): GearLoad {
  const { ratio, efficiency } = gear ?? { ratio: 1, efficiency: 1 };
  const share = speed < 0 ? efficiency : 1 / efficiency;
  const torque = tension * radius;
  return { torque, motorTorque: (torque / ratio) * share, power: tension * speed * share };
}
