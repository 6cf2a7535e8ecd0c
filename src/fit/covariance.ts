/** How sure the parameters of a finished fit are, and how they hang together. @see docs/sources.md#robust-least-squares */
import { factorCholesky, solveCholesky } from "../math/index.ts";
import { atBound, type LeastSquares, type LeastSquaresState, readResiduals } from "./least-squares.ts";

export interface Spreads {
  /** [parameter] standard deviation; Infinity: the readings do not change with it; 0: it rests at a bound */
  readonly spread: Float64Array;
  /** [parameter] the same if all other parameters were known */
  readonly alone: Float64Array;
  /** [parameter, parameter] correlation, 1 on the diagonal */
  readonly correlation: Float64Array;
  readonly bound: Uint8Array;
}

/** Added to the diagonal of the scaled normal matrix: two parameters that cannot be told apart get a huge spread, not none. */
const tiny = 1e-12;

/**
 * Asymptotic covariance of an M-estimate: K^2 [sum psi^2 / (m - n)] / (mean psi')^2 (J' S^-1 J)^-1 with K = 1 + n / m var(psi') / (mean psi')^2;
 * for plain least squares s^2 (J'J)^-1. Where spreads are stated, readings that scatter more than that widen the parameters' spreads.
 *
 * @param held parameters at a bound stay there; else they are taken to be as free as all others
 */
export function findSpreads(model: LeastSquares, state: LeastSquaresState, held = true): Spreads {
  const { parameters: n, readings: m } = model;
  const { spreads } = readResiduals(model, state);
  const bound = held ? atBound(model, state) : new Uint8Array(n);
  const matrix = new Float64Array(n * n);
  let used = 0;
  let square = 0;
  let inside = 0;
  for (let r = 0; r < m; r++) {
    const u = spreads[r] as number;
    if (Number.isNaN(u)) continue;
    used++;
    square += Math.min(u * u, model.huber ** 2);
    if (Math.abs(u) <= model.huber) inside++;
    const value = state.residual[r] as number;
    const size = u === 0 ? 1 / spreadOf(model, state, r) : u / value;
    for (let a = 0; a < n; a++) {
      for (let b = 0; b < n; b++) {
        matrix[a * n + b] =
          (matrix[a * n + b] as number) + size * size * (state.slope[r * n + a] as number) * (state.slope[r * n + b] as number);
      }
    }
  }
  const share = inside / Math.max(1, used);
  const correction = 1 + ((n / Math.max(1, used)) * (1 - share)) / Math.max(share, 1e-3);
  let factor = (correction ** 2 * square) / Math.max(0.5, used - n) / Math.max(share, 1e-3) ** 2;
  if (model.stated.some((s) => !Number.isNaN(s))) factor = Math.max(1, factor);
  return invert(matrix, n, factor, bound);
}

function spreadOf(model: LeastSquares, state: LeastSquaresState, r: number): number {
  const stated = model.stated[r] as number;
  return Number.isNaN(stated) ? (state.scale[model.group[r] as number] as number) : stated;
}

function invert(matrix: Float64Array, n: number, factor: number, bound: Uint8Array): Spreads {
  const size = Float64Array.from({ length: n }, (_, k) => Math.sqrt(matrix[k * n + k] as number));
  const scaled = new Float64Array(n * n);
  const seen = (k: number): boolean => (size[k] as number) > 0 && bound[k] === 0;
  for (let a = 0; a < n; a++) {
    for (let b = 0; b < n; b++) {
      if (seen(a) && seen(b)) scaled[a * n + b] = (matrix[a * n + b] as number) / ((size[a] as number) * (size[b] as number));
    }
    scaled[a * n + a] = 1 + tiny;
  }
  // rounding may take a doubtful matrix below zero: a little more on the diagonal, until it holds
  const factored = scaled.slice();
  for (let extra = tiny; !factorCholesky(factored, n, n); extra *= 10) {
    factored.set(scaled);
    for (let k = 0; k < n; k++) factored[k * n + k] = 1 + extra;
  }
  const inverse = new Float64Array(n * n);
  const column = new Float64Array(n);
  for (let c = 0; c < n; c++) {
    column.fill(0);
    column[c] = 1;
    solveCholesky(factored, n, n, column);
    for (let r = 0; r < n; r++) inverse[r * n + c] = column[r] as number;
  }
  const root = Math.sqrt(factor);
  const of = (k: number, value: number): number => (bound[k] === 1 ? 0 : seen(k) ? value / (size[k] as number) : Number.POSITIVE_INFINITY);
  return {
    spread: Float64Array.from({ length: n }, (_, k) => of(k, root * Math.sqrt(inverse[k * n + k] as number))),
    alone: Float64Array.from({ length: n }, (_, k) => of(k, root)),
    correlation: inverse.map((value, k) => {
      const r = Math.floor(k / n);
      const c = k % n;
      return value / Math.sqrt((inverse[r * n + r] as number) * (inverse[c * n + c] as number));
    }),
    bound,
  };
}
