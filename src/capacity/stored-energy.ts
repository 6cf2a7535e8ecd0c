/** Energy that an arm holds while it stands, and how far down it reaches: what is let go, and where to, when something fails. */
import type { ArmModel } from "../arm/index.ts";
import { cableStiffness, type RodWork } from "../rod/index.ts";
import type { CapacityWork, Hold } from "./model.ts";

/** Energy of stretched cables, of conduits and drives that give under them, J: half of tension squared over stiffness. */
export function storedEnergy(arm: ArmModel, tension: ArrayLike<number>): number {
  let sum = 0;
  for (let c = 0; c < arm.cables; c++) sum += (tension[c] as number) ** 2 / (2 * cableStiffness(arm, c));
  return sum;
}

/**
 * Energy of bent, twisted and shortened rods and hoses, J.
 *
 * @param strain [span, 4] as a solve left it, and `work` with it
 */
export function backboneEnergy(arm: ArmModel, strain: Float64Array, work: RodWork): number {
  let sum = 0;
  for (let i = work.firstFree; i < arm.spans; i++) {
    const [x, y, z, e] = [0, 1, 2, 3].map((k) => (strain[4 * i + k] as number) - (arm.rest[4 * i + k] as number)) as [
      number,
      number,
      number,
      number,
    ];
    const v = [x, y, z, e];
    let energy = 0;
    for (let r = 0; r < 4; r++)
      for (let c = 0; c < 4; c++) energy += ((v[r] as number) * (arm.stiffness[16 * i + 4 * r + c] as number) * (v[c] as number)) / 2;
    // rods beside the axis are lengthened by twist
    const [bx, by, be, q] = [0, 1, 2, 3].map((k) => arm.twistStretch[4 * i + k]) as [number, number, number, number];
    energy += (bx * x + by * y + be * e) * z * z + (q * z ** 4) / 2;
    sum += (work.flexible[i] as number) * energy;
  }
  return sum;
}

/** How far the arm's lowest place, vertebra or tool point, lies along gravity from the guide's exit, m; 0 without gravity. */
export function lowestPlace(arm: ArmModel, hold: Hold, work: CapacityWork): number {
  const { frame } = work.rod;
  const { base, exit } = hold.stance;
  const g = Math.sqrt(hold.gravity[0] ** 2 + hold.gravity[1] ** 2 + hold.gravity[2] ** 2);
  if (g === 0) return 0;
  let lowest = 0;
  for (let n = work.rod.firstFree + 1; n <= arm.spans + 1; n++) {
    let down = 0;
    for (let k = 0; k < 3; k++) {
      const place = n > arm.spans ? (work.point[k] as number) : (frame[12 * n + 9 + k] as number);
      down += (place - (base[9 + k] as number) - exit * (base[3 * k + 2] as number)) * (hold.gravity[k] as number);
    }
    lowest = Math.max(lowest, down / g);
  }
  return lowest;
}
