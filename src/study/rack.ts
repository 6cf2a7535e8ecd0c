/** Every arm of a rack against one job: plain state, one arm after another in small steps. Many cores take a rack of one arm each. */
import type { ArmDescription } from "../arm/index.ts";
import { type Fault, InputError } from "../base/index.ts";
import { type Job, type LoadedArm, swapArm } from "../job/index.ts";
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
} from "../plan/index.ts";
import { type MarginRow, readMargin, type Verdict } from "../verdict/index.ts";

export interface RackArm {
  /** path from the rack's folder */
  readonly file: string;
  readonly loaded: LoadedArm;
}

/** The arm's shape at the end of the way in, to be drawn beside the others'. */
export interface RackShape {
  /** m of feed: the target's when the plan got there */
  readonly depth: number;
  /** [vertebra, 12] rotation row by row, then place, m, world */
  readonly frames: Float64Array;
  /** [vertebra] outer diameter, m */
  readonly diameter: Float64Array;
  /** [3] tool point, m, world */
  readonly tool: Float64Array;
  readonly toolDiameter: number;
  readonly firstFree: number;
}

/** A margin in short. */
export interface RackMargin {
  readonly title: string;
  /** demand / limit */
  readonly use: number;
  /** in the margin's unit: m for reach and clearance */
  readonly found: number;
  readonly allowed: number;
  readonly whereSays: string;
}

/** What became of one arm. Plain data. */
export type RackEntry =
  | {
      readonly kind: "planned";
      readonly file: string;
      readonly arm: string;
      readonly sections: number;
      readonly drives: number;
      readonly answer: Verdict["answer"];
      readonly says: string;
      /** why it is no yes; empty for a yes */
      readonly reasons: readonly string[];
      /** the cheapest change that would gain a margin that is over, else the worst one: the margin, the change and what it does */
      readonly hint?: string;
      readonly worst?: RackMargin;
      readonly reach?: RackMargin;
      readonly clearance?: RackMargin;
      readonly shape?: RackShape;
    }
  /** its files cannot be read, or it does not go with the job */
  | { readonly kind: "faulty"; readonly file: string; readonly arm?: string; readonly faults: readonly Fault[] }
  /** a bug of the program, told and not hidden */
  | { readonly kind: "failed"; readonly file: string; readonly arm: string; readonly says: string }
  /** not planned to its end */
  | { readonly kind: "waiting"; readonly file: string; readonly arm: string };

export interface RackModel {
  readonly job: Job;
  readonly arms: readonly RackArm[];
}

/** [arm] where each stands. Plain data. */
export interface RackState {
  places: RackPlace[];
}

export type RackPlace =
  | { readonly stage: "waiting" }
  | { readonly stage: "planning"; readonly plan: PlanState }
  | { readonly stage: "ended"; readonly entry: RackEntry; readonly result?: PlanResult };

export interface RackWork {
  index: number;
  model: PlanModel | undefined;
  plan: PlanWork | undefined;
}

export function createRackState(model: RackModel): RackState {
  return { places: model.arms.map(() => ({ stage: "waiting" })) };
}

export function createRackWork(): RackWork {
  return { index: -1, model: undefined, plan: undefined };
}

export function isRackDone(state: RackState): boolean {
  return state.places.every(({ stage }) => stage === "ended");
}

/** One step of the first arm that is not at its end; nothing happens after the last. */
export function stepRack(model: RackModel, state: RackState, work: RackWork): void {
  const index = state.places.findIndex(({ stage }) => stage !== "ended");
  const arm = model.arms[index];
  const place = state.places[index];
  if (arm === undefined || place === undefined || place.stage === "ended") return;
  try {
    if (work.index !== index || work.model === undefined) {
      work.index = index;
      work.model = createPlan(swapArm(model.job, arm.loaded));
      work.plan = createPlanWork(work.model);
    }
    const plan = place.stage === "planning" ? place.plan : createPlanState(work.model);
    stepPlan(work.model, plan, work.plan as PlanWork);
    if (plan.progress.stage !== "done") {
      state.places[index] = { stage: "planning", plan };
      return;
    }
    const result = readPlan(work.model, plan);
    state.places[index] = { stage: "ended", entry: entryOf(arm.file, arm.loaded.arm, result), result };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const entry: RackEntry = { kind: "faulty", file: arm.file, arm: arm.loaded.arm.name, faults: error.faults };
    state.places[index] = { stage: "ended", entry };
  }
}

/** 0 to 1, and what is being done. */
export function rackProgress(model: RackModel, { places }: RackState): { readonly done: number; readonly says: string } {
  let done = 0;
  let says = "";
  places.forEach((place, k) => {
    if (place.stage === "ended") done += 1;
    if (place.stage !== "planning") return;
    done += place.plan.progress.done;
    says = `${model.arms[k]?.loaded.arm.name}: ${place.plan.progress.says}`;
  });
  return { done: places.length === 0 ? 1 : done / places.length, says };
}

/** Where each arm stands, in the order of `sortRack`. */
export function readRack(model: RackModel, { places }: RackState): RackEntry[] {
  return sortRack(
    places.map((place, k) => {
      const { file, loaded } = model.arms[k] as RackArm;
      return place.stage === "ended" ? place.entry : { kind: "waiting", file, arm: loaded.arm.name };
    }),
  );
}

const answers: readonly Verdict["answer"][] = ["go", "go with conditions", "no go", "undecided"];
const kinds: readonly RackEntry["kind"][] = ["planned", "waiting", "failed", "faulty"];

/**
 * Arms that can first, each answer by its worst use, the least used first: the top row is the arm with the most in hand. Then those without a plan.
 * Equal ones stand by their file's name, so that the order depends on the arms alone.
 */
export function sortRack(entries: readonly RackEntry[]): RackEntry[] {
  const keys = (entry: RackEntry): readonly number[] => {
    if (entry.kind !== "planned") return [kinds.indexOf(entry.kind), 0, 0];
    const use = entry.worst?.use ?? Number.NaN;
    return [0, answers.indexOf(entry.answer), Number.isNaN(use) ? Number.POSITIVE_INFINITY : use];
  };
  return [...entries].sort((one, two) => {
    const [a, b] = [keys(one), keys(two)];
    for (let k = 0; k < a.length; k++) if (a[k] !== b[k]) return (a[k] as number) < (b[k] as number) ? -1 : 1;
    return one.file < two.file ? -1 : one.file > two.file ? 1 : 0;
  });
}

function entryOf(file: string, arm: ArmDescription, result: PlanResult): RackEntry {
  const { verdict } = result;
  const rowOf = (id: string): RackMargin | undefined => inShort(verdict.rows.find((row) => row.id === id));
  const worst = worstOf(verdict);
  const parts = { hint: hintOf(verdict, worst), worst: inShort(worst), reach: rowOf("reach"), clearance: rowOf("clearance") };
  const shape = shapeOf(arm, result);
  return {
    kind: "planned",
    file,
    arm: arm.name,
    sections: arm.sections.length,
    drives: arm.sections.reduce((sum, section) => sum + section.cableAngles.length, 0),
    answer: verdict.answer,
    says: verdict.says,
    reasons: verdict.reasons,
    ...(Object.fromEntries(Object.entries(parts).filter(([, value]) => value !== undefined)) as { hint?: string; worst?: RackMargin }),
    ...(shape === undefined ? {} : { shape }),
  };
}

/** What decides: a margin that is over or not known before those that hold. */
function worstOf({ rows }: Verdict): MarginRow | undefined {
  return rows.find((row) => row.state === "over") ?? rows.find((row) => row.state === "unknown") ?? rows[0];
}

function inShort(row: MarginRow | undefined): RackMargin | undefined {
  if (row === undefined) return undefined;
  const { found, allowed } = readMargin(row);
  return { title: row.title, use: row.use, found, allowed, whereSays: row.whereSays };
}

/** Of the margins that are over, or of the worst, the first with any; changes stand in the order a workshop makes them, the cheapest first. */
function hintOf({ rows }: Verdict, worst: MarginRow | undefined): string | undefined {
  const over = rows.filter((row) => row.state === "over");
  const helped = (over.length > 0 ? over : worst === undefined ? [] : [worst]).find(({ gains }) => gains.length > 0);
  return helped === undefined ? undefined : `${helped.title}: ${helped.gains[0]?.says}`;
}

function shapeOf(arm: ArmDescription, { wayIn }: PlanResult): RackShape | undefined {
  const last = wayIn[wayIn.length - 1];
  if (last === undefined) return undefined;
  // one vertebra a span, and one at the base that is as thick as the first
  const diameters = arm.sections.flatMap((section) => Array.from({ length: section.spans }, () => section.outerDiameter));
  return {
    depth: last.depth,
    frames: last.frames,
    diameter: Float64Array.from([diameters[0] as number, ...diameters]),
    tool: last.tool,
    toolDiameter: arm.tool.diameter,
    firstFree: last.firstFree,
  };
}
