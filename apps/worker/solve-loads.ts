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

/** Solves one load after another for one arm and reference: made once, used for as many loads as wanted. */
export interface LoadSolver {
  readonly cables: number;
  /** of the reference balance */
  readonly reference: SolveStatus;
  /** @param name  of the load in faults @param answers  its row `k` is written @throws InputError of this load */
  solve(load: Load, name: string, k: number, answers: LoadAnswers): void;
}

/** @throws InputError of the arm, of the reference (`reference...`) */
export function createLoadSolver({ arm: description, stance, bend, reference, drives }: Omit<LoadBatch, "loads">): LoadSolver {
  const arm = createArm(description);
  const work = createRodWork(arm);
  const start = createRodState(arm);
  const straight = createRodState(arm);
  const state = createRodState(arm);
  const free = new Float64Array(arm.cables);
  const { status } = rename("reference", () => solveHeld(arm, reference, stance, bend, start, work));
  const found = status === "stable" || status === "slack";
  if (found) readFreeLengths(arm, start, work, free);
  const from = (load: Load, begin: RodState): SolveReport => {
    setRodState(state, begin);
    const options = { ramp: begin === straight };
    if (drives === "locked") return solveLocked(arm, load, stance, free, state, work, options);
    return solveHeld(arm, load, stance, bend, state, work, options);
  };
  return {
    cables: arm.cables,
    reference: status,
    solve(load, name, k, answers) {
      rename(name, () => {
        let report = from(load, found ? start : straight);
        if (report.status === "not-converged" && found) report = from(load, straight);
        if (report.status === "not-converged" || (drives === "locked" && !found)) return;
        answers.status[k] = report.status;
        answers.iterations[k] = report.iterations;
        for (let n = 0; n < 12; n++) answers.tip[12 * k + n] = work.frame[12 * arm.spans + n] as number;
        answers.tension.set(state.tension, arm.cables * k);
      });
    },
  };
}

/**
 * Loads are solved from the reference balance; where that fails, from the straight arm. Without a reference balance lengths are not known:
 * with locked drives no load has an answer then.
 *
 * @throws InputError of the arm, of the reference (`reference...`), or of all loads that are faulty (`loads[3]...`)
 */
export function solveLoads(batch: LoadBatch): LoadAnswers {
  const solver = createLoadSolver(batch);
  const answers = createLoadAnswers(batch.loads.length, solver.cables);
  answers.reference = solver.reference;
  const faults: Fault[] = [];
  batch.loads.forEach((load, k) => {
    try {
      solver.solve(load, `loads[${k}]`, k, answers);
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
