/** Which changes cannot turn an answer, by local sensitivities: they are not planned. */
import { createArm } from "../arm/index.ts";
import { InputError } from "../base/index.ts";
import { armLength, createInsertionWork, type DepthRecord, type InsertionModel } from "../insertion/index.ts";
import type { Job } from "../job/index.ts";
import { createPlan, insertionModel, isProbed, type PlanResult, useAt } from "../plan/index.ts";
import type { MarginRow } from "../verdict/index.ts";
import { type ChangeName, changeJob, kindOf, sizesOf } from "./change-job.ts";

/** Size at which a sensitivity is looked at. */
const probeSize = 0.1;
/** A use that falls by less than this share is not gained by the change. */
const noGain = 1e-3;

/**
 * What each of the obstacles of a route that was not found may be mended by; a change that mends none of them is hopeless.
 *
 * @returns by name, why it is left out; the others are to be planned
 */
export function ruleOut(job: Job, result: PlanResult, names: readonly ChangeName[]): Map<ChangeName, string> {
  const out = new Map<ChangeName, string>();
  for (const name of names) {
    const why = result.route.status === "found" ? againstMargins(job, result, name) : againstObstacles(result, name);
    if (why !== undefined) out.set(name, why);
  }
  return out;
}

function againstObstacles({ route }: PlanResult, name: ChangeName): string | undefined {
  const found = new Set(route.obstacles.map((one) => one.kind));
  const kind = kindOf(name);
  if (found.size === 0 || found.has("unreached") || kind === "port" || kind === "target") return undefined;
  const helps =
    (found.has("length") && (name === "longer" || name === "section more")) ||
    (found.has("bend") && (name === "rods thinner" || name === "vertebrae narrower")) ||
    ((found.has("narrow") || found.has("start") || found.has("target")) && name === "vertebrae narrower");
  return helps ? undefined : `it mends nothing of what stands in the way (${[...found].join(", ")})`;
}

/** Margins beyond their limit: each of those that one solve tells has to gain. */
function againstMargins(job: Job, result: PlanResult, name: ChangeName): string | undefined {
  const over = result.verdict.rows.filter((row) => row.state === "over" && isProbed(row.id) && Number.isFinite(row.use));
  const kind = kindOf(name);
  if (over.length === 0 || kind === "port" || kind === "target" || result.route.curve === undefined) return undefined;
  const size = sizesOf(job, name);
  const changed = changeJob(job, name, size.kind === "one" ? size.unit : Math.max(size.unit, probeSize));
  if (changed === undefined) return "there is nothing of the kind to change";
  let arm: InsertionModel["arm"];
  try {
    arm = createArm(changed.job.arm);
  } catch (error) {
    // so much cannot be built; less might
    if (error instanceof InputError) return undefined;
    throw error;
  }
  const model = createPlan(job);
  const before = insertionModel(model, result.route);
  const after: InsertionModel = { ...before, arm };
  for (const row of over) {
    const [was, is] = usesOf(before, after, row, result, model.space);
    if (was !== undefined && is !== undefined && is > was * (1 - noGain))
      return `${row.title.toLowerCase()} would not gain by it (${percent(was)} to ${percent(is)}, estimated)`;
  }
  return undefined;
}

/** [before, after] both as one solve with the plan's bends tells them; undefined where it tells nothing. */
function usesOf(
  before: InsertionModel,
  after: InsertionModel,
  row: MarginRow,
  result: PlanResult,
  space: ReturnType<typeof createPlan>["space"],
): [number | undefined, number | undefined] {
  if (row.id === "reach") return [row.use, row.demand / (row.limit + armLength(after) - armLength(before))];
  const record: DepthRecord | undefined = result.wayIn.find((one) => one.depth === row.where.depth);
  // an arm of other sections takes other bends
  if (record === undefined || after.arm.sections !== before.arm.sections || after.arm.spans !== before.arm.spans)
    return [undefined, undefined];
  return [useAt(before, record, row, createInsertionWork(before, space)), useAt(after, record, row, createInsertionWork(after, space))];
}

function percent(use: number): string {
  return `${Math.round(100 * use)} %`;
}
