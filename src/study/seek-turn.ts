/**
 * The smallest allowed change that turns the answer to a go: every kind of change in growing sizes, each planned again in full from the route on, the
 * small ones of all kinds before the larger ones of any; then what turned it is made as small as it may be by halving. In small steps over a
 * resumable state.
 */
import { InputError } from "../base/index.ts";
import {
  createFaultsState,
  createFaultsWork,
  type FaultsModel,
  type FaultsState,
  type FaultsWork,
  readFaults,
  stepFaults,
} from "../faults/index.ts";
import type { ChangeKind, Job } from "../job/index.ts";
import {
  createPlan,
  createPlanFaults,
  createPlanState,
  createPlanWork,
  type PlanModel,
  type PlanResult,
  type PlanState,
  type PlanWork,
  readPlan,
  stepPlan,
  type Turn,
  withFaults,
} from "../plan/index.ts";
import { type ChangeName, changeJob, kindOf, listNames, sizesOf } from "./change-job.ts";
import { ruleOut } from "./rule-out.ts";

/** Sizes that are gone through, as shares of what is changed. */
const levels = [0.025, 0.05, 0.1, 0.2, 0.4] as const;
/** What an arm's owner may change by himself, where the job says nothing. */
const ownChanges: readonly ChangeKind[] = ["length", "sections", "pretension", "cable", "backbone", "diameter"];
/** The size found is right to this share of it. */
const fine = 0.1;

/** Readonly, plain data. */
export interface SeekModel {
  readonly job: Job;
  readonly names: readonly ChangeName[];
  readonly leftOut: readonly { readonly says: string; readonly why: string }[];
  /** the plan was judged with what may fail: so is every change that would do without */
  readonly faults: boolean;
}

interface Size {
  readonly name: ChangeName;
  readonly size: number;
}

/** Plain data. */
export interface SeekState {
  stage: "growing" | "halving" | "done";
  /** next of `names` at `level` */
  at: number;
  level: number;
  /** by name: largest size that was tried and did not turn it */
  failed: Partial<Record<ChangeName, number>>;
  /** what turned it, smallest so far */
  best: (Size & { readonly turn: Turn }) | undefined;
  trying: Size | undefined;
  plan: PlanState | undefined;
  /** a plan that goes, while what may fail on it is looked at */
  planned: PlanResult | undefined;
  faults: FaultsState | undefined;
  /** in the order tried */
  turns: Turn[];
  progress: number;
  says: string;
}

export interface SeekWork {
  model: PlanModel | undefined;
  plan: PlanWork | undefined;
  faults: { readonly model: FaultsModel; readonly work: FaultsWork } | undefined;
}

/** @param result the plan of the job as it is */
export function createSeek(job: Job, result: PlanResult): SeekModel {
  const allowed = job.mayChange ?? ownChanges;
  const names = listNames(job).filter((name) => allowed.includes(kindOf(name)));
  const out = ruleOut(job, result, names);
  return {
    job,
    names: names.filter((name) => !out.has(name)),
    leftOut: [...out].map(([says, why]) => ({ says, why })),
    faults: result.faults !== undefined,
  };
}

export function createSeekState(): SeekState {
  return {
    stage: "growing",
    at: 0,
    level: 0,
    failed: {},
    best: undefined,
    trying: undefined,
    plan: undefined,
    planned: undefined,
    faults: undefined,
    turns: [],
    progress: 0,
    says: "Looking for the smallest change that would do.",
  };
}

export function createSeekWork(): SeekWork {
  return { model: undefined, plan: undefined, faults: undefined };
}

/** One step of one plan; nothing happens once the stage is `done`. */
export function stepSeek(model: SeekModel, state: SeekState, work: SeekWork): void {
  if (state.stage === "done") return;
  state.trying ??= choose(model, state);
  const { trying } = state;
  if (trying === undefined) {
    state.stage = "done";
    state.progress = 1;
    return;
  }
  const changed = changeJob(model.job, trying.name, trying.size);
  if (changed === undefined) {
    settle(state, work, trying, undefined);
    return;
  }
  try {
    work.model ??= createPlan(changed.job);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const why = `it cannot be built: ${error.faults[0]?.path ?? ""} ${error.faults[0]?.problem ?? ""}`;
    settle(state, work, trying, { says: changed.says, answer: "no go", uses: {}, tightest: why, size: trying.size });
    return;
  }
  const result =
    state.planned === undefined
      ? planOn(model, state, work.model, changed.says, work)
      : failOn(state, state.planned, work.model, changed.says, work);
  if (result === undefined) return;
  const { verdict } = result;
  const worst = verdict.rows[0];
  settle(state, work, trying, {
    says: changed.says,
    answer: verdict.answer,
    uses: Object.fromEntries(verdict.rows.map((row) => [row.id, row.use])),
    tightest:
      worst === undefined || verdict.reasons.length > 0
        ? [verdict.says, ...verdict.reasons].join(" ")
        : `${worst.title.toLowerCase()} at ${Math.round(worst.use * 100)} %`,
    size: trying.size,
  });
}

/** A step of the plan; its result when nothing is left to look at. */
function planOn(model: SeekModel, state: SeekState, plan: PlanModel, says: string, work: SeekWork): PlanResult | undefined {
  state.plan ??= createPlanState(plan);
  work.plan ??= createPlanWork(plan);
  stepPlan(plan, state.plan, work.plan);
  state.says = `${says}: ${state.plan.progress.says}`;
  state.progress = Math.max(state.progress, progressOf(model, state, state.plan.progress.done));
  if (state.plan.progress.stage !== "done") return undefined;
  const result = readPlan(plan, state.plan);
  if (!model.faults || !goes(result.verdict.answer)) return result;
  state.planned = result;
  return undefined;
}

/** A step of what may fail on a plan that goes. */
function failOn(state: SeekState, planned: PlanResult, plan: PlanModel, says: string, work: SeekWork): PlanResult | undefined {
  if (work.faults === undefined) {
    const model = createPlanFaults(plan, planned);
    if (model === undefined) return planned;
    work.faults = { model, work: createFaultsWork(model, plan.space) };
  }
  const { model } = work.faults;
  state.faults ??= createFaultsState(model);
  stepFaults(model, state.faults, work.faults.work);
  state.says = `${says}: ${state.faults.says}`;
  return state.faults.done ? withFaults(plan, planned, readFaults(model, [state.faults])) : undefined;
}

function goes(answer: Turn["answer"]): boolean {
  return answer === "go" || answer === "go with conditions";
}

/** The search by levels is nine tenths of what there is to do, at the most. */
function progressOf(model: SeekModel, state: SeekState, done: number): number {
  if (state.stage === "halving") return 0.9;
  return Math.min(0.9, (0.9 * (state.level * model.names.length + state.at + done)) / (levels.length * Math.max(1, model.names.length)));
}

/** What is tried next; undefined when nothing is left. */
function choose(model: SeekModel, state: SeekState): Size | undefined {
  if (state.stage === "halving") return halve(model, state);
  for (; state.level < levels.length; state.level++, state.at = 0) {
    for (; state.at < model.names.length; state.at++) {
      const name = model.names[state.at] as ChangeName;
      const size = sizeAt(model.job, name, state.level);
      if (size !== undefined && size > (state.failed[name] ?? 0) * (1 + 1e-9)) return { name, size };
    }
  }
  return undefined;
}

/** The size at a level: as many whole things as fit in it; what is larger even by one waits for the level that is as large, or for the last. */
function sizeAt(job: Job, name: ChangeName, level: number): number | undefined {
  const { kind, unit } = sizesOf(job, name);
  const size = levels[level] as number;
  if (kind === "any") return size;
  if (size < unit * (1 - 1e-9)) return level === levels.length - 1 ? unit : undefined;
  return kind === "one" ? unit : unit * Math.floor(size / unit + 1e-9);
}

/** Between the largest size that did not turn it and the smallest that did; undefined when they are near enough. */
function halve(model: SeekModel, { best, failed }: SeekState): Size | undefined {
  if (best === undefined) return undefined;
  const { name, size } = best;
  const low = failed[name] ?? 0;
  const { kind, unit } = sizesOf(model.job, name);
  if (kind === "one") return undefined;
  if (kind === "any") return size - low <= fine * size ? undefined : { name, size: (low + size) / 2 };
  const [few, many] = [Math.round(low / unit), Math.round(size / unit)];
  return many - few <= 1 ? undefined : { name, size: unit * Math.floor((few + many) / 2) };
}

function settle(state: SeekState, work: SeekWork, { name, size }: Size, turn: Turn | undefined): void {
  const turned = turn !== undefined && goes(turn.answer);
  if (turn !== undefined) state.turns.push(turn);
  if (turned) {
    state.best = { name, size, turn };
    state.stage = "halving";
  } else {
    state.failed[name] = Math.max(size, state.failed[name] ?? 0);
    if (state.stage === "growing") state.at++;
  }
  state.trying = undefined;
  state.plan = undefined;
  state.planned = undefined;
  state.faults = undefined;
  work.model = undefined;
  work.plan = undefined;
  work.faults = undefined;
}

/** The result with what was found, and all that was tried on the way. */
export function withSeek(result: PlanResult, model: SeekModel, state: SeekState): PlanResult {
  const found = state.best?.turn;
  return {
    ...result,
    turns: [...(result.turns ?? []), ...state.turns],
    sought: { ...(found === undefined ? {} : { found }), leftOut: model.leftOut },
  };
}
