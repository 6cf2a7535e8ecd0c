/** Plans the first few changed arms, one after another, in small steps over a resumable state. */
import { InputError } from "../base/index.ts";
import type { Job } from "../job/index.ts";
import {
  createPlan,
  createPlanState,
  createPlanWork,
  type PlanModel,
  type PlanResult,
  type PlanState,
  type PlanWork,
  readPlan,
  stepPlan,
  type Turn,
} from "../plan/index.ts";
import type { Gain } from "../verdict/index.ts";
import { listTurns, type TurnJob } from "./list-turns.ts";

export interface TurnsModel {
  readonly jobs: readonly TurnJob[];
}

export interface TurnsState {
  index: number;
  plan: PlanState | undefined;
  turns: Turn[];
  done: boolean;
  progress: number;
  says: string;
}

export interface TurnsWork {
  model: PlanModel | undefined;
  plan: PlanWork | undefined;
}

/** @param count how many of the changes to plan again */
export function createTurns(job: Job, result: PlanResult, count: number): TurnsModel {
  const reach = result.wayIn[result.wayIn.length - 1]?.depth ?? Number.NaN;
  return { jobs: listTurns(job, reach).slice(0, count) };
}

export function createTurnsState(): TurnsState {
  return { index: 0, plan: undefined, turns: [], done: false, progress: 0, says: "" };
}

export function createTurnsWork(): TurnsWork {
  return { model: undefined, plan: undefined };
}

/** One step; nothing happens once `state.done`. */
export function stepTurns(model: TurnsModel, state: TurnsState, work: TurnsWork): void {
  const turn = model.jobs[state.index];
  if (turn === undefined) {
    state.done = true;
    state.progress = 1;
    return;
  }
  try {
    work.model ??= createPlan(turn.job);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    close(state, work, { says: turn.says, answer: "no go", uses: {}, tightest: `it cannot be built: ${error.faults[0]?.problem ?? ""}` });
    return;
  }
  state.plan ??= createPlanState(work.model);
  work.plan ??= createPlanWork(work.model);
  stepPlan(work.model, state.plan, work.plan);
  state.progress = (state.index + state.plan.progress.done) / model.jobs.length;
  state.says = `${turn.says}: ${state.plan.progress.says}`;
  if (state.plan.progress.stage !== "done") return;
  const { verdict } = readPlan(work.model, state.plan);
  const worst = verdict.rows[0];
  close(state, work, {
    says: turn.says,
    answer: verdict.answer,
    uses: Object.fromEntries(verdict.rows.map((row) => [row.id, row.use])),
    tightest:
      worst === undefined || verdict.reasons.length > 0
        ? [verdict.says, ...verdict.reasons].join(" ")
        : `${worst.title.toLowerCase()} at ${Math.round(worst.use * 100)} %`,
  });
}

function close(state: TurnsState, work: TurnsWork, turn: Turn): void {
  state.turns.push(turn);
  state.index++;
  state.plan = undefined;
  work.model = undefined;
  work.plan = undefined;
}

/** The result with what was tried, and each margin told what a change did to it. */
export function withTurns(result: PlanResult, turns: readonly Turn[]): PlanResult {
  const rows = result.verdict.rows.map((row) => {
    const planned: Gain[] = turns.flatMap((turn) => {
      const use = turn.uses[row.id];
      if (use === undefined || percent(use) === percent(row.use) || !(use < row.use)) return [];
      return [{ from: "planned" as const, says: `${turn.says}: ${percent(row.use)} to ${percent(use)} of the limit (${turn.answer})` }];
    });
    return { ...row, gains: [...row.gains, ...planned] };
  });
  return { ...result, verdict: { ...result.verdict, rows }, turns };
}

function percent(use: number): string {
  return Number.isFinite(use) ? `${Math.round(use * 100)} %` : "beyond all";
}
