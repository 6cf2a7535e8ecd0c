/**
 * Seeks a route step by step: ends that the target permits, a way over the octree, its proof by exact distances, the
 * smooth curve, its check; and where there is none, what stands in the way.
 */
import { cellKind, createCells, type SpaceModel, splitBatch, splitCells } from "../space/index.ts";
import { check, ease, pullTaut, smoothen, startSmooth } from "./bend-way.ts";
import { wayCrosses } from "./cut-way.ts";
import { measureThroat, pastThroat, searchBox } from "./enter-port.ts";
import { endCandidates, endGrain, tryEnd } from "./find-ends.ts";
import { readNeck, readReached, stepFindNeck } from "./find-neck.ts";
import { boundGoals, createSearch, readWay, stepFindWay } from "./find-way.ts";
import type { Obstacle, RouteRequest } from "./model.ts";
import { proveLeg } from "./prove-way.ts";
import { atEnd, neededRoom, type RouteState, type RouteWork } from "./route-state.ts";
import { sayEnd, sayNeck, sayNoWay, sayStart, sayTargetOutside, sayUnshown } from "./say-obstacle.ts";
import { splitAlong } from "./split-along.ts";
import { finish, goOn } from "./stage.ts";
import { createSweep, stepSweep } from "./sweep-ways.ts";
import { sweepTaut, tautStart } from "./tauten-way.ts";

/** Cells settled in one step. */
const settledAStep = 1500;
/** Cells the search may come to; beyond it the resolution asked for cannot be reached. */
const mostCells = 1_500_000;
/** Ways looked at before the passage counts as too close to call. */
const mostRounds = 3000;
/** Sweeps that pull a way straight that is only drawn. */
const drawnSweeps = 60;
/** Strings asked for in one step of a comparison. */
export const stringsAStep = 60;

/** One step, well under 50 ms; `state.done` says when it is over. Does nothing then. */
export function stepRoute(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
  const whole = pastThroat(request, state.throat);
  const inner = state.stage === "ends" || state.stage === "search" ? whole : atEnd(whole, state);
  switch (state.stage) {
    case "begin":
      begin(space, request, state, work);
      break;
    case "ends":
      seekEnds(space, inner, state, work);
      break;
    case "search":
      seekWay(space, inner, state, work);
      break;
    case "prove":
      prove(space, inner, state, work);
      break;
    case "compare":
      compare(space, inner, state, work);
      break;
    case "smooth":
      smoothen(space, inner, state, work);
      break;
    case "check":
      check(space, inner, state, work);
      break;
    case "taut":
      pullTaut(space, inner, state, work);
      break;
    case "neck":
      seekNeck(space, inner, state, work);
      break;
    case "done":
      break;
  }
}

/** The port must be free and the target within reach of the space. */
function begin(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
  const need = neededRoom(request);
  const box = searchBox(space, request);
  const inside = (p: readonly number[], room: number): boolean =>
    [0, 1, 2].every((k) => p[k]! >= box[k]! - room && p[k]! <= box[k + 3]! + room);
  const port = measureThroat(space, request, work);
  state.throat = port.throat;
  const { start, startDirection: axis } = pastThroat(request, state.throat);
  const behind = [start[0] - need * axis[0], start[1] - need * axis[1], start[2] - need * axis[2]] as const;
  const halfBall = { centre: behind, axis, radius: Math.min(Math.max(need, port.free), 4 * need) + 2 * need };
  state.cells = createCells(box, state.resolution, need, 2.6 * need, halfBall);
  const obstacles: Obstacle[] = [];
  if (port.blocked || !inside(request.start, 0))
    obstacles.push(sayStart(space, request, port.free, port.at, port.body, inside(request.start, 0)));
  if (!inside(request.target, request.standOff[1])) obstacles.push(sayTargetOutside(request));
  if (obstacles.length > 0) finish(state, "no-passage", obstacles);
  else goOn(state, "ends", "looking for ends that the target permits", 0.02);
}

/** Tries candidate ends; goes on to the search with those that have room. */
function seekEnds(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
  const many = endCandidates(request);
  const before = state.goals.length;
  for (let i = 0; i < 8 && state.endsTried < many; i += 1) {
    tryEnd(space, request, state.endsTried, state, work);
    state.endsTried += 1;
    if (state.goals.length > before) break;
  }
  if (state.endsTried < many) return;
  if (state.ends.length === 0) {
    const short = state.endRoom.needed - state.endRoom.free;
    finish(state, short > endGrain(request) ? "no-passage" : "not-found", [sayEnd(space, request, state.endRoom)]);
    return;
  }
  // a start on the tree before the first search: three levels down everywhere that is not plainly free or blocked
  const tree = state.cells!;
  for (let level = 0; level < Math.min(3, tree.levels); level += 1) {
    const open: number[] = [];
    for (let cell = 0; cell < tree.count; cell += 1) {
      if (tree.level[cell] === level && tree.child[cell]! < 0 && tree.kind[cell] === cellKind.mixed) open.push(cell);
    }
    for (let at = 0; at < open.length; at += splitBatch) {
      const batch = Int32Array.from(open.slice(at, at + splitBatch));
      splitCells(tree, batch, batch.length, space, work.cells);
    }
  }
  state.goalBall = boundGoals(request, state.goals);
  state.search = createSearch();
  goOn(state, "search", "looking for a way", 0.05);
}

/** There is no way: how wide the widest is, and where it is narrowest. */
function seekNeck(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
  const search = state.search!;
  stepFindNeck(space, request, state, 300, work);
  state.says = `no way: looking for the narrowest place, ${state.cells!.count} cells`;
  state.progress = Math.min(0.95, 0.5 + state.cells!.count / 1.2e6);
  if (search.phase === 1) return;
  // the search had to leave out no cell that may be free: a proof
  const status = state.shut === 0 ? "no-passage" : "not-found";
  if (search.phase === 3) {
    state.reached = readReached(request, state);
    finish(state, status, [sayNoWay(space, request, state, search.bestCost)]);
    return;
  }
  const neck = readNeck(space, request, state, work);
  state.reached = pullStraight(space, neck.before, neck.free, work);
  state.beyond = pullStraight(space, neck.after, neck.free, work);
  finish(state, status, [sayNeck(space, request, state, neck)]);
}

/** A way over cell centres without its stairs, as wide as its narrowest place where it can be: for the eye. */
function pullStraight(space: SpaceModel, way: readonly number[], free: number, work: RouteWork): number[] {
  if (way.length < 9 || free <= 0) return [...way];
  const line = tautStart(way, 2 * free);
  for (let sweep = 0; sweep < drawnSweeps; sweep += 1) sweepTaut(space, line, 0.95 * free, sweep, work);
  return line;
}

/**
 * Searches, splits the mixed cells on the way found, searches again: in haste until a way leads through known cells alone,
 * then with care.
 */
function seekWay(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
  const tree = state.cells!;
  const search = state.search!;
  stepFindWay(request, state, state.resolved ? settledAStep : 2 * settledAStep, work);
  if (search.phase === 1) return;
  if (search.phase === 3) {
    if (state.tries > 0) {
      // there was a way before: only the detours or unproven cells closed the rest
      ease(request, state);
      return;
    }
    if (state.refinements > 0) {
      // the way known has since been shut: other cells count again
      state.refinements = 0;
      state.resolved = false;
      search.phase = 0;
      return;
    }
    if (request.explain === false || state.cuts.length > 0) {
      finish(state, state.shut === 0 ? "no-passage" : "not-found", []);
      return;
    }
    state.search = createSearch();
    goOn(state, "neck", "no way: looking for the narrowest place", 0.5);
    return;
  }
  state.way = readWay(request, state);
  state.wayGoal = search.bestGoal;
  state.rounds += 1;
  if (state.rounds > mostRounds) {
    // ways that cannot be proven come up again and again: too close to call
    finish(state, "not-found", [sayUnshown(request, state, state.shutAt ?? request.target)]);
    return;
  }
  state.says = `looking for a way: ${tree.count} cells`;
  state.progress = Math.max(state.progress, 0.05 + 0.35 * (1 - 1 / (1 + state.rounds / 60)));
  search.phase = 0;
  const split = tree.count > mostCells ? 0 : splitAlong(space, state.way, tree, work);
  if (state.resolved) state.refinements += 1;
  if (split > 0) return;
  if (!state.resolved) {
    state.resolved = true;
    return;
  }
  state.proofLeg = 0;
  state.proven = [...request.start];
  goOn(state, "prove", "measuring along the way", 0.4);
}

/** Proves the legs one by one; back to the search when one fails. */
function prove(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
  const legs = state.way.length / 3 - 1;
  if (!proveLeg(space, state, work)) {
    goOn(state, "search", "looking for a way round a tight place", 0.3);
    return;
  }
  state.proofLeg += 1;
  if (state.proofLeg < legs) return;
  const goal = state.goals[state.wayGoal]!;
  state.way = [...state.proven, ...goal.lead.slice(3)];
  state.compared = 0;
  if (state.others.length > 0) goOn(state, "compare", "comparing the way with those known", 0.45);
  else startSmooth(request, state, "all", request.bendRadius);
}

/** Is it one of the ways known already? Then there is nothing new to bend. */
function compare(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
  const other = state.others[state.compared];
  if (other === undefined) {
    startSmooth(request, state, "all", request.bendRadius);
    return;
  }
  const need = neededRoom(request);
  if (wayCrosses(state.cuts, state.way)) {
    // bent while it was proven, it went through a cut after all
    state.same = true;
    finish(state, "not-found", []);
    return;
  }
  state.sweep ??= createSweep(other, state.way, need);
  stepSweep(space, need, stringsAStep, state.sweep, work);
  if (state.sweep.phase === 0) return;
  const same = state.sweep.phase === 1;
  state.sweep = null;
  state.compared += 1;
  if (!same) return;
  state.same = true;
  finish(state, "not-found", []);
}
