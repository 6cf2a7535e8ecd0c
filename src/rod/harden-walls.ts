/**
 * A shape that does not find its place among stiff walls at once finds it among soft ones, which then harden: until they are as stiff as
 * they are, or until a cable carries far more than it breaks at. Harder walls ask more of it still: they hold the arm, and what is asked
 * cannot be had.
 */
import type { ArmModel } from "../arm/index.ts";
import type { RodState, SolveReport } from "./model.ts";
import type { RodWork } from "./work.ts";

const softest = 1 / 4096;
const firstFactor = 8;
const leastFactor = 1.05;
/** tries on the whole way; those that arrive take four to ten */
const mostTries = 20;
/** rad: a shape on the way need only be near its balance */
const looseTolerance = 1e-4;

/** What a solve starts from, for `hardenWalls` to go back to. */
export function keepStart(state: RodState, work: RodWork): void {
  work.saved.set(state.strain);
  work.startEffort.set(state.effort);
  work.keptBase.set(state.base);
}

/**
 * Steps of a first try at full stiffness: where a balance is near it takes some ten.
 */
export const directSteps = 30;

/**
 * @param attempt solves from the state as it is, to a tolerance (rad)
 * @param work `keepStart` was called
 * @returns the report at full stiffness, its iterations counting the whole way; or that of the attempt it ended at; `jammed` where the walls hold it
 */
export function hardenWalls(
  arm: ArmModel,
  state: RodState,
  tolerance: number,
  work: RodWork,
  attempt: (tolerance: number) => SolveReport,
): SolveReport {
  const { strain, effort } = state;
  const { keptStrain, keptEffort, keptBase } = work;
  keptStrain.set(work.saved);
  keptEffort.set(work.startEffort);
  let reached = softest / firstFactor;
  let factor = firstFactor;
  let iterations = 0;
  for (let tries = 1; ; tries++) {
    const share = Math.min(1, reached * factor);
    strain.set(keptStrain);
    state.base.set(keptBase);
    effort.set(keptEffort);
    work.wallShare = share;
    const report = attempt(share === 1 ? tolerance : looseTolerance);
    work.wallShare = 1;
    iterations += report.iterations;
    const arrived = report.status !== "not-converged";
    if (!arrived) factor = Math.sqrt(factor);
    if (arrived && share === 1) return { ...report, iterations };
    const lost: SolveReport = { status: "not-converged", iterations, step: report.step, unstable: 0, escaped: false };
    if (arrived && wouldBreak(arm, state)) return { ...lost, status: "jammed" };
    if (factor < leastFactor || tries === mostTries) return lost;
    if (!arrived) continue;
    keptStrain.set(strain);
    keptBase.set(state.base);
    keptEffort.set(effort);
    reached = share;
    factor = Math.min(firstFactor, factor * factor);
  }
}

/** times what a cable breaks at: beyond that no shape is worth finding */
const hopeless = 4;

/** Whether a cable carries as much. */
function wouldBreak(arm: ArmModel, { tension }: RodState): boolean {
  for (let c = 0; c < arm.cables; c++) {
    const section = arm.description.sections[arm.sectionOfCable[c] as number];
    if (section !== undefined && (tension[c] as number) > hopeless * section.cable.breakingLoad) return true;
  }
  return false;
}
