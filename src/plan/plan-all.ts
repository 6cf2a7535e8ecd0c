/** A whole plan in small steps, of one target or of several. */
import { assert } from "../base/index.ts";
import { judge, type Verdict } from "../verdict/index.ts";
import { costWay, turningWorth, type WayCost } from "./cost-way.ts";
import { joinVerdicts } from "./join-verdicts.ts";
import type { PlanModel, PlanResult, PlanState } from "./model.ts";
import { factsOf, type PlanWork, readOne, stepOne } from "./step-plan.ts";
import { stepTour } from "./step-tour.ts";
import { type Choice, type Leg, modelsOf, type TourState, type Visit } from "./tour-state.ts";

/** One step, most of them well under 50 ms; nothing happens once `state.progress.stage` is `done`. */
export function stepPlan(model: PlanModel, state: PlanState, work: PlanWork): void {
  if (model.visits === undefined) {
    stepOne(model, state, work);
    return;
  }
  if (state.progress.stage === "done" || !stepTour(model, state, work)) return;
  const { says } = verdictOf(readVisits(model, state), state);
  state.progress = { stage: "done", done: 1, says };
}

/** The result of a plan that is done. */
export function readPlan(model: PlanModel, state: PlanState): PlanResult {
  if (model.visits === undefined) return readOne(model, state);
  assert(state.tour?.phase === "done", "the plan is done before it is read");
  const visits = readVisits(model, state);
  const first = visits[0];
  assert(first !== undefined, "there is a visit");
  const { version, withy, job, arm, inputs } = readOne(model, planTaken(state.tour));
  const { route, wayIn, wayOut, sweep, sight } = first;
  const verdict = verdictOf(visits, state);
  return { version, withy, job, arm, inputs, route, wayIn, wayOut, sweep, verdict, ...(sight === undefined ? {} : { sight }), visits };
}

function planTaken(tour: TourState): PlanState {
  const plan = tour.plans[tour.taken[0] as number];
  assert(plan !== undefined, "the first visit is planned");
  return plan;
}

/** In the order made; those that are not reached come last. */
function readVisits(model: PlanModel, state: PlanState): Visit[] {
  const { tour } = state;
  assert(tour !== undefined, "there is a tour");
  const missed = tour.taken.flatMap((_, v) => (tour.order.includes(v) ? [] : [v]));
  return [...tour.legs.map((leg, k) => readVisit(model, tour, leg.visit, k)), ...missed.map((v) => readVisit(model, tour, v, undefined))];
}

/** @param at which leg of the tour it is; none where the target is not reached */
function readVisit(model: PlanModel, tour: TourState, visit: number, at: number | undefined): Visit {
  const leg = at === undefined ? undefined : tour.legs[at];
  const k = tour.taken[visit] as number;
  const own = modelsOf(model)[k] as PlanModel;
  const plan = tour.plans[k] as PlanState;
  const { route, sweep, sight, wayIn: planIn, wayOut: planOut } = readOne(own, plan);
  const wayIn = leg?.wayIn ?? planIn;
  const wayOut = leg?.wayOut ?? planOut;
  const same = wayIn === plan.insertion?.wayIn && wayOut === plan.insertion?.wayOut;
  const facts = factsOf(own, plan);
  const verdict =
    leg === undefined || same ? (plan.verdict as Verdict) : judge({ ...facts, wayIn, wayOut, branchGap: leg.branchGap ?? facts.branchGap });
  return {
    target: own.job.target.name,
    written: visit,
    choice: model.visits?.[visit]?.indexOf(k) ?? 0,
    choices: listChoices(model, tour, visit),
    ...(leg?.from === undefined ? {} : { from: leg.from }),
    route,
    wayIn,
    wayOut,
    sweep,
    verdict,
    ...(sight === undefined ? {} : { sight }),
    cost: at === undefined ? addCosts(costWay(wayIn), costWay(wayOut)) : costLeg(tour, at),
  };
}

/** From the port or the visit before, and out to the port or to where the next visit goes on. */
function costLeg({ legs }: TourState, at: number): WayCost {
  const leg = legs[at] as Leg;
  const before = leg.from === undefined ? undefined : legs[at - 1];
  const stood = before?.wayOut[before.wayOut.length - 1];
  const there = costWay(stood === undefined ? leg.wayIn : [stood, ...leg.wayIn], stood === undefined ? 0 : undefined);
  const back = costWay(leg.wayOut);
  const comesOut = legs[at + 1]?.from === undefined;
  return addCosts(there, { ...back, feed: back.feed + (comesOut ? (leg.wayOut[leg.wayOut.length - 1]?.depth ?? 0) : 0) });
}

function addCosts(a: WayCost, b: WayCost): WayCost {
  return { feed: a.feed + b.feed, turning: a.turning + b.turning };
}

function listChoices(model: PlanModel, tour: TourState, visit: number): Choice[] {
  const ranked = tour.ranked[visit] as number[];
  const taken = tour.taken[visit] as number;
  const name = (k: number): string => (modelsOf(model)[k] as PlanModel).job.target.name;
  const says = (k: number): string => {
    const { route, verdict } = tour.plans[k] as PlanState;
    const place = ranked.length > 1 ? `${ordinal(ranked.indexOf(k))} by cost of its route` : "the only one";
    if (route?.status !== "found") return `not reached: ${verdict?.reasons[0] ?? verdict?.says ?? "no route was found"}`;
    if (verdict === undefined) return `${place}; not planned, since ${name(taken)} is cheaper to reach and goes`;
    return `${place}; ${verdict.answer}${verdict.answer.startsWith("go") ? "" : `: ${verdict.says}`}`;
  };
  return [taken, ...ranked.filter((k) => k !== taken)].map((k) => ({ target: name(k), taken: k === taken, says: says(k) }));
}

function ordinal(k: number): string {
  return ["first", "second", "third"][k] ?? `${k + 1}th`;
}

function verdictOf(visits: readonly Visit[], state: PlanState): Verdict {
  const tour = state.tour as TourState;
  const open = visits.some((visit) => visit.choices.length > 1);
  const more = [
    ...(visits.length > 1
      ? [
          `Targets are visited in the order ${visits.map((visit) => visit.target).join(", ")}: of all orders the one of least feed and turning (${tour.cost.toFixed(2)} m, a radian of turning counted as ${Math.round(1e3 * turningWorth)} mm), those that are not reached left out.`,
          ...visits.flatMap((visit) =>
            visit.from === undefined
              ? []
              : [`${visit.target} is gone on to from ${Math.round(1e3 * visit.from)} mm of depth, without coming out.`],
          ),
        ]
      : []),
    ...(open
      ? visits.flatMap((visit) =>
          visit.choices.length > 1 ? [`${visit.target} is taken of ${visit.choices.map((c) => c.target).join(", ")}.`] : [],
        )
      : []),
  ];
  return joinVerdicts(visits, more);
}
