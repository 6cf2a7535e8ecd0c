/** Which of the fitted parameters the readings do not tell. */
import { findSpreads, type Spreads } from "./covariance.ts";
import type { LeastSquares, LeastSquaresState } from "./least-squares.ts";
import type { ParameterName } from "./model.ts";
import { type Parameter, parameterNames } from "./parameters.ts";

export interface Untold {
  readonly name: ParameterName;
  /**
   * `unseen`: no reading changes enough with it; `mixed`: it changes the readings as another does; `one-way`: friction, and no table goes
   * there and back
   */
  readonly why: "unseen" | "mixed" | "one-way";
  /** the other one */
  readonly with?: ParameterName;
  readonly correlation?: number;
}

/** Correlations from which on two parameters are said to hang together. */
export const close = 0.95;

/**
 * @returns the parameter to give up first: one that no reading sees, else the least important of those whose spread is too wide to tell
 *   anything; none when all are told
 */
export function tellApart(
  parameters: readonly Parameter[],
  active: readonly ParameterName[],
  problem: LeastSquares,
  state: LeastSquaresState,
): Untold | undefined {
  // a parameter that rests at a bound may only be there because another one pushes it
  const spreads = findSpreads(problem, state, false);
  const wide = active.map((name) => (parameters.find((p) => p.name === name) as Parameter).wide);
  const lost = active.map((_, k) => k).filter((k) => (spreads.spread[k] as number) > (wide[k] as number));
  if (lost.length === 0) return undefined;
  const share = (k: number): number => (spreads.alone[k] as number) / (wide[k] as number);
  const unseen = lost.filter((k) => share(k) > 1).sort((a, b) => share(b) - share(a))[0];
  return unseen === undefined ? giveUp(active, lost, share, spreads) : { name: active[unseen] as ParameterName, why: "unseen" };
}

/**
 * The same from slopes alone, before any step: two parameters that move the readings alike are mixed however sharp the readings are, and would
 * send the search along a valley without end.
 */
export function tellAlike(
  parameters: readonly Parameter[],
  active: readonly ParameterName[],
  problem: LeastSquares,
  state: LeastSquaresState,
): Untold | undefined {
  const spreads = findSpreads(problem, state, false);
  const share = (k: number): number => (spreads.alone[k] as number) / (parameters.find((p) => p.name === active[k]) as Parameter).wide;
  const alike = active.map((_, k) => k).filter((k) => (spreads.spread[k] as number) > mostMixed * (spreads.alone[k] as number));
  return alike.length < 2 ? undefined : giveUp(active, alike, share, spreads);
}

/** How much wider a spread may get by what is not known of the other parameters. */
const mostMixed = 1e3;

/** Shares that differ by no more than this are alike. */
const alikeWithin = 3;

/**
 * Of the parameters that are lost, the one that the readings would tell least even if it were the only one, and what it hangs together with
 * most; of those that they would tell about alike, the least important.
 *
 * @param share of a parameter's own width that its spread would have if all others were known
 */
function giveUp(active: readonly ParameterName[], lost: readonly number[], share: (k: number) => number, { correlation }: Spreads): Untold {
  const n = active.length;
  const order = (k: number): number => parameterNames.indexOf(active[k] as ParameterName);
  const most = Math.max(...lost.map(share));
  const least = lost.filter((k) => share(k) * alikeWithin >= most);
  const k = least.sort((a, b) => order(b) - order(a))[0] as number;
  let other = -1;
  for (let c = 0; c < n; c++) {
    if (c !== k && (other < 0 || Math.abs(correlation[k * n + c] as number) > Math.abs(correlation[k * n + other] as number))) other = c;
  }
  if (other < 0) return { name: active[k] as ParameterName, why: "unseen" };
  return {
    name: active[k] as ParameterName,
    why: "mixed",
    with: active[other] as ParameterName,
    correlation: correlation[k * n + other] as number,
  };
}
