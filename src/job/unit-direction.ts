/** A direction as written, three numbers of any length, as a unit vector. */
import type { OpenFault } from "./convert-arm.ts";
import type { PathStep } from "./yaml-text.ts";

type Vector = readonly [number, number, number];

export function unit(direction: Vector, at: readonly PathStep[], faults: OpenFault[]): Vector {
  const largest = Math.max(...direction.map(Math.abs));
  if (!(largest > 0)) {
    faults.push({
      code: "job.direction",
      at,
      problem: "is 0, 0, 0 and points nowhere.",
      hint: "Give three numbers, not all 0, as [0, 0, -1].",
    });
    return [0, 0, 1];
  }
  const scaled = direction.map((value) => value / largest);
  const length = Math.sqrt(scaled.reduce((sum, value) => sum + value * value, 0));
  return scaled.map((value) => value / length) as unknown as Vector;
}
