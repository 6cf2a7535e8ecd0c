/** When the arm cannot follow a route, other ways round are tried; the first stays what is told when none of them would do. */
import { assert } from "../base/index.ts";
import type { Route } from "../path/index.ts";
import { type Facts, judge } from "../verdict/index.ts";
import type { PlanResult, PlanState } from "./model.ts";
import { createOffersState } from "./offer-routes.ts";

/** Margins that hang on the route before all. */
const ofRoute = new Set(["reach", "clearance", "touch", "joint", "pose"]);

/** Why the arm cannot follow its route, in words; empty when it can. */
export function whyNotFollowed(facts: Facts): string {
  if (facts.failure !== "") return facts.failure;
  const row = judge(facts).rows.find(({ id, state }) => ofRoute.has(id) && (state === "over" || state === "unknown"));
  if (row === undefined) return "";
  return `${row.title} ${row.state === "over" ? "beyond the limit" : "not shown to hold"}, ${row.whereSays}`;
}

/**
 * After an insertion: whether another way is to be sought. @param why what `whyNotFollowed` says
 *
 * The state is made ready for that, or back to what the first route gave when all were tried.
 */
export function stepAside(state: PlanState, why: string): boolean {
  const { aside } = state;
  if (aside === undefined) {
    if (why === "") return false;
    assert(state.route !== undefined && state.insertion !== undefined, "a route was followed");
    const ask = createOffersState();
    state.aside = {
      route: state.route,
      insertion: state.insertion,
      sight: state.sight,
      offers: ask,
      trying: 0,
      came: { 1: why },
      over: false,
    };
    return true;
  }
  aside.came[aside.trying] = why;
  aside.over = why === "";
  return why !== "";
}

/** The next offer to follow; undefined when there is none, and the state is back at the first route. */
export function nextAside(state: PlanState): Route | undefined {
  const { aside } = state;
  assert(aside !== undefined, "a way aside is sought");
  const from = Math.max(2, aside.trying + 1);
  const next = aside.offers.offers.find(({ number, route }) => number >= from && route.status === "found");
  delete state.sight;
  if (next !== undefined) {
    aside.trying = next.number;
    return next.route;
  }
  aside.trying = 0;
  aside.over = true;
  state.route = aside.route;
  state.insertion = aside.insertion;
  if (aside.sight !== undefined) state.sight = aside.sight;
  return undefined;
}

/** What the result says of other routes. */
export function routesOf({ aside, given }: PlanState): Pick<PlanResult, "routes" | "taken"> {
  if (given !== undefined) return { taken: given.number };
  if (aside === undefined || aside.offers.offers.length === 0) return {};
  const routes = aside.offers.offers.map((offer) => {
    const came = aside.came[offer.number];
    return came === undefined ? offer : { ...offer, came };
  });
  return { routes, ...(aside.trying > 0 ? { taken: aside.trying } : {}) };
}
