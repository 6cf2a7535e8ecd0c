/** A plan in small steps: route, way in, way out, checks, verdict. The caller has the clock; the state is plain data. */
import { assert } from "../base/index.ts";
import { createDrumState, createDrumWork, type DrumModel, type DrumWork, readDrum, stepDrum } from "../drum/index.ts";
import {
  createInsertionState,
  createInsertionWork,
  type InsertionModel,
  type InsertionWork,
  insertionProgress,
  listDepths,
  stepInsertion,
} from "../insertion/index.ts";
import { createRouteState, createRouteWork, type Route, type RouteWork, readRoute, stepRoute } from "../path/index.ts";
import { listWarmings } from "../rod/index.ts";
import { type Facts, judge, type Verdict } from "../verdict/index.ts";
import { targetOf } from "./create-plan.ts";
import { findSlack } from "./find-slack.ts";
import { exitOf } from "./lay-launch.ts";
import { listDrives } from "./list-drives.ts";
import { outsideOf } from "./look-outside.ts";
import { measureTube } from "./measure-tube.ts";
import type { PlanModel, PlanProgress, PlanResult, PlanState } from "./model.ts";
import { reserveOfAsk, stepOffers } from "./offer-routes.ts";
import { probeGains, probeSteps } from "./probe-gains.ts";
import { seeTarget } from "./see-target.ts";
import { seesFromEnd } from "./sees-from-end.ts";
import { type DrumSpreadWork, hasDrumSpread, spreadDrum } from "./spread-drum.ts";
import { gatherSpreads, type PlannedShapes, spreadMargins, spreadSteps } from "./spread-margins.ts";
import { nextAside, routesOf, stepAside, whyNotFollowed } from "./step-aside.ts";
import { isTugged, tugCable } from "./tug-cables.ts";
import { version } from "./version.ts";
import { warmDepth } from "./warm-depth.ts";

/** Made anew at will: nothing in it changes a result. */
export interface PlanWork {
  route: RouteWork;
  insertion: InsertionWork | undefined;
  drum: DrumWork | undefined;
  /** [target] of the plans of several targets */
  more?: PlanWork[];
  drumSpread: DrumSpreadWork;
  planned: PlannedShapes;
}

export function createPlanWork(model: PlanModel): PlanWork {
  return {
    route: createRouteWork(model.space),
    insertion: undefined,
    drum: undefined,
    drumSpread: { model: undefined, work: undefined, index: 0 },
    planned: new Map(),
  };
}

/** Rolls tried for slack cables. */
const rolls = 24;
/** Routes tried, the first counted, where the arm cannot follow one. */
const routesTried = 3;

/** One step towards one target, most of them well under 50 ms; nothing happens once `state.progress.stage` is `done`. */
export function stepOne(model: PlanModel, state: PlanState, work: PlanWork): void {
  const { stage } = state.progress;
  if (stage === "route") seekRoute(model, state, work);
  else if (stage === "way in" || stage === "way out") walk(model, state, work);
  else if (stage === "checks") check(model, state, work);
}

function say(state: PlanState, stage: PlanProgress["stage"], done: number, says: string): void {
  state.progress = { stage, done, says };
}

function seekRoute(model: PlanModel, state: PlanState, work: PlanWork): void {
  if (state.aside !== undefined) {
    seekAside(model, state, work);
    return;
  }
  if (state.given !== undefined) {
    follow(model, state, state.given.route);
    return;
  }
  if (state.blind !== undefined) {
    seekSeen(model, state, work);
    return;
  }
  const proving = state.attempt === model.requests.length && state.route?.status === "no-passage";
  const asked = proving ? model.proof : model.requests[state.attempt];
  if (asked === undefined) {
    finish(model, state);
    return;
  }
  // what stands in the way is told of the last request alone
  const request = proving || state.attempt < model.requests.length - 1 ? { ...asked, explain: false } : asked;
  state.routeState ??= createRouteState(request);
  stepRoute(model.space, request, state.routeState, work.route);
  if (!state.routeState.done) {
    const tries = model.requests.length + 1;
    say(state, "route", (0.1 * (state.attempt + state.routeState.progress)) / tries, state.routeState.says);
    return;
  }
  const route = readRoute(model.space, request, state.routeState);
  state.routeState = undefined;
  if (proving) {
    // a thinner body would pass, or might: then it is not shown that this one cannot
    if (route.status !== "no-passage" && state.route !== undefined && !tooThickForPort(model, state.route)) {
      state.route = { ...state.route, status: "not-found" };
    }
    finish(model, state);
    return;
  }
  // each request asks for less than the one before: the last answer counts
  state.route = route;
  if (route.status !== "found") {
    state.attempt++;
    work.route = createRouteWork(model.space);
    return;
  }
  if (model.seen !== undefined && !seesFromEnd(model, route)) state.blind = { route, attempt: 0 };
  else follow(model, state, route);
}

function follow(model: PlanModel, state: PlanState, route: Route): void {
  state.route = route;
  state.insertion = createInsertionState(insertionModel(model, route));
  say(state, "way in", 0.1, "Laying the arm on the route.");
}

/** Other ways round, one after another; when none of them would do, the first route it is. */
function seekAside(model: PlanModel, state: PlanState, work: PlanWork): void {
  const { aside } = state;
  assert(aside !== undefined, "there is a route that could not be followed");
  if (!aside.offers.done) {
    stepOffers(model, routesTried, aside.offers, work);
    say(state, "route", state.progress.done, `The arm cannot follow the first route. ${aside.offers.says}`);
    return;
  }
  const next = nextAside(state);
  if (next === undefined) settle(model, state);
  else follow(model, state, next);
}

/** A route was found, but from its end the place is not seen as asked: one to an end from where it is, or else the one that was found. */
function seekSeen(model: PlanModel, state: PlanState, work: PlanWork): void {
  const { blind } = state;
  assert(blind !== undefined && model.seen !== undefined, "there are ends that see the place");
  const asked = model.seen[blind.attempt];
  if (asked === undefined) {
    follow(model, state, blind.route);
    return;
  }
  const request = { ...asked, explain: false };
  state.routeState ??= createRouteState(request);
  stepRoute(model.space, request, state.routeState, work.route);
  const { done, progress } = state.routeState;
  say(state, "route", 0.1 * ((blind.attempt + progress) / model.seen.length), "Looking for a route to where the place is seen.");
  if (!done) return;
  const route = readRoute(model.space, request, state.routeState);
  state.routeState = undefined;
  work.route = createRouteWork(model.space);
  blind.attempt++;
  if (route.status === "found") follow(model, state, route);
}

/** The last section passes the port whatever the way beyond: less room there than its radius is a proof by itself. */
function tooThickForPort(model: PlanModel, route: Route): boolean {
  const last = model.arm.description.sections[model.arm.sections - 1];
  return last !== undefined && route.obstacles.some((o) => o.kind === "start" && o.is < last.outerDiameter / 2);
}

/** What the insertion runs on; the same every time it is made. */
export function insertionModel(model: PlanModel, route: Route): InsertionModel {
  const { job, arm } = model;
  const { fluid } = job.conditions;
  const exit = job.launch?.tube ?? job.port;
  const curve = route.curve;
  assert(curve !== undefined, "a route that was found has a curve");
  return {
    arm,
    curve,
    target: targetOf(model, route),
    port: model.port,
    load: { gravity: job.conditions.gravity, forces: [], ...(fluid === undefined || fluid === "dry" ? {} : { fluid }) },
    seat: { shift: exit.placeTolerance, tilt: exit.tiltTolerance },
    ...(model.launch === undefined ? {} : { launch: model.launch }),
    need: model.need,
    ...(job.conditions.wallFriction === undefined ? {} : { wallFriction: job.conditions.wallFriction.high }),
    ...(job.roll === undefined ? {} : { roll: job.roll }),
    depths: listDepths(arm, curve.arc[curve.count - 1] as number),
  };
}

function walk(model: PlanModel, state: PlanState, work: PlanWork): void {
  const insertion = state.insertion;
  assert(insertion !== undefined && state.route !== undefined, "there is an insertion to step");
  const inner = insertionModel(model, state.route);
  work.insertion ??= createInsertionWork(inner, model.space);
  stepInsertion(inner, model.space, insertion, work.insertion);
  const out = insertion.stage === "out";
  const depth = ((insertion.wayIn[insertion.wayIn.length - 1]?.depth ?? 0) * 1e3).toFixed(0);
  say(
    state,
    out ? "way out" : "way in",
    0.1 + 0.8 * insertionProgress(inner, insertion),
    out ? "Solving the way out." : `Arm laid to ${depth} mm of depth.`,
  );
  if (insertion.stage !== "done") return;
  const last = insertion.wayIn[insertion.wayIn.length - 1];
  if (insertion.failure === "" && last !== undefined) state.sight = seeTarget(model.arm, model.space, targetOf(model, state.route), last);
  if (state.given === undefined && !state.aside?.over && stepAside(state, whyNotFollowed(factsOf(model, state)))) {
    work.insertion = undefined;
    work.planned = new Map();
    say(state, "route", state.progress.done, "The arm cannot follow this route: looking for another way round.");
    return;
  }
  settle(model, state);
}

/** The route is decided: what is left are the checks, or nothing where it could not be followed. */
function settle(model: PlanModel, state: PlanState): void {
  if (state.insertion?.failure !== "") {
    finish(model, state);
    return;
  }
  say(state, "checks", 0.9, "Rolling the arm, cables locked, to look for slack.");
}

function check(model: PlanModel, state: PlanState, work: PlanWork): void {
  const insertion = state.insertion;
  assert(insertion !== undefined && state.route !== undefined, "there is an insertion to check");
  const inner = insertionModel(model, state.route);
  work.insertion ??= createInsertionWork(inner, model.space);
  const { temperature } = model.job.conditions;
  const slack = [undefined, ...listWarmings(model.arm, temperature, true)];
  const warm = listWarmings(model.arm, temperature, false);
  const rolled = rolls * slack.length;
  const warmed = rolled + (warm.length > 0 ? insertion.wayIn.length : 0);
  const { check } = state;
  if (check < rolled) {
    const turn = (2 * Math.PI * (check % rolls)) / rolls;
    findSlack(inner, insertion, turn, slack[Math.floor(check / rolls)], state, work.insertion);
  } else if (check < warmed) {
    warmDepth(inner, insertion, check - rolled, warm, state, work.insertion);
  } else if (isTugged(model.job.arm) && (state.tug?.length ?? 0) < model.arm.cables) {
    tugCable(inner, insertion, state, work.insertion);
    say(state, "checks", state.progress.done, "Drawing each cable in a little, to see how far the tool goes.");
    return;
  } else if (model.drum !== undefined && state.drum?.stage !== "done") {
    wind(model.drum, state, work);
    return;
  } else {
    state.verdict ??= judge(factsOf(model, state));
    if (check === warmed + probeSteps && hasDrumSpread(model, state)) {
      spreadDrum(model, state, work.drumSpread);
      say(state, "checks", state.progress.done, "Winding the arm up again, changed by what is not known of it.");
      return;
    }
    if (check < warmed + probeSteps) probeGains(model, inner, state, check - warmed, work.insertion);
    else spreadMargins(model, inner, state, check - warmed - probeSteps, { insertion: work.insertion, planned: work.planned });
  }
  state.check++;
  const whole = warmed + probeSteps + spreadSteps(model);
  say(
    state,
    "checks",
    0.9 + (0.1 * state.check) / whole,
    state.check < rolled
      ? "Rolling the arm, cables locked, to look for slack."
      : state.check < warmed
        ? "Warming and cooling the arm, cables locked, at every depth."
        : state.check < warmed + probeSteps
          ? "Looking for what would gain the tightest margins."
          : "Changing the arm by what is not known of it, drives locked.",
  );
  if (state.check >= whole) finish(model, state);
}

/** A step of the arm's way on and off its drum, which is none of the counted checks. */
function wind(drum: DrumModel, state: PlanState, work: PlanWork): void {
  state.drum ??= createDrumState(drum);
  work.drum ??= createDrumWork(drum);
  stepDrum(drum, state.drum, work.drum);
  say(state, "checks", state.progress.done, "Winding the arm up on its drum, and paying it out.");
}

function finish(model: PlanModel, state: PlanState): void {
  state.verdict = judge(factsOf(model, state));
  say(state, "done", 1, state.verdict.says);
}

/** What the route keeps beyond the job's clearance, m. */
function reserveOf(model: PlanModel, state: PlanState): number {
  const { requests, seen } = model;
  const { attempt, blind, route, given, aside } = state;
  const offer = given ?? aside?.offers.offers[aside.trying - 1];
  if (offer !== undefined) return reserveOfAsk(model, offer.ask);
  const request =
    blind === undefined || blind.route === route ? requests[Math.min(attempt, requests.length - 1)] : seen?.[blind.attempt - 1];
  return request?.margin ?? 0;
}

/** Of a walk made elsewhere: judged as a plan's own. @param state its route, insertion and slack, as far as there are any */
export function judgeWalk(model: PlanModel, state: PlanState): Verdict {
  return judge(factsOf(model, state));
}

export function factsOf(model: PlanModel, state: PlanState): Facts {
  const { job, arm } = model;
  const route = state.route;
  assert(route !== undefined, "a route was sought before it is judged");
  return {
    arm,
    bodies: job.bodies,
    need: model.need,
    port: job.port,
    target: targetOf(model, route),
    limits: job.limits,
    fluid: job.conditions.fluid,
    remarks: job.remarks,
    ranges: Object.keys(job.ranges).length,
    guideLength: exitOf(job).inside,
    roll: job.roll,
    route,
    routeReserve: reserveOf(model, state),
    wayIn: state.insertion?.wayIn ?? [],
    wayOut: state.insertion?.wayOut ?? [],
    failure: state.insertion?.failure ?? "",
    branchGap: state.insertion?.branchGap ?? { shape: 0, tension: 0, depth: 0, explained: 0 },
    slack: state.slack,
    temperature: job.conditions.temperature,
    outside: outsideOf(model, state),
    zones: job.zones,
    stay: job.conditions.stay,
    feedRate: job.conditions.feedRate,
    wallFriction: job.conditions.wallFriction?.high,
    warm: state.warm,
    drum: model.drum !== undefined && state.drum?.stage === "done" ? readDrum(model.drum, state.drum) : undefined,
    sight: state.sight,
    tug: state.tug,
    drives: listDrives(job, arm, state.insertion?.wayIn ?? [], state.insertion?.wayOut ?? []),
    turned: state.insertion?.turned,
    tube: measureTube(model),
    fromDrum: model.launch?.drumFrom !== undefined,
    gains: state.gains,
    spreads: gatherSpreads(model, state),
  };
}

/** The result of one target's plan that is done. */
export function readOne(model: PlanModel, state: PlanState): PlanResult {
  assert(state.route !== undefined && state.verdict !== undefined, "the plan is done before it is read");
  const { wayIn = [], wayOut = [] } = state.insertion ?? {};
  const { job, arm } = model;
  const told = job.arm.drives !== undefined || job.conditions.feedRate !== undefined;
  const drives = told ? listDrives(job, arm, wayIn, wayOut) : undefined;
  return {
    version: 1,
    withy: version,
    job: model.job.name,
    arm: model.job.arm.name,
    inputs: model.job.inputs,
    route: state.route,
    wayIn,
    wayOut,
    sweep: { allowance: state.insertion?.allowance ?? 0, confirmed: state.insertion?.confirmed ?? 0 },
    verdict: state.verdict,
    ...(state.sight === undefined ? {} : { sight: state.sight }),
    ...routesOf(state),
    ...(drives === undefined ? {} : { drives }),
  };
}
