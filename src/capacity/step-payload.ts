/**
 * The largest load the tip can carry in one direction, drives locked, and what ends it.
 *
 * The load grows from nothing; every load is a full solve that starts from the last shape that held. Steps are cut where the shape
 * or a use changes much. Between the largest load that held and the least that did not, halving goes on until they are
 * within the tolerance. Nothing is scaled from one load to another.
 */
import type { ArmModel } from "../arm/index.ts";
import { copyRodState, createRodState, type RodState, tipCompliance } from "../rod/index.ts";
import type { LockState } from "./lock-drives.ts";
import { distance, firstLimit, measureUses, placeOf, riseOf } from "./measure-uses.ts";
import { type CapacityWork, carryOver, createUses, type Hold, type LimitKind, lengthOut, type Uses } from "./model.ts";
import { losesStiffness, type PayloadRequest, solveLoaded } from "./solve-loaded.ts";

/** Why a payload ends. The last three are no limits of the arm: the load is held, but more may be. */
export type PayloadEnd = LimitKind | "unconverged" | "most" | "not-locked";

/** Plain data. */
export interface PayloadState {
  stage: "starting" | "growing" | "refining" | "beyond" | "done";
  /** N: largest load found to hold (below 0: none yet), least found not to */
  good: number;
  bad: number;
  /** N */
  step: number;
  /** N: below this a load counts as none */
  least: number;
  solves: number;
  /** looks beyond a load at which no shape was found */
  looks: number;
  end: PayloadEnd | undefined;
  at: number;
  /** N: least load met at which a cable hangs loose; infinite when none was */
  slackFrom: number;
  /** the shape at `good`, its uses and tool point */
  readonly rod: RodState;
  uses: Uses;
  readonly point: Float64Array;
  /** every shape that held on the way, from the least load on, where it is asked for */
  readonly trail: Held[] | undefined;
}

/** A shape that held. */
export interface Held {
  /** N */
  readonly load: number;
  readonly rod: RodState;
}

/** One point of a payload map. Plain data. */
export interface Payload {
  /** a limit of the arm was found and refined to the tolerance; otherwise `load` is held and more was not shown to be, or not to be */
  readonly found: boolean;
  /** [1] largest load found to hold, N */
  readonly load: number;
  /** [1] least load found not to hold, N; infinite when none was */
  readonly bound: number;
  readonly end: PayloadEnd;
  /** cable or span where the limit is met, -1 where it has no place */
  readonly at: number;
  /** at `load` */
  readonly uses: Uses;
  /** [3] tool point at `load`, m, world */
  readonly point: readonly number[];
  /** cables that hang loose at `load`; no limit by itself */
  readonly slack: readonly number[];
  /** [1] least load met at which a cable hangs loose, N; infinite when none was */
  readonly slackFrom: number;
  readonly solves: number;
}

const mostSolves = 400;
const newtonSteps = 25;
/** where little is left between, a far shape is worth looking for: it tells a fall from a search that fails */
const newtonStepsNear = 60;
/** how much beyond the last load tried, in shares of it, a far shape is looked for */
const looksBeyond = [0.003, 0.01, 0.03, 0.1] as const;
/** a step may move the tool point by this share of the length out, and raise a use by so much */
const mostMove = 0.1;
const mostRise = 0.5;
/** share of the length out that the first load would move the tool point by */
const firstMove = 0.02;

/** @param trail keep the shapes on the way */
export function createPayloadState(arm: ArmModel, trail = false): PayloadState {
  return {
    stage: "starting",
    good: -1,
    bad: Number.POSITIVE_INFINITY,
    step: 0,
    least: 0,
    solves: 0,
    looks: 0,
    end: undefined,
    at: -1,
    slackFrom: Number.POSITIVE_INFINITY,
    rod: createRodState(arm),
    uses: createUses(),
    point: new Float64Array(3),
    trail: trail ? [] : undefined,
  };
}

/** One solve at one load; nothing happens once `done`. @param lock its drives must be locked, or have failed to be */
export function stepPayload(
  arm: ArmModel,
  hold: Hold,
  request: PayloadRequest,
  lock: LockState,
  state: PayloadState,
  work: CapacityWork,
): void {
  if (state.stage === "done") return;
  if (lock.stage !== "locked") {
    // balanced at the bends, but only like a pencil on its point: it does not carry itself
    const falls = lock.status === "buckled";
    if (falls) state.bad = 0;
    end(state, falls ? "unstable" : "not-locked", -1);
    return;
  }
  if (state.stage === "starting") {
    start(arm, hold, request, lock, state, work);
    return;
  }
  if (state.stage === "beyond") {
    seeBeyond(arm, hold, request, lock, state, work);
    return;
  }
  const load = state.stage === "refining" ? (state.good + state.bad) / 2 : Math.min(request.most, state.good + state.step);
  const status = solveLoaded(arm, hold, request, lock, state.rod, load, isNear(state, load, request) ? newtonStepsNear : newtonSteps, work);
  state.solves++;
  if (status === "not-converged") retry(state, load, "unconverged", request);
  else judge(arm, hold, request, lock, state, load, status, work);
  if (state.solves >= mostSolves) end(state, "unconverged", -1);
}

/** Without any payload. */
function start(arm: ArmModel, hold: Hold, request: PayloadRequest, lock: LockState, state: PayloadState, work: CapacityWork): void {
  const status = solveLoaded(arm, hold, request, lock, lock.rod, 0, newtonStepsNear, work);
  state.solves++;
  if (status === "not-converged") {
    end(state, "unconverged", -1);
    return;
  }
  measureUses(arm, request.limits, work.trial, lock.tip, work);
  keep(state, 0, status, work);
  const limit = status === "buckled" ? "unstable" : firstLimit(work.uses, work.uses);
  if (limit !== undefined) {
    state.bad = 0;
    end(state, limit, placeOf(work.uses, limit));
    return;
  }
  const compliance = new Float64Array(36);
  tipCompliance(arm, work.trial, "locked", work.rod, compliance);
  const give = (compliance[21] as number) + (compliance[28] as number) + (compliance[35] as number);
  state.step = (firstMove * lengthOut(arm, hold.stance)) / give;
  state.least = 1e-6 * state.step;
  state.stage = "growing";
  if (!Number.isFinite(state.step) || !(state.step > 0)) end(state, "unconverged", -1);
}

function judge(
  arm: ArmModel,
  hold: Hold,
  request: PayloadRequest,
  lock: LockState,
  state: PayloadState,
  load: number,
  status: "stable" | "slack" | "buckled",
  work: CapacityWork,
): void {
  measureUses(arm, request.limits, work.trial, lock.tip, work);
  const move = distance(work.point, state.point) / (mostMove * lengthOut(arm, hold.stance));
  const rise = Math.max(move, riseOf(state.uses, work.uses) / mostRise);
  if (rise > 1 && state.stage === "growing" && !isNear(state, load, request)) {
    state.step = (load - state.good) / 2;
    return;
  }
  // a shape that moves far however little is added has gone to another balance
  const limit = status === "buckled" || move > 1 ? "unstable" : firstLimit(state.uses, work.uses);
  if (limit !== undefined) {
    fail(state, load, limit, placeOf(work.uses, limit), request);
    return;
  }
  const step = load - state.good;
  keep(state, load, status, work);
  if (state.stage === "refining") settle(state, request);
  else if (load >= request.most) end(state, "most", -1);
  else state.step = step * Math.min(2, Math.max(0.5, 0.7 / rise));
}

/** No balance was found: from nearer by, until there is nothing left between. */
function retry(state: PayloadState, load: number, why: "unconverged", request: PayloadRequest): void {
  if (state.stage === "refining" || isNear(state, load, request)) fail(state, load, why, -1, request);
  else state.step = (load - state.good) / 2;
}

/**
 * No shape was found just beyond the last that held. One that lies far away, a little further on, says that the arm falls there; so does a
 * stiffness of the tip that has nearly come down to nothing.
 */
function seeBeyond(arm: ArmModel, hold: Hold, request: PayloadRequest, lock: LockState, state: PayloadState, work: CapacityWork): void {
  const status = solveLoaded(
    arm,
    hold,
    request,
    lock,
    state.rod,
    (1 + (looksBeyond[state.looks] as number)) * state.bad,
    newtonStepsNear,
    work,
  );
  state.solves++;
  state.looks++;
  if (status !== "not-converged" || state.looks === looksBeyond.length) state.stage = "done";
  if (status === "not-converged") {
    if (state.stage === "done" && losesStiffness(arm, hold, request, lock, state.rod, state.good, work)) state.end = "unstable";
    return;
  }
  measureUses(arm, request.limits, work.trial, lock.tip, work);
  if (status === "buckled" || distance(work.point, state.point) > mostMove * lengthOut(arm, hold.stance)) state.end = "unstable";
}

function fail(state: PayloadState, load: number, why: PayloadEnd, at: number, request: PayloadRequest): void {
  state.bad = load;
  state.end = why;
  state.at = at;
  state.stage = "refining";
  settle(state, request);
}

function settle(state: PayloadState, request: PayloadRequest): void {
  if (isNear(state, state.bad, request)) state.stage = state.end === "unconverged" ? "beyond" : "done";
}

function isNear(state: PayloadState, load: number, request: PayloadRequest): boolean {
  return load - state.good <= Math.max(state.least, request.tolerance * load);
}

/** The shape just solved holds. */
function keep(state: PayloadState, load: number, status: "stable" | "slack" | "buckled", work: CapacityWork): void {
  state.good = load;
  if (status === "slack") state.slackFrom = Math.min(state.slackFrom, load);
  carryOver(work.trial, state.rod);
  state.uses = { ...work.uses };
  state.point.set(work.point);
  state.trail?.push({ load, rod: copyRodState(work.trial) });
}

function end(state: PayloadState, why: PayloadEnd, at: number): void {
  state.end = why;
  state.at = at;
  state.stage = "done";
}

/** The payload as far as it is known; of a state that is `done`, the answer. */
export function readPayload(state: PayloadState): Payload {
  const why = state.end ?? "unconverged";
  const slack: number[] = [];
  state.rod.tension.forEach((t, c) => {
    if (t <= 0) slack.push(c);
  });
  return {
    found: state.stage === "done" && why !== "unconverged" && why !== "most" && why !== "not-locked",
    load: Math.max(0, state.good),
    bound: state.bad,
    end: why,
    at: state.at,
    uses: { ...state.uses },
    point: [...state.point],
    slack: state.good < 0 ? [] : slack,
    slackFrom: state.slackFrom,
    solves: state.solves,
  };
}
