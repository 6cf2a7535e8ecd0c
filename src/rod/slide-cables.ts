/**
 * Moves the friction's history on: from the shape at which it was moved on last to the one that was just solved, each cable has
 * slid through each hole by some length, towards the drive or away from it.
 */
import { type ArmModel, cablesRub } from "../arm/index.ts";
import type { RodState } from "./model.ts";
import type { RodWork } from "./work.ts";

/**
 * Sliding over which a hole's friction turns over from one direction to the other, m. A cable that sticks gives by its own stretch between
 * two holes: some micrometres; more than that keeps what stands still from flickering.
 */
export const slideToGrip = 1e-4;

/**
 * @param state as solved last; `grip` and `run` are overwritten. Solve again with the same commands to see what the new grips do.
 * @param work as that solve left it
 * @returns greatest change of a grip, 0 to 2
 */
export function slideCables(arm: ArmModel, state: RodState, work: RodWork): number {
  const { cableLine, share, firstFree } = work;
  const { grip, run, tension } = state;
  const n = arm.cables;
  if (!cablesRub(arm)) return 0;
  let greatest = 0;
  for (let c = 0; c < n; c++) {
    const end = arm.firstSpan[(arm.sectionOfCable[c] as number) + 1] as number;
    const stretch = (tension[c] as number) / (arm.cableEA[c] as number);
    let beyond = 0;
    for (let i = end - 1; i >= 0; i--) {
      const at = i * n + c;
      const free = i >= firstFree;
      const hidden = (arm.flexible[i] as number) - (free ? (work.flexible[i] as number) : 0);
      const length = free ? 1 / (cableLine[4 * at + 3] as number) : 0;
      const pitch = (arm.lead[i] as number) + (arm.flexible[i] as number) + (arm.tail[i] as number);
      beyond += hidden + length - stretch * (free ? (share[at] as number) : 1) * pitch;
      const slid = ((run[at] as number) - beyond) / slideToGrip;
      run[at] = beyond;
      greatest = Math.max(greatest, moveGrip(grip, at, slid));
      // the conduit slides as the cable does where it enters
      if (i === 0) greatest = Math.max(greatest, moveGrip(grip, n * arm.spans + c, slid));
    }
  }
  return greatest;
}

/** @returns how far it moved */
function moveGrip(grip: Float64Array, at: number, slid: number): number {
  const before = grip[at] as number;
  const after = Math.min(1, Math.max(-1, before + slid));
  grip[at] = after;
  return Math.abs(after - before);
}
