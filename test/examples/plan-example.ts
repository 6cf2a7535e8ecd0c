/** Plans an example as it lies in the project. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { type Job, loadJob } from "../../src/job/index.ts";
import {
  createPlan,
  createPlanState,
  createPlanWork,
  type PlanModel,
  type PlanResult,
  type PlanState,
  readPlan,
  stepPlan,
} from "../../src/plan/index.ts";

const examples = fileURLToPath(new URL("../../examples/", import.meta.url));

export function readExample(name: string): Job {
  const files = new Map<string, Uint8Array>();
  const read = (path: string): void => {
    files.set(path, readFileSync(join(examples, name, path)));
  };
  read("job.yaml");
  for (;;) {
    const answer = loadJob("job.yaml", files);
    if (answer.kind === "job") return answer.job;
    answer.paths.forEach(read);
  }
}

export function planJob(job: Job): { model: PlanModel; state: PlanState; result: PlanResult } {
  const model = createPlan(job);
  const state = createPlanState(model);
  const work = createPlanWork(model);
  while (state.progress.stage !== "done") stepPlan(model, state, work);
  return { model, state, result: readPlan(model, state) };
}

export function use(result: PlanResult, id: string): number {
  return result.verdict.rows.find((row) => row.id === id)?.use ?? Number.NaN;
}
