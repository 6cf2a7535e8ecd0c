/**
 * What the arm does when a cable breaks, a drive stalls or the power goes: one solve a step, over a resumable state.
 *
 * A cable that breaks is let out until it hangs loose and then taken away, all other drives locked: the shape that comes to rest.
 * In truth it goes at once and the arm swings past that shape; how far is given as a bound. A drive that stalls keeps its cable's free
 * length while the others go, all in step, to the lengths of the bends they are sent to.
 */
import type { ArmModel } from "../arm/index.ts";
import {
  cableStiffness,
  createRodState,
  type RodState,
  type SolveReport,
  type SolveStatus,
  solveLocked,
  solveTensions,
} from "../rod/index.ts";
import { createLockState, type LockState, stepLock } from "./lock-drives.ts";
import { distance, firstLimit, measureUses, placeOf } from "./measure-uses.ts";
import { type CapacityWork, carryOver, createCapacityWork, createUses, lengthOut, loadOf } from "./model.ts";
import type { RetentionCase, RetentionModel, RetentionState } from "./retention-model.ts";
import { backboneEnergy, lowestPlace, storedEnergy } from "./stored-energy.ts";

/** a step may move the tool point by this share of the length out */
const mostMove = 0.1;
const leastShare = 1 / 512;

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
    state.startShape = placesOf(arm, work);
    state.stored = storedEnergy(arm, state.lock.rod.tension);
    state.storedInRods = backboneEnergy(arm, state.lock.rod.strain, work.rod);
    return;
  }
  const index = state.cases.length;
  const stalls = model.sentTo === undefined ? 0 : arm.cables;
  const breaks = model.stallsAlone ? 0 : arm.cables;
  const all = breaks + stalls + (model.stallsAlone ? 0 : 2);
  if (index < breaks) breakCable(model, state, state.lock, index, work);
  else if (index < breaks + stalls) stallDrive(model, state, state.lock, index - breaks, work);
  else if (index === breaks + stalls)
    finish(model, state, state.lock, "locked", solve(model, state.lock.free, take(arm, state, state.lock), work), work);
  else release(model, state, state.lock, work);
  state.progress = state.cases.length / all;
  state.done = state.cases.length === all;
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

/** shares of the way that the drives go at first, and at least, also towards the first limit */
const firstShare = 0.25;
const limitShare = 1 / 64;

/** Sends the other drives a step further. */
function stallDrive(model: RetentionModel, state: RetentionState, lock: LockState, cable: number, work: CapacityWork): void {
  const { arm, hold, sentTo } = model;
  state.goal ??= createLockState(arm, { ...hold, bend: sentTo as Float64Array });
  const { goal } = state;
  if (goal.stage === "failed") {
    finish(model, state, lock, "stalled", goal.status === "buckled" ? "buckled" : "not-converged", work);
    return;
  }
  if (goal.stage !== "locked") {
    stepLock(arm, { ...hold, bend: sentTo as Float64Array }, goal, work);
    if ((goal.stage as string) !== "locked") return;
    measureUses(arm, {}, goal.rod, goal.tip, work);
    state.goalPoint.set(work.point);
    state.goalShape = placesOf(arm, work);
    return;
  }
  const rod = take(arm, state, lock);
  if (state.step === 0) state.step = firstShare;
  const gone = Math.min(1, state.reached + state.step);
  const free = lock.free.map((length, c) => (c === cable ? length : length + gone * ((goal.free[c] as number) - length)));
  const status = solve(model, free, rod, work);
  const limit = status === "stable" || status === "slack" ? limitOf(model, lock, work) : undefined;
  const nearer = state.limit === undefined && limit !== undefined && state.step > limitShare;
  if (nearer || !accept(model, state, status, state.step > leastShare, work)) {
    if (!nearer && state.step <= leastShare) finish(model, state, lock, "stalled", status, work);
    else state.step /= 2;
    return;
  }
  if (state.limit === undefined && limit !== undefined) {
    state.limit = limit;
    state.limitAt = placeOf(work.uses, limit);
    state.limitShare = state.reached;
  }
  state.reached = gone;
  state.step = Math.min(firstShare, 2 * state.step);
  if (gone === 1) finish(model, state, lock, "stalled", status, work);
}

function limitOf(model: RetentionModel, lock: LockState, work: CapacityWork) {
  measureUses(model.arm, {}, work.trial, lock.tip, work);
  return firstLimit(createUses(), work.uses);
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
  const { arm, hold } = model;
  const cable =
    kind === "broken" ? state.cases.length : kind === "stalled" ? state.cases.length - (model.stallsAlone ? 0 : arm.cables) : -1;
  const sudden = kind === "stalled" ? 1 : model.sudden;
  const before = lock.rod.tension;
  const known = status === "stable" || status === "slack";
  if (known) measureUses(arm, {}, work.trial, lock.tip, work);
  const { tension, strain } = work.trial;
  const shift = [0, 1, 2].map((k) => (work.point[k] as number) - (state.point[k] as number));
  const g = Math.sqrt(hold.gravity[0] ** 2 + hold.gravity[1] ** 2 + hold.gravity[2] ** 2);
  const none = Number.NaN;
  const moved = known ? distance(work.point, state.point) : none;
  const found: RetentionCase = {
    kind,
    cable,
    status,
    leapt: state.leapt,
    point: known ? [...work.point] : [],
    moved,
    swing: sudden * moved,
    drop: !known ? none : g === 0 ? 0 : shift.reduce((sum, x, k) => sum + (x * (hold.gravity[k] as number)) / g, 0),
    lowest: known ? lowestPlace(arm, hold, work) : none,
    uses: known ? { ...work.uses } : createUses(),
    tension: known ? [...tension] : [],
    swingCable: known
      ? worstOnSwing(arm, before, tension, work.band.most, sudden, kind === "released" ? undefined : kind === "broken" ? cable : -1)
      : none,
    stored: known ? storedEnergy(arm, tension) : none,
    storedInRods: known ? backboneEnergy(arm, strain, work.rod) : none,
    lost: kind === "broken" ? (before[cable] as number) ** 2 / (2 * cableStiffness(arm, cable)) : kind === "released" ? state.stored : 0,
    shape: known ? placesOf(arm, work) : [],
  };
  const { limit, limitAt: at, limitShare: share } = state;
  state.cases.push(
    kind === "stalled" ? { ...found, stall: { share, limit, at, astray: known ? distance(work.point, state.goalPoint) : none } } : found,
  );
  state.rod = undefined;
  state.reached = 0;
  state.step = 0;
  state.leapt = false;
  state.limit = undefined;
  state.limitAt = -1;
  state.limitShare = 1;
}

/** Greatest use of any cable that is left, from where it was past where it comes to rest. @param gone cable that is left out; undefined: all */
function worstOnSwing(
  arm: ArmModel,
  before: Float64Array,
  after: Float64Array,
  most: Float64Array,
  sudden: number,
  gone: number | undefined,
): number {
  let worst = 0;
  for (let c = 0; gone !== undefined && c < arm.cables; c++) {
    if (c === gone) continue;
    const peak = (before[c] as number) + Math.max(0, sudden * ((after[c] as number) - (before[c] as number)));
    // as much more as friction may make of it elsewhere along the cable
    const rubbed = (after[c] as number) > 0 ? (most[c] as number) / (after[c] as number) : 1;
    worst = Math.max(worst, (rubbed * peak) / (arm.workingLoad[c] as number));
  }
  return worst;
}

/** [vertebra, 3] m, world. */
function placesOf(arm: ArmModel, work: CapacityWork): number[] {
  return Array.from({ length: 3 * (arm.spans + 1) }, (_, k) => work.rod.frame[12 * Math.floor(k / 3) + 9 + (k % 3)] as number);
}
