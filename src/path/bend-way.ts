/**
 * A way bent into a curve and checked; and where no curve keeps all limits, what would be possible without them: another
 * way, any length, the gentlest bend.
 */
import { assert } from "../base/index.ts";
import type { SpaceModel } from "../space/index.ts";
import { createCheck, placeAt, stepCheck } from "./check-curve.ts";
import type { RouteRequest } from "./model.ts";
import { atEnd, neededRoom, type RouteState, type RouteWork } from "./route-state.ts";
import { sayBend, sayHardest, sayLength, sayUnproven } from "./say-obstacle.ts";
import { stepSmooth } from "./smooth-curve.ts";
import { createSmooth, wayLength } from "./smooth-model.ts";
import { finish, goOn } from "./stage.ts";
import { sweepTaut, tautStart, tautSweeps } from "./tauten-way.ts";

/** Distances asked in one step. */
const distancesAStep = 800;
const mostTries = 3;
const easing = 0.85;
const leastEase = 0.15;
/** A fault (share of a limit) below which the curve is given shorter spans, and how much shorter. */
const nearly = 0.1;
const finer = 2.5;
/** The gentlest bend is found to within this ratio. */
const easedClose = 1.03;

/** Begins to bend the way: under all constraints, without the length, or with another bend radius. */
export function startSmooth(request: RouteRequest, state: RouteState, aim: RouteState["aim"], bend: number): void {
  const goal = state.goals[state.wayGoal]!;
  const length = aim === "all" ? request.length : Number.POSITIVE_INFINITY;
  state.aim = aim;
  state.smooth = createSmooth(atEnd(request, state), state.way, state.ends[goal.end]!, bend, length, state.fineness);
  goOn(state, "smooth", "bending the way into a curve", aim === "all" ? 0.5 : aim === "any length" ? 0.7 : 0.8);
}

/** Some steps of the optimisation. */
export function smoothen(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
  const smooth = state.smooth!;
  const each = 3 * (smooth.clearPress.length + smooth.endPress.length);
  for (let spent = 0; spent < distancesAStep && smooth.phase === 0; spent += each) {
    stepSmooth(space, state.cells!, request, smooth, work);
  }
  state.says = `bending the way into a curve: round ${smooth.outer}`;
  if (smooth.phase === 1) {
    state.check = createCheck(request, smooth, state.throat);
    goOn(state, "check", "checking the curve", 0.9);
  } else if (smooth.phase === 2) failed(space, request, state, smooth.fault);
}

/** Exact distances along the curve; a small shortfall goes back to the solver with a little more room asked for. */
export function check(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
  const smooth = state.smooth!;
  const found = state.check!;
  stepCheck(space, state.cells!, request, smooth, found, work);
  if (!found.done) return;
  const need = neededRoom(request);
  const length = found.curve.arc[found.curve.count - 1]!;
  const sharp = found.curvature * smooth.bend > 1;
  const long = length - state.throat > smooth.length;
  if (found.short <= 0 && !sharp && !long) {
    succeed(space, request, state);
    return;
  }
  const more = smooth.room + 1.3 * found.short + 1e-4 * need;
  if (sharp || long || more > 1.1 * need || smooth.outer >= 60) {
    failed(
      space,
      request,
      state,
      Math.max(found.short / need, found.curvature * smooth.bend - 1, (length - state.throat) / smooth.length - 1),
    );
    return;
  }
  smooth.room = more;
  smooth.phase = 0;
  smooth.inner = 0;
  goOn(state, "smooth", "bending the way into a curve: a little more room", 0.85);
}

/** A checked curve: the route itself, or the measure of what is missing. */
function succeed(space: SpaceModel, request: RouteRequest, state: RouteState): void {
  const found = state.check!;
  if (state.aim !== "any bend") state.curve = found.curve;
  const length = found.curve.arc[found.curve.count - 1]!;
  if (found.curvature * request.bendRadius <= 1 && length <= request.length + state.throat) {
    state.curve = found.curve;
    finish(state, "found", []);
  } else if (state.aim === "any length") tellLength(request, state);
  else {
    state.easedGood = state.smooth!.bend;
    state.easedCurve = found;
    if (state.easedBad > easedClose * state.easedGood) {
      state.easedRadius = Math.sqrt(state.easedGood * state.easedBad);
      startSmooth(request, state, "any bend", state.easedRadius);
    } else finishEased(space, request, state);
  }
}

/** The gentlest curve found, and what it lacks. */
function finishEased(space: SpaceModel, request: RouteRequest, state: RouteState): void {
  const { curve, sharpest, curvature } = state.easedCurve!;
  state.curve = curve;
  state.obstacles = [sayBend(space, request, curve, placeAt(curve, sharpest), 1 / curvature)];
  if (curve.arc[curve.count - 1]! > request.length + state.throat) tellLength(request, state);
  else finish(state, "not-found", state.obstacles);
}

/** The curve is too long: how long the way is at the very least is worth knowing. */
function tellLength(request: RouteRequest, state: RouteState): void {
  state.line = tautStart(state.way, neededRoom(request));
  state.sweeps = 0;
  goOn(state, "taut", "pulling the way taut", 0.95);
}

/** Some sweeps; then the length is told. */
export function pullTaut(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
  for (let spent = 0; spent < distancesAStep && state.sweeps < tautSweeps; spent += (2 * state.line.length) / 3) {
    sweepTaut(space, state.line, neededRoom(request), state.sweeps, work);
    state.sweeps += 1;
  }
  if (state.sweeps < tautSweeps) return;
  const taut = state.throat + wayLength(state.line) + state.smooth!.straight;
  finish(state, "not-found", [...state.obstacles, sayLength(request.length + state.throat, state.curve!, taut)]);
}

/** No curve along this way: another way, then without the length, then with less bend radius, as far as it takes. */
function failed(space: SpaceModel, request: RouteRequest, state: RouteState, fault: number): void {
  const smooth = state.smooth!;
  if (state.aim === "all" && fault < nearly && state.fineness === 1) {
    // nearly there: more freedom for the curve along the same way
    state.fineness = finer;
    startSmooth(request, state, "all", request.bendRadius);
    return;
  }
  if (state.aim === "all") {
    if (state.attemptWay.length === 0 || fault < state.attemptFault) {
      state.attemptFault = fault;
      state.attempt = smooth;
      state.attemptWay = state.way;
      state.attemptGoal = state.wayGoal;
    }
    state.tries += 1;
    // a curve that is only too long is not helped by a way round
    if (state.tries >= (state.cuts.length > 0 ? 1 : mostTries) || smooth.over > 0.5 * smooth.fault) {
      ease(request, state);
      return;
    }
    state.detours.push({ at: worstPlace(smooth), radius: Math.max(3 * neededRoom(request), 0.6 * request.bendRadius) });
    state.search!.phase = 0;
    goOn(state, "search", "looking for another way", 0.3);
    return;
  }
  if (state.aim === "any bend") state.easedBad = Math.min(state.easedBad, smooth.bend);
  if (state.easedGood > 0) {
    if (state.easedBad <= easedClose * state.easedGood) {
      finishEased(space, request, state);
      return;
    }
    state.easedRadius = Math.sqrt(state.easedGood * state.easedBad);
    startSmooth(request, state, "any bend", state.easedRadius);
    return;
  }
  state.easedRadius *= easing;
  if (state.easedRadius < leastEase * request.bendRadius) {
    finish(state, "not-found", [sayUnproven(request, worstPlace(smooth))]);
    return;
  }
  startSmooth(request, state, "any bend", state.easedRadius);
}

/** What would be possible along the best way tried, were the length no matter; and else the bend. */
export function ease(request: RouteRequest, state: RouteState): void {
  assert(state.attemptWay.length > 0, "a way was tried before it is eased");
  state.way = state.attemptWay;
  state.wayGoal = state.attemptGoal;
  if (request.explain === false) {
    finish(state, "not-found", [sayHardest(request, state.attempt!.over > 0.5 * state.attempt!.fault, worstPlace(state.attempt!))]);
    return;
  }
  startSmooth(request, state, "any length", request.bendRadius);
}

/** Where the multipliers press most: the place that does not give. */
function worstPlace(smooth: NonNullable<RouteState["smooth"]>): [number, number, number] {
  let worst = 0;
  let most = -1;
  for (let j = 0; j < smooth.bendPress.length; j += 1) {
    const press = smooth.bendPress[j]! + smooth.clearPress[j]!;
    if (press > most) {
      most = press;
      worst = j;
    }
  }
  const k = Math.min(smooth.spans + 2, 1 + Math.round(worst / smooth.dense));
  return [smooth.control[3 * k]!, smooth.control[3 * k + 1]!, smooth.control[3 * k + 2]!];
}
