/** An arm that finds no balance while it slides along rough walls, and would find one on smoother walls, is jammed. */
import { copyRodState, type Load, type RodState, type SolveReport, setRodState } from "./model.ts";

/** Halvings of the friction between one with which it slides and one with which it does not: a sixty-fourth of the coefficient. */
const halvings = 6;

/** Whether a solve that failed may have failed for its friction on the walls. */
export function mayJam(load: Load, report: SolveReport): boolean {
  return report.status === "not-converged" && (load.walls?.friction?.coefficient ?? 0) > 0;
}

/**
 * Looks for the greatest friction with which there still is a balance. A push that makes the friction which asks for more push has none:
 * that is told as `jammed`, with the steps of the solve that failed and the coefficient up to which the arm
 * slides. Where smooth walls have no balance either, nothing is said of a jam.
 *
 * @param state as the failed solve left it; overwritten by a balance, should one be found after all from nearer by
 * @param start for the smooth walls; sides and grips as the failed solve had them
 * @param solve with a load, from a state, which it overwrites
 */
export function nameJam(
  load: Load,
  report: SolveReport,
  state: RodState,
  start: RodState,
  solve: (load: Load, state: RodState) => SolveReport,
): SolveReport {
  const { walls } = load;
  const friction = walls?.friction;
  if (walls === undefined || friction === undefined) return report;
  const good = copyRodState(start);
  const tried = copyRodState(start);
  const slides = (coefficient: number): SolveReport | undefined => {
    setRodState(tried, good);
    const found = solve({ ...load, walls: { ...walls, friction: { ...friction, coefficient } } }, tried);
    if (found.status !== "stable" && found.status !== "slack") return undefined;
    setRodState(good, tried);
    return found;
  };
  if (slides(0) === undefined) return report;
  let low = 0;
  let high = friction.coefficient;
  for (let k = 0; k < halvings; k++) {
    const middle = (low + high) / 2;
    if (slides(middle) === undefined) high = middle;
    else low = middle;
  }
  // a start from nearer by may yet arrive
  const arrived = slides(friction.coefficient);
  if (arrived !== undefined) {
    setRodState(state, good);
    return arrived;
  }
  return { ...report, status: "jammed", slidesTo: low };
}
