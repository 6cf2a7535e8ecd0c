/** A shape that does not find its place among stiff walls at once finds it among soft ones, which then harden. */
import type { RodState, SolveReport } from "./model.ts";
import type { RodWork } from "./work.ts";

const softest = 1 / 4096;
const firstFactor = 8;
const leastFactor = 1.05;
/** rad: a shape on the way need only be near its balance */
const looseTolerance = 1e-4;

/** What a solve starts from, for `hardenWalls` to go back to. */
export function keepStart(state: RodState, work: RodWork): void {
  work.saved.set(state.strain);
  work.startEffort.set(state.effort);
  work.keptBase.set(state.base);
}

/**
 * @param attempt solves from the state as it is, to a tolerance (rad)
 * @param work `keepStart` was called
 * @returns the report at full stiffness, its iterations counting the whole way; or that of the attempt it ended at
 */
export function hardenWalls(state: RodState, tolerance: number, work: RodWork, attempt: (tolerance: number) => SolveReport): SolveReport {
  const { strain, effort } = state;
  const { keptStrain, keptEffort, keptBase } = work;
  keptStrain.set(work.saved);
  keptEffort.set(work.startEffort);
  let reached = softest / firstFactor;
  let factor = firstFactor;
  let iterations = 0;
  for (;;) {
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
    if ((arrived && share === 1) || factor < leastFactor) return { ...report, iterations };
    if (!arrived) continue;
    keptStrain.set(strain);
    keptBase.set(state.base);
    keptEffort.set(effort);
    reached = share;
    factor = Math.min(firstFactor, factor * factor);
  }
}
