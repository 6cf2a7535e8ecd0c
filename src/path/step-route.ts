/**
 * Seeks a route step by step: ends that the target permits, a way over the octree, its proof by exact distances, the
 * smooth curve, its check; and where there is none, what stands in the way.
 */
import { assert } from "../base/index.ts";
import { cellKind, createCells, type SpaceModel, sampleSpace, splitBatch, splitCells } from "../space/index.ts";
import { createCheck, placeAt, stepCheck } from "./check-curve.ts";
import { endCandidates, endGrain, tryEnd } from "./find-ends.ts";
import { readNeck, stepFindNeck } from "./find-neck.ts";
import { boundGoals, createSearch, readWay, splitAlong, stepFindWay } from "./find-way.ts";
import type { Obstacle, RouteRequest } from "./model.ts";
import { proveLeg } from "./prove-way.ts";
import { neededRoom, type RouteState, type RouteWork } from "./route-state.ts";
import { sayBend, sayEnd, sayLength, sayMm, sayNeck, sayNoWay, sayStart, sayTargetOutside, sayUnproven } from "./say-obstacle.ts";
import { stepSmooth } from "./smooth-curve.ts";
import { createSmooth, wayLength } from "./smooth-model.ts";
import { sweepTaut, tautStart, tautSweeps } from "./tauten-way.ts";

/** Work of one step: cells settled, distances asked. */
const settledAStep = 1500;
const distancesAStep = 800;
/** Cells the search may come to; beyond it the resolution asked for cannot be reached. */
const mostCells = 1_500_000;
const mostTries = 3;
const easing = 0.85;
const leastEase = 0.15;
/** A fault (share of a limit) below which the curve is given shorter spans, and how much shorter. */
const nearly = 0.1;
const finer = 2.5;
/** Longest throat of a port, in needed rooms, and the room at which it ends, likewise. */
const throatLength = 12;
const throatEnd = 1.03;
/** The gentlest bend is found to within this ratio. */
const easedClose = 1.03;

/** One step, well under 50 ms; `state.done` says when it is over. Does nothing then. */
export function stepRoute(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
  const inner = pastThroat(request, state);
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
    case "smooth":
      smoothen(space, inner, state, work);
      break;
    case "check":
      check(space, request, inner, state, work);
      break;
    case "taut":
      pullTaut(space, request, state, work);
      break;
    case "neck":
      seekNeck(space, inner, state, work);
      break;
    case "done":
      break;
  }
}

/** The request as it is from where the throat of the port ends. */
function pastThroat(request: RouteRequest, state: RouteState): RouteRequest {
  const { throat } = state;
  if (throat === 0) return request;
  const [x, y, z] = request.start;
  const [dx, dy, dz] = request.startDirection;
  return { ...request, start: [x + throat * dx, y + throat * dy, z + throat * dz], length: request.length - throat };
}

/** The port must be free and the target within reach of the space. */
function begin(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
  const need = neededRoom(request);
  const box = searchBox(space, request);
  const inside = (p: readonly number[], room: number): boolean =>
    [0, 1, 2].every((k) => p[k]! >= box[k]! - room && p[k]! <= box[k + 3]! + room);
  const port = measureThroat(space, request, work);
  state.throat = port.throat;
  const { start, startDirection: axis } = pastThroat(request, state);
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

/**
 * The throat of the port: how far the axis runs before the full room is there. Up to here the guide steers the body, which
 * goes straight and need only fit. 0 where the room is there at once.
 */
function measureThroat(
  space: SpaceModel,
  request: RouteRequest,
  work: RouteWork,
): { throat: number; free: number; at: [number, number, number]; body: number; blocked: boolean } {
  const need = neededRoom(request);
  const { points, answer } = work.cells;
  const n = 1 + throatLength * 16;
  const at = (i: number): [number, number, number] => {
    const t = (need * i) / 16;
    return [0, 1, 2].map((k) => request.start[k]! + t * request.startDirection[k]!) as [number, number, number];
  };
  for (let i = 0; i < n; i += 1) points.set(at(i), 3 * i);
  sampleSpace(space, points, n, 8 * need, answer, work.cells.space);
  let tightest = 0;
  for (let i = 0; i < n && answer.distance[tightest]! >= request.radius - 1e-9; i += 1) {
    if (answer.distance[i]! >= throatEnd * need) {
      return { throat: (need * i) / 16, free: answer.distance[i]!, at: at(i), body: answer.body[i]!, blocked: false };
    }
    if (answer.distance[i]! < answer.distance[tightest]!) tightest = i;
  }
  const blocked = answer.distance[0]! < need - 1e-9;
  const where = blocked ? tightest : 0;
  return { throat: 0, free: answer.distance[where]!, at: at(where), body: answer.body[where]!, blocked };
}

/** Where the search may go. */
function searchBox(space: SpaceModel, request: RouteRequest): number[] {
  if (request.bounds !== undefined) return [...request.bounds];
  const need = neededRoom(request);
  const known = Array.from(space.bounds);
  if (!known.every(Number.isFinite) || known[3]! < known[0]!) {
    const room = 4 * request.bendRadius + request.endStraight + request.standOff[1] + 8 * need;
    return [0, 1, 2, 3, 4, 5].map((i) => {
      const ends = [request.start[i % 3]!, request.target[i % 3]!];
      return i < 3 ? Math.min(...ends) - room : Math.max(...ends) + room;
    });
  }
  const diagonal = Math.sqrt((known[3]! - known[0]!) ** 2 + (known[4]! - known[1]!) ** 2 + (known[5]! - known[2]!) ** 2);
  const room = Math.max(6 * need, Math.min(0.1 * diagonal, 2 * request.bendRadius));
  const inSpace = request.target.every((x, k) => x >= known[k]! - room && x <= known[k + 3]! + room);
  const endRoom = request.standOff[1] + request.endStraight + request.bendRadius + 2 * need;
  return known.map((value, i) => {
    const start = request.start[i % 3]!;
    const target = inSpace ? request.target[i % 3]! : start;
    return i < 3 ? Math.min(value - room, start - 2 * need, target - endRoom) : Math.max(value + room, start + 2 * need, target + endRoom);
  });
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
  state.goalBall = boundGoals(state.goals);
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
  if (search.phase === 3) finish(state, status, [sayNoWay(space, request, state, search.bestCost)]);
  else finish(state, status, [sayNeck(space, request, state, readNeck(space, state, work))]);
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
    state.search = createSearch();
    goOn(state, "neck", "no way: looking for the narrowest place", 0.5);
    return;
  }
  state.way = readWay(request, state);
  state.wayGoal = search.bestGoal;
  state.rounds += 1;
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
  startSmooth(request, state, "all", request.bendRadius);
}

function startSmooth(request: RouteRequest, state: RouteState, aim: RouteState["aim"], bend: number): void {
  const goal = state.goals[state.wayGoal]!;
  const length = aim === "all" ? request.length : Number.POSITIVE_INFINITY;
  state.aim = aim;
  state.smooth = createSmooth(request, state.way, state.ends[goal.end]!, bend, length, state.fineness);
  goOn(state, "smooth", "bending the way into a curve", aim === "all" ? 0.5 : aim === "any length" ? 0.7 : 0.8);
}

function smoothen(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
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
function check(space: SpaceModel, whole: RouteRequest, request: RouteRequest, state: RouteState, work: RouteWork): void {
  const smooth = state.smooth!;
  const found = state.check!;
  stepCheck(space, state.cells!, request, smooth, found, work);
  if (!found.done) return;
  const need = neededRoom(request);
  const length = found.curve.arc[found.curve.count - 1]!;
  const sharp = found.curvature * smooth.bend > 1;
  const long = length - state.throat > smooth.length;
  if (found.short <= 0 && !sharp && !long) {
    succeed(space, whole, state);
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
  if (found.curvature * request.bendRadius <= 1 && length <= request.length) {
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
  if (curve.arc[curve.count - 1]! > request.length) tellLength(request, state);
  else finish(state, "not-found", state.obstacles);
}

/** The curve is too long: how long the way is at the very least is worth knowing. */
function tellLength(request: RouteRequest, state: RouteState): void {
  state.line = tautStart(state.way, neededRoom(request));
  state.sweeps = 0;
  goOn(state, "taut", "pulling the way taut", 0.95);
}

function pullTaut(space: SpaceModel, request: RouteRequest, state: RouteState, work: RouteWork): void {
  for (let spent = 0; spent < distancesAStep && state.sweeps < tautSweeps; spent += (2 * state.line.length) / 3) {
    sweepTaut(space, state.line, neededRoom(request), state.sweeps, work);
    state.sweeps += 1;
  }
  if (state.sweeps < tautSweeps) return;
  const taut = state.throat + wayLength(state.line) + state.smooth!.straight;
  finish(state, "not-found", [...state.obstacles, sayLength(request, state.curve!, taut)]);
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
    if (fault < state.attemptFault) {
      state.attemptFault = fault;
      state.attempt = smooth;
      state.attemptWay = state.way;
      state.attemptGoal = state.wayGoal;
    }
    state.tries += 1;
    // a curve that is only too long is not helped by a way round
    if (state.tries >= mostTries || smooth.over > 0.5 * smooth.fault) {
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
function ease(request: RouteRequest, state: RouteState): void {
  assert(state.attemptWay.length > 0, "a way was tried before it is eased");
  state.way = state.attemptWay;
  state.wayGoal = state.attemptGoal;
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

function goOn(state: RouteState, stage: RouteState["stage"], says: string, progress: number): void {
  state.stage = stage;
  state.says = says;
  state.progress = Math.max(state.progress, progress);
}

function finish(state: RouteState, status: RouteState["status"], obstacles: readonly Obstacle[]): void {
  state.status = status;
  state.obstacles = [...obstacles];
  state.stage = "done";
  state.done = true;
  state.progress = 1;
  const length = state.curve === null ? 0 : state.curve.arc[state.curve.count - 1]!;
  state.says = status === "found" ? `a route of ${sayMm(length)} was found` : (obstacles[0]?.says ?? "no route was found");
}
