/** Rows of an arm whose cables rub: what was done before decides which way each hole holds back. */
import type { ArmModel } from "../arm/index.ts";
import { factorCholesky, solveCholesky } from "../math/index.ts";
import {
  type Load,
  type RodState,
  type RodWork,
  type SolveStatus,
  type Stance,
  setRodState,
  slideCables,
  solveLocked,
} from "../rod/index.ts";
import type { MeasuredRow } from "./model.ts";

export function canRub(arm: ArmModel): boolean {
  return (arm.holeFriction[1] as number) > 0 || (arm.conduitFriction[1] as number) * arm.conduitTurn > 0;
}

/** A grip that moves by less than this no longer moves what is read off. */
const atRest = 1e-3;
const mostTries = 60;
/** tries that a next one is made from */
const depth = 6;
/** share of the way to what a try asks for: a hole that grips more holds the cable back, and asks for less */
const caution = 0.3;

/**
 * Shape and grips that belong together: from where the grips were moved on last, each hole has slid by what the shape with its new grip says. A
 * grip answers its own sliding with the stretch of all that lies beyond it, many times as much as turns it over, so that moving on
 * solve by solve would swing to and fro; the tries are mixed by what they left (Anderson's method).
 *
 * @param solve the shape with the grips of `state`
 */
export function settleRub(arm: ArmModel, state: RodState, work: RodWork, solve: () => SolveStatus): SolveStatus {
  if (!canRub(arm)) return solve();
  const from = { grip: state.grip.slice(), run: state.run.slice() };
  const asked = { ...state, grip: new Float64Array(state.grip.length), run: new Float64Array(state.run.length) };
  const tries: { grip: Float64Array; miss: Float64Array }[] = [];
  for (let k = 0; k < mostTries; k++) {
    const status = solve();
    if (!arrived(status)) return status;
    asked.grip.set(from.grip);
    asked.run.set(from.run);
    slideCables(arm, asked, work);
    const miss = asked.grip.map((g, i) => g - (state.grip[i] as number));
    const most = miss.reduce((largest, m) => Math.max(largest, Math.abs(m)), 0);
    if (most < atRest) {
      state.run.set(asked.run);
      return status;
    }
    tries.push({ grip: state.grip.slice(), miss });
    if (tries.length > depth) tries.shift();
    state.grip.set(mix(tries));
  }
  return "not-converged";
}

/** The combination of the tries, shares summing to 1, that would miss least, and some of the way it still misses. */
function mix(tries: readonly { readonly grip: Float64Array; readonly miss: Float64Array }[]): Float64Array {
  const last = tries[tries.length - 1] as (typeof tries)[number];
  const n = tries.length - 1;
  const normal = new Float64Array(n * n);
  const right = new Float64Array(n);
  const apart = tries.slice(0, n).map((one) => one.miss.map((m, i) => (last.miss[i] as number) - m));
  const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, v, i) => sum + v * (b[i] as number), 0);
  for (let r = 0; r < n; r++) {
    right[r] = dot(apart[r] as Float64Array, last.miss);
    for (let c = 0; c < n; c++) normal[r * n + c] = dot(apart[r] as Float64Array, apart[c] as Float64Array);
    normal[r * n + r] = (normal[r * n + r] as number) * (1 + 1e-10) + 1e-300;
  }
  if (n > 0 && factorCholesky(normal, n, n)) solveCholesky(normal, n, n, right);
  else right.fill(0);
  return last.grip.map((g, i) => {
    let grip = g + caution * (last.miss[i] as number);
    for (let k = 0; k < n; k++) {
      const one = tries[k] as (typeof tries)[number];
      grip -= (right[k] as number) * (g - (one.grip[i] as number) + caution * ((apart[k] as Float64Array)[i] as number));
    }
    return Math.min(1, Math.max(-1, grip));
  });
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
