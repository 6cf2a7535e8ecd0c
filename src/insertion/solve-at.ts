/** The held solve at one depth of feed and base roll. */
import { rollFrame } from "../math/index.ts";
import { type RodState, type SolveReport, type Stance, solveHeld } from "../rod/index.ts";
import { armLength } from "./arm-length.ts";
import type { InsertionModel } from "./model.ts";
import type { InsertionWork } from "./work.ts";

/** Stance at a depth and roll, into `work.stance`. */
export function stanceAt(model: InsertionModel, depth: number, roll: number, work: InsertionWork): Stance {
  work.stance.roll = roll;
  work.stance.exit = armLength(model) - depth;
  rollFrame(model.port, roll, -work.stance.exit, work.stance.base);
  return work.stance;
}

export function solveAt(
  model: InsertionModel,
  depth: number,
  roll: number,
  bend: Float64Array,
  state: RodState,
  work: InsertionWork,
): SolveReport {
  return solveHeld(model.arm, model.load, stanceAt(model, depth, roll, work), bend, state, work.rod);
}

/** A shape that may be shown. */
export function solved(report: SolveReport): boolean {
  return report.status === "stable" || report.status === "slack";
}

/** A solve that gave no shape, in words. */
export function sayReport(report: SolveReport): string {
  if (report.status === "buckled") return `the arm is unstable there (${report.unstable} way${report.unstable === 1 ? "" : "s"} to buckle)`;
  if (report.status === "jammed" && report.slidesTo === undefined)
    return "it jams: what it touches holds it, and a cable would break before it bends as asked";
  if (report.status === "jammed")
    return `it jams: on walls of this friction it does not slide, up to a coefficient of ${(report.slidesTo as number).toFixed(2)} it does`;
  if (!Number.isFinite(report.step)) return `no balance was found in ${report.iterations} steps (they ran away: the loads are beyond the arm)`;
  return `no balance was found in ${report.iterations} steps (last step ${report.step.toExponential(1)} rad)`;
}
