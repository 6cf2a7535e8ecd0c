/**
 * Drag, and friction on walls, follow the shape and have no potential: a balance is found with the drag kept, then the drag anew, until they agree.
 * A soft arm lies down in a strong current, and plain turns of this would swing ever wider: the next drag is the
 * combination of the last few tries that leaves the least disagreement (Anderson's mixing).
 */
import type { ArmModel } from "../arm/index.ts";
import { factorLu, solveLu } from "../math/index.ts";
import { findDrag } from "./immerse.ts";
import type { Load, RodState, SolveReport } from "./model.ts";
import { placeArm } from "./place.ts";
import { findFriction, touchWalls } from "./touch-walls.ts";
import type { RodWork } from "./work.ts";

/** Tries remembered. `work.dragTried` has rows of [vertebra + 1, 3]: disagreement, the one before, then a pair for each: change of the drag, change of its disagreement. */
const remembered = 5;
const mostTries = 60;

/** Whether there is a current, a fluid in a box or friction of walls: a solve without them needs no `settleDrag`, and allocates no closure for it. */
export function hasDrag(load: Load): boolean {
  return load.fluid?.current !== undefined || load.fluid?.within !== undefined || load.walls?.friction !== undefined;
}

/**
 * @param tolerance of the solve, rad; the drag is settled when it agrees to that of itself
 * @param solve from the state as it is, with the drag in `work.drag`
 * @returns its last report, iterations of all counted
 */
export function settleDrag(
  arm: ArmModel,
  load: Load,
  state: RodState,
  tolerance: number,
  work: RodWork,
  solve: () => SolveReport,
): SolveReport {
  if (!hasDrag(load)) return solve();
  const { drag, dragTried } = work;
  const size = drag.length;
  placeArm(arm, state.strain, work);
  if (load.walls !== undefined) touchWalls(load.walls, work);
  findForces(arm, load, drag, work);
  let iterations = 0;
  for (let tries = 0; tries < mostTries; tries++) {
    const report = solve();
    iterations += report.iterations;
    if (report.status === "not-converged") return { ...report, iterations };
    dragTried.copyWithin(size, 0, size);
    findForces(arm, load, dragTried, work);
    let apart = 0;
    let whole = 0;
    for (let k = 0; k < size; k++) {
      const anew = dragTried[k] as number;
      const disagreement = anew - (drag[k] as number);
      dragTried[k] = disagreement;
      whole += anew * anew;
      apart += disagreement * disagreement;
    }
    if (apart <= tolerance * tolerance * whole) return { ...report, iterations };
    mixDrag(tries, work);
  }
  return { status: "not-converged", iterations, step: Number.POSITIVE_INFINITY, unstable: 0, escaped: false };
}

/** Drag and friction at the shape as it stands, into the first of the rows of `out`. */
function findForces(arm: ArmModel, load: Load, out: Float64Array, work: RodWork): void {
  const { drag } = work;
  out.fill(0, 0, drag.length);
  if (load.fluid !== undefined) findDrag(arm, load.fluid, load.gravity, out, work);
  if (load.walls !== undefined) findFriction(load.walls, out, drag.length / 2, work);
}

/** The next drag from the last one, its disagreement, and what the tries before did to both. */
function mixDrag(tries: number, work: RodWork): void {
  const { drag, dragTried, denseRight } = work;
  const size = drag.length;
  if (tries > 0) {
    const row = changeRow(tries - 1) * size + size;
    for (let k = 0; k < size; k++) dragTried[row + k] = (dragTried[k] as number) - (dragTried[size + k] as number);
  }
  const count = weighTries(Math.min(tries, remembered), work);
  const next = changeRow(tries) * size;
  for (let k = 0; k < size; k++) {
    let change = dragTried[k] as number;
    for (let a = 0; a < count; a++) {
      const p = changeRow(a) * size + k;
      change -= (denseRight[a] as number) * ((dragTried[p] as number) + (dragTried[p + size] as number));
    }
    drag[k] = (drag[k] as number) + change;
    dragTried[next + k] = change;
  }
}

function changeRow(tries: number): number {
  return 2 + 2 * (tries % remembered);
}

/** Shares of the remembered changes that leave the least disagreement, into `work.denseRight`; returns how many count. */
function weighTries(count: number, work: RodWork): number {
  const { drag, dragTried, dense, denseRight, columns, pivots } = work;
  const size = drag.length;
  for (let a = 0; a < count; a++) {
    const p = (changeRow(a) + 1) * size;
    denseRight[a] = dotRows(dragTried, p, 0, size);
    for (let b = 0; b <= a; b++) {
      // the share of 1e-12 keeps tries that changed alike apart
      const sum = dotRows(dragTried, p, (changeRow(b) + 1) * size, size) * (a === b ? 1 + 1e-12 : 1);
      dense[columns * a + b] = sum;
      dense[columns * b + a] = sum;
    }
  }
  if (count === 0 || !factorLu(dense, count, columns, pivots)) return 0;
  solveLu(dense, count, columns, pivots, denseRight);
  return count;
}

function dotRows(rows: Float64Array, p: number, q: number, size: number): number {
  let sum = 0;
  for (let k = 0; k < size; k++) sum += (rows[p + k] as number) * (rows[q + k] as number);
  return sum;
}
