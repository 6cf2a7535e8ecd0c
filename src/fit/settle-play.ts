/** Joints with play: each hangs over to the side its rod pushes it to, by half of what it turns freely. */
import type { ArmModel } from "../arm/index.ts";
import type { RodState, SolveStatus } from "../rod/index.ts";
import { arrived } from "./follow-rub.ts";

/** Half of each section's play across the arm, rad. */
function halfPlay(arm: ArmModel, span: number): number {
  return (arm.description.sections[arm.sectionOfSpan[span] as number]?.play?.bend.nominal ?? 0) / 2;
}

export function hasPlay(arm: ArmModel): boolean {
  return arm.description.sections.some(({ play }) => (play?.bend.nominal ?? 0) > 0);
}

/** Of the greatest moment: a joint with much less than this hangs over by less than all its play. */
const softness = 0.02;
/** rad */
const atRest = 1e-7;
const mostTries = 20;

/**
 * A joint with play is a spring that pushes only once its play is used up: the same spring at rest aside. Which side follows from the shape,
 * so the shape is solved again until no joint changes its mind.
 *
 * @param solve with the arm it is given, into `state`
 */
export function settlePlay(arm: ArmModel, state: RodState, solve: (arm: ArmModel) => SolveStatus): SolveStatus {
  let status = solve(arm);
  if (!hasPlay(arm)) return status;
  let rest = arm.rest;
  for (let k = 0; k < mostTries && arrived(status); k++) {
    const next = hangOver(arm, rest, state);
    const moved = next.reduce((most, v, i) => Math.max(most, Math.abs(v - (rest[i] as number)) * (arm.flexible[i >> 2] as number)), 0);
    if (moved < atRest) return status;
    rest = next;
    status = solve({ ...arm, rest });
  }
  return arrived(status) ? "not-converged" : status;
}

/** [span, 4] strains at rest with every joint over to the side of its moment. */
function hangOver(arm: ArmModel, rest: Float64Array, state: RodState): Float64Array {
  const n = arm.spans;
  const moment = new Float64Array(2 * n);
  let greatest = 0;
  for (let i = 0; i < n; i++) {
    for (let r = 0; r < 2; r++) {
      let sum = 0;
      for (let k = 0; k < 4; k++) {
        sum += (arm.stiffness[16 * i + 4 * r + k] as number) * ((state.strain[4 * i + k] as number) - (rest[4 * i + k] as number));
      }
      moment[2 * i + r] = sum;
    }
    greatest = Math.max(greatest, size(moment, i));
  }
  const next = arm.rest.slice();
  for (let i = 0; i < n; i++) {
    const over = halfPlay(arm, i) / (arm.flexible[i] as number) / (Math.sqrt(size(moment, i) ** 2 + (softness * greatest) ** 2) || 1);
    for (let r = 0; r < 2; r++) next[4 * i + r] = (next[4 * i + r] as number) + over * (moment[2 * i + r] as number);
  }
  return next;
}

function size(moment: Float64Array, i: number): number {
  return Math.sqrt((moment[2 * i] as number) ** 2 + (moment[2 * i + 1] as number) ** 2);
}
