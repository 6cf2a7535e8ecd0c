/** Cold starts that fail at once are led there: the load, and what the drives are asked, grow from nothing. */
import type { ArmModel } from "../arm/index.ts";
import type { RodState, SolveReport } from "./model.ts";
import type { RodWork } from "./work.ts";

const firstStep = 0.25;
const leastStep = 1 / 128;
/** rad: a shape on the way need only be near its balance */
const looseTolerance = 1e-4;

/** A state that no solve has been through: strains at rest and no effort. */
export function isCold(arm: ArmModel, state: RodState): boolean {
  const { strain, effort } = state;
  for (let k = 0; k < strain.length; k++) if (strain[k] !== arm.rest[k]) return false;
  for (let k = 0; k < effort.length; k++) if (effort[k] !== 0) return false;
  return true;
}

/**
 * @param attempt solves with a share of everything, 0 to 1, to a tolerance (rad), from the state as it is
 * @returns the report at the full share, its iterations counting the whole way; or that of the attempt it ended at
 */
export function rampLoad(
  arm: ArmModel,
  state: RodState,
  tolerance: number,
  work: RodWork,
  attempt: (share: number, tolerance: number) => SolveReport,
): SolveReport {
  const { strain, effort } = state;
  const { keptStrain, keptEffort, keptBase } = work;
  keptStrain.set(arm.rest);
  keptBase.fill(0);
  keptEffort.fill(0);
  let reached = 0;
  let step = firstStep;
  let iterations = 0;
  for (;;) {
    const share = Math.min(1, reached + step);
    strain.set(keptStrain);
    state.base.set(keptBase);
    effort.set(keptEffort);
    work.loadShare = share;
    const report = attempt(share, share === 1 ? tolerance : looseTolerance);
    work.loadShare = 1;
    iterations += report.iterations;
    const arrived = report.status !== "not-converged";
    if (!arrived) step /= 2;
    if ((arrived && share === 1) || step < leastStep) return { ...report, iterations };
    if (!arrived) continue;
    keptStrain.set(strain);
    keptBase.set(state.base);
    keptEffort.set(effort);
    reached = share;
    step *= 1.5;
  }
}
