/** The stop of a joint: two vertebrae touch, and from there on the joint is stiff. */
import type { ArmModel } from "../arm/index.ts";
import { local } from "./span-terms.ts";
import type { RodWork } from "./work.ts";

/** Share of the greatest angle over which a stop takes hold: its moment grows with the square of what is over, then in proportion to it. */
export const onsetOfStop = 0.02;

/**
 * Adds energy, gradient and second derivative of the stop of span i. The moment is smooth in the angle, so that Newton's steps stay quadratic;
 * up to the greatest angle there is none.
 *
 * @param x @param y bending strains, rad/m
 * @param angle of the joint, about both axes together, rad, above the greatest
 * @param work the span's terms stand at `local`, in scratch
 */
export function addStop(arm: ArmModel, i: number, x: number, y: number, angle: number, work: RodWork): void {
  const w = work.scratch;
  const greatest = arm.stop[2 * i] as number;
  const stiffness = arm.stop[2 * i + 1] as number;
  const onset = onsetOfStop * greatest;
  const over = angle - greatest;
  const whole = over > onset;
  const moment = whole ? stiffness * (over - 0.5 * onset) : (0.5 * stiffness * over * over) / onset;
  const slope = whole ? stiffness : (stiffness * over) / onset;
  const from = over - 0.5 * onset;
  work.energy += whole ? stiffness * (0.5 * from * from + (onset * onset) / 24) : (stiffness * over * over * over) / (6 * onset);
  // along the bend and across it, in strains
  const l = work.flexible[i] as number;
  const size = angle / l;
  const nx = x / size;
  const ny = y / size;
  const along = slope * l * l;
  const across = (moment / angle) * l * l;
  w[local] = (w[local] as number) + moment * l * nx;
  w[local + 1] = (w[local + 1] as number) + moment * l * ny;
  w[local + 4] = (w[local + 4] as number) + along * nx * nx + across * ny * ny;
  w[local + 9] = (w[local + 9] as number) + along * ny * ny + across * nx * nx;
  const mixed = (along - across) * nx * ny;
  w[local + 5] = (w[local + 5] as number) + mixed;
  w[local + 8] = (w[local + 8] as number) + mixed;
}
