/**
 * What the arm does when a cable breaks or the power goes: one solve a step, over a resumable state.
 *
 * A cable that breaks is let out until it hangs loose and then taken away, all other drives locked: the shape that comes to rest.
 * In truth it goes at once and the arm swings past that shape; how far is given as a bound.
 */
import type { ArmModel } from "../arm/index.ts";
import {
  cableStiffness,
  createRodState,
  type Load,
  type RodState,
  type SolveReport,
  type SolveStatus,
  solveLocked,
  solveTensions,
} from "../rod/index.ts";
import { createLockState, type LockState, stepLock } from "./lock-drives.ts";
import { distance, measureUses } from "./measure-uses.ts";
import { type CapacityWork, carryOver, createCapacityWork, createUses, type Hold, lengthOut, type Uses } from "./model.ts";

/** Readonly, plain. Cases go: every cable broken, then the power lost with the drives locked, then with the drives let go. */
export interface RetentionModel {
  readonly arm: ArmModel;
  readonly hold: Hold;
  /** 1 + overshoot of a sudden change: 2 without damping */
  readonly sudden: number;
}

export interface RetentionCase {
  /** `broken`: one cable; `locked`: all power lost, drives that hold; `released`: all power lost, drives that run free, no cable pulls */
  readonly kind: "broken" | "locked" | "released";
  /** -1 but for `broken` */
  readonly cable: number;
  /** of the shape that comes to rest; the numbers below mean something only when it is `stable` or `slack` */
  readonly status: SolveStatus;
  /** the shape leapt from one balance to another on the way */
  readonly leapt: boolean;
  /** [3] tool point, m, world, and how far it has moved, m */
  readonly point: readonly number[];
  readonly moved: number;
  /** bound on how far it moves on the first swing: `sudden` times `moved`, m */
  readonly swing: number;
  /** how far it moves along gravity, m; 0 without gravity */
  readonly drop: number;
  /** at rest */
  readonly uses: Uses;
  /** [cable] at rest, N */
  readonly tension: readonly number[];
  /** bound on the greatest use of any cable on the first swing */
  readonly swingCable: number;
  /** energy in the cables at rest, and what the broken cable lets go, J */
  readonly stored: number;
  readonly lost: number;
}

/** Plain data. */
export interface RetentionState {
  lock: LockState | undefined;
  /** [3] tool point and J of all cables before anything breaks */
  readonly point: Float64Array;
  stored: number;
  /** the case at hand: the shape reached, its tool point, how far it has gone (m let out, or share of the tensions), and its next step */
  rod: RodState | undefined;
  readonly lastPoint: Float64Array;
  reached: number;
  step: number;
  leapt: boolean;
  cases: RetentionCase[];
  done: boolean;
  progress: number;
  /** of the carrying shape; no case is looked at when it is not stable */
  status: SolveStatus;
}

/** a step may move the tool point by this share of the length out */
const mostMove = 0.1;
const leastShare = 1 / 512;

/** @param damping share of critical of the arm's first swing, 0 to 1; none when absent, which bounds all others */
export function createRetention(arm: ArmModel, hold: Hold, damping = 0): RetentionModel {
  // overshoot of a damped oscillator after a step
  const sudden = damping >= 1 ? 1 : 1 + Math.exp((-Math.PI * damping) / Math.sqrt(1 - damping * damping));
  return { arm, hold, sudden };
}

export function createRetentionState(): RetentionState {
  return {
    lock: undefined,
    point: new Float64Array(3),
    stored: 0,
    rod: undefined,
    lastPoint: new Float64Array(3),
    reached: 0,
    step: 0,
    leapt: false,
    cases: [],
    done: false,
    progress: 0,
    status: "not-converged",
  };
}

export function createRetentionWork(model: RetentionModel): CapacityWork {
  return createCapacityWork(model.arm);
}

/** One solve; nothing happens once `state.done`. */
export function stepRetention(model: RetentionModel, state: RetentionState, work: CapacityWork): void {
  if (state.done) return;
  const { arm, hold } = model;
  state.lock ??= createLockState(arm, hold);
  if (state.lock.stage !== "locked" && state.lock.stage !== "failed") {
    stepLock(arm, hold, state.lock, work);
    state.status = state.lock.status;
    if ((state.lock.stage as string) === "failed") state.done = true;
    if ((state.lock.stage as string) !== "locked") return;
    measureUses(arm, {}, state.lock.rod, state.lock.tip, work);
    state.point.set(work.point);
    state.stored = storedEnergy(arm, state.lock.rod.tension);
    return;
  }
  const index = state.cases.length;
  if (index < arm.cables) breakCable(model, state, state.lock, index, work);
  else if (index === arm.cables)
    finish(model, state, state.lock, "locked", solve(model, state.lock.free, take(arm, state, state.lock), work), work);
  else release(model, state, state.lock, work);
  state.progress = state.cases.length / (arm.cables + 2);
  state.done = state.cases.length === arm.cables + 2;
}

/** Energy that stretched cables hold, arm and conduit together, J: half of tension squared over stiffness. */
export function storedEnergy(arm: ArmModel, tension: ArrayLike<number>): number {
  let sum = 0;
  for (let c = 0; c < arm.cables; c++) sum += (tension[c] as number) ** 2 / (2 * cableStiffness(arm, c));
  return sum;
}

/** The shape that a case starts from or has come to, ready to be tried from. */
function take(arm: ArmModel, state: RetentionState, lock: LockState): RodState {
  if (state.rod === undefined) {
    state.rod = createRodState(arm);
    carryOver(lock.rod, state.rod);
    state.lastPoint.set(state.point);
  }
  return state.rod;
}

function solve(model: RetentionModel, free: Float64Array, from: RodState, work: CapacityWork): SolveStatus {
  carryOver(from, work.trial);
  return solveLocked(model.arm, loadOf(model.hold), model.hold.stance, free, work.trial, work.rod, { ramp: false }).status;
}

function loadOf(hold: Hold): Load {
  return { gravity: hold.gravity, forces: hold.forces };
}

/** Lets one cable out by a step; once it is loose, takes it away. */
function breakCable(model: RetentionModel, state: RetentionState, lock: LockState, cable: number, work: CapacityWork): void {
  const { arm } = model;
  const rod = take(arm, state, lock);
  const stretch = (lock.rod.tension[cable] as number) / cableStiffness(arm, cable);
  const free = lock.free.slice();
  if ((rod.tension[cable] as number) <= 0) {
    free[cable] = Number.POSITIVE_INFINITY;
    finish(model, state, lock, "broken", solve(model, free, rod, work), work);
    return;
  }
  if (state.step === 0) state.step = stretch / 2;
  const out = state.reached + state.step;
  free[cable] = (free[cable] as number) + out;
  const status = solve(model, free, rod, work);
  if (!accept(model, state, status, state.step > leastShare * stretch, work)) {
    if (state.step <= leastShare * stretch) finish(model, state, lock, "broken", status, work);
    else state.step /= 2;
    return;
  }
  state.reached = out;
  state.step *= 2;
}

/** Takes a step of all tensions away. */
function release(model: RetentionModel, state: RetentionState, lock: LockState, work: CapacityWork): void {
  const { arm, hold } = model;
  const rod = take(arm, state, lock);
  if (state.step === 0) state.step = 0.25;
  const gone = Math.min(1, state.reached + state.step);
  carryOver(rod, work.trial);
  for (let c = 0; c < arm.cables; c++) work.trial.tension[c] = (1 - gone) * (lock.rod.tension[c] as number);
  const report: SolveReport = solveTensions(arm, loadOf(hold), hold.stance, work.trial, work.rod, { ramp: false, mostSteps: 60 });
  if (!accept(model, state, report.status, state.step > leastShare, work)) {
    if (state.step <= leastShare) finish(model, state, lock, "released", fallFromRest(model, state, work), work);
    else state.step /= 2;
    return;
  }
  state.leapt ||= report.escaped;
  state.reached = gone;
  state.step *= 2;
  if (gone === 1) finish(model, state, lock, "released", report.status, work);
}

/** No way leads down by small steps: the arm falls. Its shape at rest is looked for from straight, the load growing from nothing. */
function fallFromRest(model: RetentionModel, state: RetentionState, work: CapacityWork): SolveStatus {
  const { arm, hold } = model;
  state.leapt = true;
  work.trial.strain.set(arm.rest);
  work.trial.effort.fill(0);
  work.trial.tension.fill(0);
  return solveTensions(arm, loadOf(hold), hold.stance, work.trial, work.rod, { ramp: true }).status;
}

/** Keeps the shape just solved as the one reached, unless there was none or it moved far and can still be approached by less. */
function accept(model: RetentionModel, state: RetentionState, status: SolveStatus, finer: boolean, work: CapacityWork): boolean {
  if (status !== "stable" && status !== "slack") return false;
  const { arm, hold } = model;
  const rod = state.rod as RodState;
  measureUses(arm, {}, work.trial, (state.lock as LockState).tip, work);
  const far = distance(work.point, state.lastPoint) > mostMove * lengthOut(arm, hold.stance);
  if (far && finer) return false;
  state.leapt ||= far;
  carryOver(work.trial, rod);
  state.lastPoint.set(work.point);
  return true;
}

function finish(
  model: RetentionModel,
  state: RetentionState,
  lock: LockState,
  kind: RetentionCase["kind"],
  status: SolveStatus,
  work: CapacityWork,
): void {
  const { arm, hold, sudden } = model;
  const cable = kind === "broken" ? state.cases.length : -1;
  const before = lock.rod.tension;
  const known = status === "stable" || status === "slack";
  if (known) measureUses(arm, {}, work.trial, lock.tip, work);
  const { tension } = work.trial;
  const shift = [0, 1, 2].map((k) => (work.point[k] as number) - (state.point[k] as number));
  const g = Math.sqrt(hold.gravity[0] ** 2 + hold.gravity[1] ** 2 + hold.gravity[2] ** 2);
  const none = Number.NaN;
  let swingCable = 0;
  for (let c = 0; c < arm.cables; c++) {
    if (c === cable || kind === "released") continue;
    // from where it was, past where it comes to rest
    const peak = (before[c] as number) + Math.max(0, sudden * ((tension[c] as number) - (before[c] as number)));
    swingCable = Math.max(swingCable, peak / (arm.workingLoad[c] as number));
  }
  const moved = known ? distance(work.point, state.point) : none;
  state.cases.push({
    kind,
    cable,
    status,
    leapt: state.leapt,
    point: known ? [...work.point] : [],
    moved,
    swing: sudden * moved,
    drop: !known ? none : g === 0 ? 0 : shift.reduce((sum, x, k) => sum + (x * (hold.gravity[k] as number)) / g, 0),
    uses: known ? { ...work.uses } : createUses(),
    tension: known ? [...tension] : [],
    swingCable: known ? swingCable : none,
    stored: known ? storedEnergy(arm, tension) : none,
    lost: kind === "broken" ? (before[cable] as number) ** 2 / (2 * cableStiffness(arm, cable)) : kind === "released" ? state.stored : 0,
  });
  state.rod = undefined;
  state.reached = 0;
  state.step = 0;
  state.leapt = false;
}
