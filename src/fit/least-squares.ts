/**
 * Damped Gauss-Newton (Levenberg-Marquardt) over a resumable state: it asks for residuals at a set of parameters and is told them, so that
 * whoever computes them may take many steps over it.
 *
 * Residuals come in groups of one kind of reading. A group's spread is as stated, or found with the fit (Huber's proposal 2); a residual
 * beyond `huber` spreads counts by its size only, not by its square, so that no single reading drags the parameters.
 *
 * @see docs/sources.md#robust-least-squares
 */
import { assert } from "../base/index.ts";
import { factorCholesky, solveCholesky } from "../math/index.ts";
import { findScales, huberLoss, huberWeight } from "./huber.ts";

/** Made once; readonly plain data. */
export interface LeastSquares {
  readonly parameters: number;
  readonly readings: number;
  /** [parameter] where it starts, its bounds, and half the width of a central difference */
  readonly start: Float64Array;
  readonly low: Float64Array;
  readonly high: Float64Array;
  readonly difference: Float64Array;
  /** [reading] group it belongs to */
  readonly group: Int32Array;
  readonly groups: number;
  /** [reading] stated spread; NaN: to be found */
  readonly stated: Float64Array;
  /** [group] no spread found is taken to be less than this */
  readonly least: Float64Array;
  /** spreads from which on a residual counts less; Infinity for plain least squares */
  readonly huber: number;
}

/** Plain data. `asked` holds the parameters whose residuals are wanted next, until `stage` is `done`. */
export interface LeastSquaresState {
  stage: "start" | "slope" | "trial" | "done";
  /** `failed`: no residuals at the start; `stopped`: steps ran out */
  status: "converged" | "stopped" | "failed";
  readonly asked: Float64Array;
  readonly parameter: Float64Array;
  /** [reading] at `parameter`; NaN from the start on: left out */
  readonly residual: Float64Array;
  /** [reading, parameter] */
  readonly slope: Float64Array;
  /** [reading] on the upper side of a difference */
  readonly upper: Float64Array;
  column: number;
  side: 0 | 1;
  damping: number;
  iterations: number;
  /** the last step was too small to matter: once the slopes are renewed, it is done */
  settled: boolean;
  /** [group] spread as it stands */
  readonly scale: Float64Array;
}

export function createLeastSquares(model: LeastSquares): LeastSquaresState {
  const { parameters: n, readings: m } = model;
  return {
    stage: "start",
    status: "failed",
    asked: model.start.slice(),
    parameter: model.start.slice(),
    residual: new Float64Array(m),
    slope: new Float64Array(m * n),
    upper: new Float64Array(m),
    column: 0,
    side: 0,
    damping: 1e-3,
    iterations: 0,
    settled: n === 0,
    scale: new Float64Array(model.groups).fill(1),
  };
}

const mostIterations = 300;
const mostDamping = 1e9;
/** of a parameter's own size or bounds: a step below this is none */
const tolerance = 1e-8;

/** @param residual [reading] model minus reading at `state.asked`; NaN where there is none */
export function tellResiduals(model: LeastSquares, state: LeastSquaresState, residual: Float64Array): void {
  assert(residual.length === model.readings && state.stage !== "done", "residuals that were asked for");
  if (state.stage === "start") begin(model, state, residual);
  else if (state.stage === "slope") takeSlope(model, state, residual);
  else takeTrial(model, state, residual);
}

function begin(model: LeastSquares, state: LeastSquaresState, residual: Float64Array): void {
  state.residual.set(residual);
  if (residual.every(Number.isNaN)) {
    state.stage = "done";
    return;
  }
  findScales(model, state.residual, state.scale);
  startSlopes(model, state);
}

function startSlopes(model: LeastSquares, state: LeastSquaresState): void {
  state.column = 0;
  state.side = 0;
  if (model.parameters === 0) {
    finish(state, "converged");
    return;
  }
  state.stage = "slope";
  askSide(model, state);
}

/** The differences stay within the bounds. */
function askSide(model: LeastSquares, state: LeastSquaresState): void {
  const k = state.column;
  const h = (state.side === 0 ? 1 : -1) * (model.difference[k] as number);
  state.asked.set(state.parameter);
  state.asked[k] = Math.min(model.high[k] as number, Math.max(model.low[k] as number, (state.parameter[k] as number) + h));
}

function isWhole(state: LeastSquaresState, residual: Float64Array): boolean {
  for (let r = 0; r < residual.length; r++)
    if (Number.isNaN(residual[r] as number) && !Number.isNaN(state.residual[r] as number)) return false;
  return true;
}

/** A reading that is lost on one side of a difference is told by the other, and one that is lost on both moves nothing. */
function takeSlope(model: LeastSquares, state: LeastSquaresState, residual: Float64Array): void {
  const { parameters: n, readings: m } = model;
  const k = state.column;
  const here = state.parameter[k] as number;
  if (state.side === 0) {
    state.upper.set(residual);
    state.side = 1;
    askSide(model, state);
    return;
  }
  const up = Math.min(model.high[k] as number, here + (model.difference[k] as number));
  const down = state.asked[k] as number;
  for (let r = 0; r < m; r++) {
    const middle = state.residual[r] as number;
    const [above, from] = Number.isNaN(state.upper[r] as number) ? [middle, here] : [state.upper[r] as number, up];
    const [below, to] = Number.isNaN(residual[r] as number) ? [middle, here] : [residual[r] as number, down];
    state.slope[r * n + k] = from > to ? (above - below) / (from - to) : 0;
  }
  state.column++;
  state.side = 0;
  if (state.column < n) {
    askSide(model, state);
    return;
  }
  findScales(model, state.residual, state.scale);
  if (state.settled) finish(state, "converged");
  else tryStep(model, state);
}

/** Solves the damped normal equations, each parameter counted in its own size, and asks for the residuals there. */
function tryStep(model: LeastSquares, state: LeastSquaresState): void {
  const { parameters: n } = model;
  const { parameter, asked } = state;
  const { matrix, gradient } = normalEquations(model, state);
  const free = heldInside(model, parameter, gradient);
  const size = Float64Array.from({ length: n }, (_, k) => Math.sqrt(matrix[k * n + k] as number) || 1);
  const damped = new Float64Array(n * n);
  const step = new Float64Array(n);
  for (let r = 0; r < n; r++) {
    step[r] = free[r] === 1 ? -(gradient[r] as number) / (size[r] as number) : 0;
    for (let c = 0; c < n; c++) {
      const both = free[r] === 1 && free[c] === 1;
      damped[r * n + c] = both ? (matrix[r * n + c] as number) / ((size[r] as number) * (size[c] as number)) : 0;
    }
    damped[r * n + r] = 1 + state.damping;
  }
  if (!factorCholesky(damped, n, n)) {
    refuseStep(model, state);
    return;
  }
  solveCholesky(damped, n, n, step);
  let largest = 0;
  for (let k = 0; k < n; k++) {
    const here = parameter[k] as number;
    const next = here + (step[k] as number) / (size[k] as number);
    asked[k] = Math.min(model.high[k] as number, Math.max(model.low[k] as number, next));
    largest = Math.max(largest, Math.abs((asked[k] as number) - here) / sizeOf(model, here, k));
  }
  if (largest < tolerance) {
    // slopes are those of this very place
    finish(state, "converged");
    return;
  }
  state.stage = "trial";
}

function sizeOf(model: LeastSquares, value: number, k: number): number {
  return Math.abs(value) + 10 * (model.difference[k] as number);
}

function takeTrial(model: LeastSquares, state: LeastSquaresState, residual: Float64Array): void {
  const better = isWhole(state, residual) && costOf(model, state, residual) < costOf(model, state, state.residual);
  if (!better) {
    refuseStep(model, state);
    return;
  }
  const before = costOf(model, state, state.residual);
  for (let r = 0; r < residual.length; r++) if (!Number.isNaN(state.residual[r] as number)) state.residual[r] = residual[r] as number;
  let largest = 0;
  for (let k = 0; k < model.parameters; k++) {
    const moved = Math.abs((state.asked[k] as number) - (state.parameter[k] as number));
    largest = Math.max(largest, moved / sizeOf(model, state.asked[k] as number, k));
  }
  state.parameter.set(state.asked);
  state.damping = Math.max(1e-12, state.damping / 10);
  state.iterations++;
  const gained = before - costOf(model, state, state.residual);
  state.settled = largest < tolerance || (gained < 1e-9 * before && largest < 1e-5);
  if (state.iterations >= mostIterations && !state.settled) finish(state, "stopped");
  else startSlopes(model, state);
}

function refuseStep(model: LeastSquares, state: LeastSquaresState): void {
  state.damping *= 8;
  if (state.damping < mostDamping) tryStep(model, state);
  // no smaller step gains: the least that the residuals' own rounding lets be found
  else finish(state, "converged");
}

function finish(state: LeastSquaresState, status: LeastSquaresState["status"]): void {
  state.stage = "done";
  state.status = status;
  state.asked.set(state.parameter);
}

function spreadOf(model: LeastSquares, state: LeastSquaresState, r: number): number {
  const stated = model.stated[r] as number;
  return Number.isNaN(stated) ? (state.scale[model.group[r] as number] as number) : stated;
}

function costOf(model: LeastSquares, state: LeastSquaresState, residual: Float64Array): number {
  let sum = 0;
  for (let r = 0; r < residual.length; r++) {
    if (Number.isNaN(state.residual[r] as number)) continue;
    sum += huberLoss((residual[r] as number) / spreadOf(model, state, r), model.huber);
  }
  return sum;
}

/** [parameter, parameter] and [parameter], weighted; of what is given per reading, else of the residuals. */
export function normalEquations(
  model: LeastSquares,
  state: LeastSquaresState,
  given: Float64Array = state.residual,
): { matrix: Float64Array; gradient: Float64Array } {
  const { parameters: n, readings: m, huber } = model;
  const matrix = new Float64Array(n * n);
  const gradient = new Float64Array(n);
  for (let r = 0; r < m; r++) {
    const value = state.residual[r] as number;
    if (Number.isNaN(value)) continue;
    const spread = spreadOf(model, state, r);
    const weight = huberWeight(value / spread, huber) / spread ** 2;
    for (let k = 0; k < n; k++) {
      const along = weight * (state.slope[r * n + k] as number);
      gradient[k] = (gradient[k] as number) + along * (given[r] as number);
      for (let c = 0; c < n; c++) matrix[k * n + c] = (matrix[k * n + c] as number) + along * (state.slope[r * n + c] as number);
    }
  }
  return { matrix, gradient };
}

/** [parameter] 0 where a bound holds it against going lower in cost. */
export function heldInside(model: LeastSquares, parameter: Float64Array, gradient: Float64Array): Uint8Array {
  return Uint8Array.from(parameter, (value, k) => {
    const down = value <= (model.low[k] as number) && (gradient[k] as number) > 0;
    const up = value >= (model.high[k] as number) && (gradient[k] as number) < 0;
    return down || up ? 0 : 1;
  });
}

/** [parameter] 1 where the parameter came to rest at a bound. */
export function atBound(model: LeastSquares, state: LeastSquaresState): Uint8Array {
  const free = heldInside(model, state.parameter, normalEquations(model, state).gradient);
  return free.map((f) => 1 - f);
}

/** Residuals in their own spreads, and the weights they count with: [reading]; NaN where there is none. */
export function readResiduals(model: LeastSquares, state: LeastSquaresState): { spreads: Float64Array; weights: Float64Array } {
  const spreads = state.residual.map((value, r) => value / spreadOf(model, state, r));
  return { spreads, weights: spreads.map((u) => (Number.isNaN(u) ? u : huberWeight(u, model.huber))) };
}
