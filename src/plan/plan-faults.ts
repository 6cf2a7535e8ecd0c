/** What may fail on a plan that is done: a stage of its own, stepped by whoever steps plans. */
import { dampingOf } from "../capacity/index.ts";
import { createFaults, type FaultResult, type FaultsModel } from "../faults/index.ts";
import { addFaults } from "../verdict/index.ts";
import type { PlanModel, PlanResult } from "./model.ts";
import { insertionModel } from "./step-plan.ts";

/** Undefined where the arm did not get all the way in and out: there is nothing to fail on. */
export function createPlanFaults(model: PlanModel, { route, wayIn, wayOut }: PlanResult): FaultsModel | undefined {
  const { job, space, arm } = model;
  if (route.status !== "found" || wayIn.length < 2 || wayOut.length < wayIn.length) return undefined;
  return createFaults({
    insertion: insertionModel(model, route),
    space,
    wayIn,
    guideLength: job.guideLength,
    sudden: 1 + overshoot(dampingOf(arm).low),
  });
}

/** Of a swing that is damped by a share of critical, the next peak beyond its rest: exp(-pi d / sqrt(1 - d^2)). */
function overshoot(damping: number): number {
  return Math.exp((-Math.PI * damping) / Math.sqrt(1 - damping * damping));
}

/** The plan with what was found, its verdict with the margins and conditions of that. */
export function withFaults({ job, arm }: PlanModel, result: PlanResult, faults: FaultResult): PlanResult {
  const deepest = result.wayIn[result.wayIn.length - 1]?.depth ?? Number.NaN;
  return { ...result, verdict: addFaults(result.verdict, { arm, bodies: job.bodies, faults, deepest }), faults };
}
