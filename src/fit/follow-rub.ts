/** Rows of an arm whose cables rub: what was done before decides which way each hole holds back. */
import type { ArmModel } from "../arm/index.ts";
import {
  type Load,
  type RodState,
  type RodWork,
  type SolveStatus,
  type Stance,
  setRodState,
  settleGrips,
  slideCables,
  solveLocked,
} from "../rod/index.ts";
import type { MeasuredRow } from "./model.ts";

/** Status of a shape with the grips that belong to it; `not-converged` when they swing to the last. */
export function settleRub(arm: ArmModel, state: RodState, work: RodWork, solve: () => SolveStatus): SolveStatus {
  const { status, settled } = settleGrips(arm, state, work, solve);
  return arrived(status) && !settled ? "not-converged" : status;
}

export function arrived(status: SolveStatus): boolean {
  return status === "stable" || status === "slack";
}

/** m: drives go on by steps that Newton follows */
const drawStep = 3e-3;
/** steps in which the weight comes on to the arm that was straight */
const weightSteps = 2;
const mostSteps = 60;

/**
 * From the row before to this one's draws, step by step; the first row of a table starts from the straight arm at its pretension, on which
 * the weight comes first.
 *
 * @param state the straight, unloaded arm; result
 * @param work `free` [cable] is that of the straight arm, m
 */
export function drawOn(
  arm: ArmModel,
  row: MeasuredRow,
  stance: Stance,
  load: Load,
  state: RodState,
  previous: { readonly row: MeasuredRow; readonly state: { readonly loaded: RodState; readonly warm: boolean } } | undefined,
  work: { readonly rod: RodWork; readonly free: Float64Array },
): SolveStatus {
  const { rod } = work;
  const zero = work.free.slice();
  const from = new Float64Array(arm.cables);
  const goesOn = previous?.state.warm === true && sameHold(previous.row, row);
  if (goesOn) {
    setRodState(state, previous.state.loaded);
    from.set(previous.row.draw);
  } else {
    // from here on what slides counts
    slideCables(arm, state, rod);
    state.grip.fill(0);
    for (let k = 1; k <= weightSteps; k++) {
      const share = k / weightSteps;
      const part: Load = { ...load, gravity: load.gravity.map((g) => share * g) as unknown as Load["gravity"], forces: [], toolShare: 1 };
      const status = settleRub(arm, state, rod, () => solveLocked(arm, part, stance, zero, state, rod, { ramp: false }).status);
      if (!arrived(status)) return status;
    }
  }
  const most = row.draw.reduce((largest, d, c) => Math.max(largest, Math.abs(d - (from[c] as number))), 0);
  const steps = Math.min(mostSteps, Math.max(1, Math.ceil(most / drawStep - 1e-9)));
  const lengths = work.free;
  for (let k = 1; k <= steps; k++) {
    for (let c = 0; c < arm.cables; c++) {
      lengths[c] = (zero[c] as number) - (from[c] as number) - (((row.draw[c] as number) - (from[c] as number)) * k) / steps;
    }
    const status = settleRub(arm, state, rod, () => solveLocked(arm, load, stance, lengths, state, rod, { ramp: false }).status);
    if (!arrived(status) || k === steps) return status;
  }
  return "not-converged";
}

/** The arm was not taken out of its guide or turned in between. */
function sameHold(one: MeasuredRow, two: MeasuredRow): boolean {
  return one.table === two.table && one.way === "draw" && one.exit === two.exit && one.roll === two.roll;
}
