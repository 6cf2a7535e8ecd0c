/**
 * One depth: base roll and section bends that lay the loaded arm on the route.
 *
 * Gauss-Newton with damping on the held closure: residuals are the distances of the vertebrae from the route (the tool
 * point most), clearances below what is asked, joints beyond their limit; derivatives are the exact responses of the
 * loaded shape to every bend and to the roll.
 */
import { factorCholesky, solveCholesky } from "../math/index.ts";
import { copyRodState, firstHeld, type RodState, type SolveReport, setRodState } from "../rod/index.ts";
import type { SpaceModel } from "../space/index.ts";
import { gatherEquations } from "./gather-equations.ts";
import type { InsertionModel } from "./model.ts";
import { solveAt, solved } from "./solve-at.ts";
import type { InsertionWork } from "./work.ts";

export interface Followed {
  readonly report: SolveReport;
  readonly roll: number;
  readonly solves: number;
  /** it came to rest; false when it ran out of tries */
  readonly settled: boolean;
}

/**
 * @param bend [section, 2] start and result, rad
 * @param last at the full depth the tool point and its direction count most
 */
export function followRoute(
  model: InsertionModel,
  space: SpaceModel,
  depth: number,
  last: boolean,
  state: RodState,
  bend: Float64Array,
  startRoll: number,
  work: InsertionWork,
): Followed {
  const { arm } = model;
  let roll = startRoll;
  let damping = 1e-3;
  let solves = 1;
  let settled = false;
  const kept = copyRodState(state);
  let report = solveAt(model, depth, roll, bend, state, work);
  if (!solved(report)) return { report, roll, solves, settled: false };
  const held = 2 * (arm.sections - firstHeld(arm, work.rod));
  let cost = gatherEquations(model, space, depth, last, bend, bend, roll, startRoll, work);
  const before = Float64Array.from(bend);
  for (let outer = 0; outer < 12; outer++) {
    const size = moveOf(held, damping, work);
    if (size < 2e-4) {
      settled = true;
      break;
    }
    const share = Math.min(1, 0.3 / size);
    for (let k = 0; k < 2 * arm.sections; k++) work.trial[k] = bend[k] as number;
    for (let k = 0; k < held; k++) {
      const mode = 2 * arm.sections - held + k;
      work.trial[mode] = (bend[mode] as number) + share * (work.move[k] as number);
    }
    const nextRoll = roll + share * (work.move[held] as number);
    setRodState(kept, state);
    const next = solveAt(model, depth, nextRoll, work.trial, state, work);
    solves++;
    const nextCost = solved(next)
      ? gatherEquations(model, space, depth, last, work.trial, before, nextRoll, startRoll, work)
      : Number.POSITIVE_INFINITY;
    if (nextCost < cost) {
      const gain = 1 - nextCost / cost;
      bend.set(work.trial);
      roll = nextRoll;
      cost = nextCost;
      report = next;
      damping = Math.max(damping / 5, 1e-6);
      if (gain >= 2e-3) continue;
      settled = true;
      break;
    }
    // back to the last good shape; its response is needed again
    setRodState(state, kept);
    report = solveAt(model, depth, roll, bend, state, work);
    solves++;
    if (!solved(report) || damping > 1e3) break;
    damping *= 10;
    gatherEquations(model, space, depth, last, bend, before, roll, startRoll, work);
  }
  return { report, roll, solves, settled };
}

/** Damped step of the normal equations into `work.move`; returns its largest component, rad. */
function moveOf(held: number, damping: number, work: InsertionWork): number {
  const m = held + 1;
  work.factor.set(work.normal.subarray(0, m * m));
  let mean = 0;
  for (let a = 0; a < m; a++) mean += (work.normal[m * a + a] as number) / m;
  for (let a = 0; a < m; a++) {
    work.factor[m * a + a] = (work.factor[m * a + a] as number) * (1 + damping) + damping * 1e-3 * mean;
    work.move[a] = -(work.gradient[a] as number);
  }
  if (!factorCholesky(work.factor, m, m)) return 0;
  solveCholesky(work.factor, m, m, work.move);
  let largest = 0;
  for (let a = 0; a < m; a++) largest = Math.max(largest, Math.abs(work.move[a] as number));
  return largest;
}
