/**
 * One arm under many loads: each from the same reference balance, so that an answer depends on its load alone. Runs on whichever thread calls
 * it; many-cores.ts shares it out.
 */
import { type ArmDescription, createArm } from "../../src/arm/index.ts";
import { type Fault, InputError } from "../../src/base/index.ts";
import {
  createRodState,
  createRodWork,
  type Load,
  type RodState,
  readFreeLengths,
  type SolveReport,
  type SolveStatus,
  type Stance,
  setRodState,
  solveHeld,
  solveLocked,
} from "../../src/rod/index.ts";

export interface LoadBatch {
  readonly arm: ArmDescription;
  readonly stance: Stance;
  /** [section, 2] bends of the reference balance, rad */
  readonly bend: Float64Array;
  /** what the drives were set under */
  readonly reference: Load;
  /** under each load: `held` keeps the bends, `locked` the lengths that the drives let out for the reference */
  readonly drives: "held" | "locked";
  readonly loads: readonly Load[];
}

export interface LoadAnswers {
  /** of the reference balance */
  reference: SolveStatus;
  /** [load] only `stable` and `slack` shapes may be shown */
  readonly status: SolveStatus[];
  /** [load, 12] frame of the tip vertebra, world: rotation row by row, then place, m */
  readonly tip: Float64Array;
  /** [load, cable] tension where each cable enters the free part of the arm, N */
  readonly tension: Float64Array;
  /** [load] Newton's steps */
  readonly iterations: Int32Array;
}

/** [load] where a load's answer has no shape, its numbers are NaN. */
export function createLoadAnswers(loads: number, cables: number): LoadAnswers {
  return {
    reference: "not-converged",
    status: Array.from({ length: loads }, () => "not-converged"),
    tip: new Float64Array(12 * loads).fill(Number.NaN),
    tension: new Float64Array(cables * loads).fill(Number.NaN),
    iterations: new Int32Array(loads),
  };
}

/**
 * Loads are solved from the reference balance; where that fails, from the straight arm. Without a reference balance lengths are not known:
 * with locked drives no load has an answer then.
 *
 * @throws InputError of the arm, of the reference (`reference...`), or of all loads that are faulty (`loads[3]...`)
 */
export function solveLoads({ arm: description, stance, bend, reference, drives, loads }: LoadBatch): LoadAnswers {
  const arm = createArm(description);
  const work = createRodWork(arm);
  const start = createRodState(arm);
  const straight = createRodState(arm);
  const state = createRodState(arm);
  const free = new Float64Array(arm.cables);
  const answers = createLoadAnswers(loads.length, arm.cables);
  answers.reference = rename("reference", () => solveHeld(arm, reference, stance, bend, start, work).status);
  const found = answers.reference === "stable" || answers.reference === "slack";
  if (found) readFreeLengths(arm, start, work, free);
  const solve = (load: Load, from: RodState): SolveReport => {
    setRodState(state, from);
    const options = { ramp: from === straight };
    if (drives === "locked") return solveLocked(arm, load, stance, free, state, work, options);
    return solveHeld(arm, load, stance, bend, state, work, options);
  };
  const faults: Fault[] = [];
  loads.forEach((load, k) => {
    try {
      rename(`loads[${k}]`, () => {
        let report = solve(load, found ? start : straight);
        if (report.status === "not-converged" && found) report = solve(load, straight);
        if (report.status === "not-converged" || (drives === "locked" && !found)) return;
        answers.status[k] = report.status;
        answers.iterations[k] = report.iterations;
        for (let n = 0; n < 12; n++) answers.tip[12 * k + n] = work.frame[12 * arm.spans + n] as number;
        answers.tension.set(state.tension, arm.cables * k);
      });
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      faults.push(...error.faults);
    }
  });
  if (faults.length > 0) throw new InputError(faults);
  return answers;
}

/** Faults of what is called carry its name: `load.forces[0]` becomes `loads[3].forces[0]`. */
function rename<T>(name: string, call: () => T): T {
  try {
    return call();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw new InputError(error.faults.map((fault) => ({ ...fault, path: fault.path.replace(/^load(?=\.|$)/, name) })));
  }
}
