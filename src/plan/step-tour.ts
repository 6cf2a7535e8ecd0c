/**
 * Several targets, or one of several, in small steps: each target's own plan, the cheapest choice that goes, the order that costs least,
 * and going on from one to the next where their ways are the same to some depth.
 */
import { assert } from "../base/index.ts";
import {
  createInsertionWork,
  type DepthRecord,
  goAgain,
  type InsertionState,
  type InsertionWork,
  stepInsertion,
} from "../insertion/index.ts";
import { costChange, costOf, costRoute, costWay, sharedDepth } from "./cost-way.ts";
import { createPlanState } from "./create-plan.ts";
import type { PlanModel, PlanState } from "./model.ts";
import { orderVisits } from "./order-visits.ts";
import { createPlanWork, insertionModel, type PlanWork, stepOne } from "./step-plan.ts";
import { type Leg, modelsOf, type TourState } from "./tour-state.ts";

/** How far apart, at most, two shapes at one depth may be to change from one to the other, m: tried from the first on. */
const gaps = [20e-3, 6e-3, 2e-3];

export function createTour(model: PlanModel): TourState {
  const visits = model.visits ?? [];
  return {
    phase: "choose",
    plans: modelsOf(model).map((own) => createPlanState(own)),
    visit: 0,
    ranked: visits.map(() => []),
    planned: visits.map(() => 0),
    taken: visits.map(() => -1),
    failed: {},
    order: [],
    cost: 0,
    legs: [],
  };
}

/** One step; `state.progress` is kept but for the end, which is the caller's. @returns whether the tour is done */
export function stepTour(model: PlanModel, state: PlanState, work: PlanWork): boolean {
  state.tour ??= createTour(model);
  const { tour } = state;
  if (tour.phase === "choose") choose(model, state, tour, work);
  else if (tour.phase === "order") order(model, tour);
  else if (tour.phase === "go") go(model, state, tour, work);
  return tour.phase === "done";
}

/** The routes of all choices first, then whole plans from the cheapest on until one goes. */
function choose(model: PlanModel, state: PlanState, tour: TourState, work: PlanWork): void {
  const choices = model.visits?.[tour.visit];
  if (choices === undefined) {
    tour.phase = "order";
    return;
  }
  const routed = choices.find((k) => planOf(tour, k).progress.stage === "route");
  if (routed !== undefined) {
    stepAt(model, state, tour, routed, work);
    return;
  }
  if (tour.ranked[tour.visit]?.length === 0) tour.ranked[tour.visit] = rank(tour, choices);
  const ranked = tour.ranked[tour.visit] as number[];
  const at = ranked[tour.planned[tour.visit] as number];
  const plan = at === undefined ? undefined : planOf(tour, at);
  if (at !== undefined && plan !== undefined && plan.progress.stage !== "done") {
    stepAt(model, state, tour, at, work);
    return;
  }
  if (at !== undefined) tour.planned[tour.visit] = (tour.planned[tour.visit] as number) + 1;
  if (at !== undefined && !goes(plan) && ranked.length > (tour.planned[tour.visit] as number)) return;
  tour.taken[tour.visit] = at !== undefined && goes(plan) ? at : best(tour, ranked);
  tour.visit++;
}

function rank(tour: TourState, choices: readonly number[]): number[] {
  const cost = (k: number): number => {
    const { route } = planOf(tour, k);
    return route?.status === "found" && route.curve !== undefined ? costOf(costRoute(route.curve)) : Number.POSITIVE_INFINITY;
  };
  return [...choices].sort((a, b) => (cost(a) === cost(b) ? a - b : cost(a) - cost(b)));
}

function goes(plan: PlanState | undefined): boolean {
  return plan?.verdict?.answer.startsWith("go") ?? false;
}

/** None goes: what is undecided may go yet, and of equals the cheapest. */
function best(tour: TourState, ranked: readonly number[]): number {
  return ranked.find((k) => planOf(tour, k).verdict?.answer === "undecided") ?? (ranked[0] as number);
}

function planOf(tour: TourState, k: number): PlanState {
  const plan = tour.plans[k];
  assert(plan !== undefined, "every target has a plan");
  return plan;
}

function stepAt(model: PlanModel, state: PlanState, tour: TourState, k: number, work: PlanWork): void {
  const own = modelsOf(model)[k] as PlanModel;
  const plan = planOf(tour, k);
  work.more ??= [];
  work.more[k] ??= createPlanWork(own);
  stepOne(own, plan, work.more[k] as PlanWork);
  // what is looked at meanwhile is the first target that the arm is laid to
  if (plan.insertion !== undefined) tour.shown ??= k;
  if ((tour.shown ?? k) === k) {
    state.route = plan.route;
    state.insertion = plan.insertion;
  }
  const many = tour.plans.length;
  const done = tour.plans.reduce((sum, p) => sum + p.progress.done, 0);
  const { stage, says } = plan.progress;
  const shown = stage === "done" ? "checks" : stage;
  state.progress = { stage: shown, done: (0.9 * done) / many, says: many > 1 ? `${own.job.target.name}: ${says}` : says };
}

/** Visits whose target the arm reaches, and comes back from. */
function reached(tour: TourState): number[] {
  return tour.taken.flatMap((k, v) => {
    const insertion = planOf(tour, k).insertion;
    return insertion !== undefined && insertion.failure === "" && insertion.wayOut.length > 0 ? [v] : [];
  });
}

/** What going on from one visit to another takes: the deepest records that their ways share; undefined where that saves nothing. */
export function goOn(tour: TourState, one: number, other: number): { leave: number; join: number; cost: number } | undefined {
  const gap = gaps[tour.failed[`${one}>${other}`] ?? 0];
  if (gap === undefined) return undefined;
  const a = waysOf(tour, one).wayIn;
  const b = waysOf(tour, other).wayIn;
  const shared = sharedDepth(a, b, gap);
  if (shared === undefined) return undefined;
  const { leave, join } = shared;
  const [x, y] = [a[leave] as DepthRecord, b[join] as DepthRecord];
  const over = { feed: Math.abs(y.depth - x.depth), turning: costChange(x, y) };
  const cost = costOf(costWay(a.slice(leave))) + costOf(over) + costOf(costWay(b.slice(join)));
  const around = costOf(costWay(a, 0)) + costOf(costWay(b, 0));
  return cost < around - 1e-9 ? { leave, join, cost } : undefined;
}

function waysOf(tour: TourState, visit: number): InsertionState {
  const { insertion } = planOf(tour, tour.taken[visit] as number);
  assert(insertion !== undefined, "a visit that is reached has its ways");
  return insertion;
}

function order(model: PlanModel, tour: TourState): void {
  const visits = reached(tour);
  const alone = visits.map((v) => costOf(costWay(waysOf(tour, v).wayIn, 0)));
  const between = visits.map((one, i) =>
    visits.map((other, j) => (i === j ? 0 : (goOn(tour, one, other)?.cost ?? (alone[i] as number) + (alone[j] as number)))),
  );
  const found = visits.length === 0 ? { order: [], cost: 0 } : orderVisits({ enter: alone, leave: alone, between });
  tour.order = found.order.map((k) => visits[k] as number);
  tour.cost = found.cost;
  tour.legs = [];
  delete tour.going;
  tour.phase = tour.order.length > 0 ? "go" : "done";
  void model;
}

/** Through the order, leg by leg: back to where the ways part, over and in, and at last out. */
function go(model: PlanModel, state: PlanState, tour: TourState, work: PlanWork): void {
  const last = tour.legs[tour.legs.length - 1];
  const next = tour.order[tour.legs.length];
  if (tour.going !== undefined) {
    stepGoing(model, tour, tour.going, last as Leg, next, work);
    const name = next === undefined ? "" : ` to ${nameOf(model, tour, next)}`;
    state.progress = { stage: "checks", done: 0.9 + (0.1 * tour.legs.length) / (tour.order.length + 1), says: `Going on${name}.` };
    return;
  }
  const on = last === undefined || next === undefined ? undefined : goOn(tour, last.visit, next);
  if (last !== undefined && on !== undefined) {
    const { wayIn } = waysOf(tour, last.visit);
    begin(model, tour, last.visit, "back", wayIn.slice(on.leave).reverse(), rodOf(tour, last));
    return;
  }
  if (last !== undefined && last.wayOut.length === 0) {
    const ways = waysOf(tour, last.visit);
    // from the port and back there: its own plan; gone on to: out with what was before
    if (last.rod === undefined) last.wayOut = ways.wayOut;
    else {
      begin(model, tour, last.visit, "out", [...ways.wayIn].reverse(), last.rod);
      return;
    }
  }
  if (next === undefined) tour.phase = "done";
  else tour.legs.push({ visit: next, wayIn: waysOf(tour, next).wayIn, wayOut: [] });
}

function nameOf(model: PlanModel, tour: TourState, visit: number): string {
  return (modelsOf(model)[tour.taken[visit] as number] as PlanModel).job.target.name;
}

function rodOf(tour: TourState, leg: Leg): NonNullable<Leg["rod"]> {
  const rod = leg.rod ?? waysOf(tour, leg.visit).deepest;
  assert(rod !== undefined, "the arm stands at the target");
  return rod;
}

type Going = NonNullable<TourState["going"]>;

function begin(
  model: PlanModel,
  tour: TourState,
  visit: number,
  part: Going["part"],
  records: readonly DepthRecord[],
  rod: NonNullable<Leg["rod"]>,
  standing?: DepthRecord,
): void {
  const way = part === "over" ? "in" : "out";
  tour.going = { part, state: goAgain(innerOf(model, tour, visit), records, rod, way, standing) };
}

function innerOf(model: PlanModel, tour: TourState, visit: number) {
  const k = tour.taken[visit] as number;
  const { route } = planOf(tour, k);
  assert(route !== undefined, "a visit that is reached has a route");
  return insertionModel(modelsOf(model)[k] as PlanModel, route);
}

function stepGoing(model: PlanModel, tour: TourState, going: Going, last: Leg, next: number | undefined, work: PlanWork): void {
  const visit = going.part === "over" ? (next as number) : last.visit;
  const inner = innerOf(model, tour, visit);
  stepInsertion(inner, model.space, going.state, workOf(model, tour, visit, work));
  if (going.state.stage !== "done") return;
  delete tour.going;
  const { failure, wayOut: found, rod, branchGap } = going.state;
  if (going.part === "out") {
    // out of a target that was gone on to: what it says is judged, whatever it is
    last.wayOut = found;
    last.branchGap = branchGap;
    if (failure !== "") giveUp(tour, tour.legs[tour.legs.length - 2]?.visit, last.visit);
    return;
  }
  const on = goOn(tour, last.visit, next as number);
  assert(on !== undefined, "the way on stays as it was");
  if (going.part === "back") {
    if (failure !== "") {
      giveUp(tour, last.visit, next as number);
      return;
    }
    last.wayOut = found;
    if (last.rod !== undefined) last.branchGap = branchGap;
    const joined = waysOf(tour, next as number).wayIn.slice(on.join);
    begin(model, tour, next as number, "over", joined, rod, found[found.length - 1]);
    return;
  }
  const wayIn = found.slice(1);
  const planned = waysOf(tour, next as number).wayIn.slice(on.join);
  if (failure !== "" || wayIn.some((record, k) => isWorse(model, record, planned[k] as DepthRecord))) {
    giveUp(tour, last.visit, next as number);
    return;
  }
  tour.legs.push({ visit: next as number, from: (last.wayOut[last.wayOut.length - 1] as DepthRecord).depth, wayIn, wayOut: [], rod });
}

/** Clearance that holds on the target's own way in and not on this one. */
function isWorse(model: PlanModel, here: DepthRecord, planned: DepthRecord): boolean {
  const holds = (record: DepthRecord): boolean =>
    record.sweptSpare >= 0 && (record.askedBody < 0 || record.asked >= (model.need[record.askedBody] as number));
  return holds(planned) && !holds(here);
}

/** Not this way on: a shallower one, or by the port; the order may be another then. */
function giveUp(tour: TourState, one: number | undefined, other: number): void {
  const pair = `${one ?? other}>${other}`;
  tour.failed[pair] = (tour.failed[pair] ?? 0) + 1;
  tour.phase = "order";
}

function workOf(model: PlanModel, tour: TourState, visit: number, work: PlanWork): InsertionWork {
  const k = tour.taken[visit] as number;
  work.more ??= [];
  work.more[k] ??= createPlanWork(modelsOf(model)[k] as PlanModel);
  const own = work.more[k] as PlanWork;
  own.insertion ??= createInsertionWork(innerOf(model, tour, visit), model.space);
  return own.insertion;
}
