/**
 * The whole insertion as a resumable walk: lay the arm at each depth, look at it, look between, then the same commands
 * backwards. One step is one of these at one depth; the state is plain data.
 */
import { copyRodState, createRodState, type RodState, type SolveReport, settleGrips, solveHeld } from "../rod/index.ts";
import type { SpaceModel } from "../space/index.ts";
import { armLength } from "./arm-length.ts";
import { boundRub, rubs } from "./bound-rub.ts";
import { chooseRoll, hardestUse, isBetter, mayTurn, rollTries, tryOwn, tryRoll } from "./choose-roll.ts";
import { followRoute } from "./follow-route.ts";
import { atDepth } from "./launch.ts";
import { type Leaning, leanAt } from "./lean.ts";
import type { DepthRecord, InsertionModel, InsertionState } from "./model.ts";
import { clearanceOf, recordDepth, type Sweep } from "./record.ts";
import { sayReport, solveAt, solved, stanceAt } from "./solve-at.ts";
import { type Sample, sweepBetween } from "./sweep-between.ts";
import { needOf, type Spares, tightestOf } from "./views.ts";
import type { InsertionWork } from "./work.ts";

/**
 * Depths from where only the tool is out (it went there straight along the port's axis, so nothing before it needs a look) to the
 * route's end, the shortest pitch apart.
 */
export function listDepths(arm: InsertionModel["arm"], routeLength: number): Float64Array {
  const step = Math.min(...arm.description.sections.map((section) => section.pitch));
  const count = Math.max(1, Math.ceil((routeLength - arm.description.tool.length) / step) + 1);
  const depths = Float64Array.from({ length: count }, (_, k) => routeLength - (count - 1 - k) * step);
  return depths.filter((depth) => depth > 0);
}

export function createInsertionState(model: InsertionModel): InsertionState {
  return {
    stage: "in",
    index: 0,
    rod: createRodState(model.arm),
    bend: new Float64Array(2 * model.arm.sections),
    roll: 0,
    solves: 0,
    settled: true,
    depth: model.depths[0] as number,
    report: { status: "stable", iterations: 0, step: 0, unstable: 0, escaped: false },
    deepest: undefined,
    wayIn: [],
    wayOut: [],
    confirmed: 0,
    allowance: 0,
    rollTries: [],
    turned: undefined,
    first: undefined,
    failure: "",
    branchGap: { shape: 0, tension: 0, depth: 0, explained: 0 },
  };
}

/** One step; nothing happens when `state.stage` is `done`. `state.failure` says why it stopped short. */
export function stepInsertion(model: InsertionModel, space: SpaceModel, state: InsertionState, work: InsertionWork): void {
  if (state.stage === "in") layIn(model, space, state, work);
  else if (state.stage === "inspect") inspectDepth(model, state, work);
  else if (state.stage === "turn") turnArm(model, state, work);
  else if (state.stage === "out") drawOut(model, state, work);
}

/** Share of the walk for the way in; a second one, turned, takes the rest of the first half. */
const goesIn = 0.35;

/** Share of the walk that is done, 0 to 1. */
export function insertionProgress(model: InsertionModel, state: InsertionState): number {
  if (state.stage === "done") return 1;
  const n = model.depths.length;
  if (state.stage === "turn") return goesIn;
  if (state.stage === "out") return 0.5 + (n - 1 - state.index) / (2 * n);
  const share = (state.index + (state.stage === "in" ? 0 : 0.5)) / n;
  return state.turned === undefined ? goesIn * share : goesIn + (0.5 - goesIn) * share;
}

function layIn(whole: InsertionModel, space: SpaceModel, state: InsertionState, work: InsertionWork): void {
  const last = state.index === whole.depths.length - 1;
  state.depth = whole.depths[state.index] as number;
  const steady = state.turned === undefined ? {} : { steady: state.turned.roll };
  const model = { ...atDepth(whole, state.depth, state.roll), ...steady };
  let followed = followRoute(model, space, state.depth, last, state.rod, state.bend, state.roll, work);
  let solves = followed.solves;
  if (rubs(model) && solved(followed.report)) {
    // the cables have slid on the way here: with that the arm is laid once more
    slideHere(model, state.depth, followed.roll, state.bend, state.rod, work);
    followed = followRoute(model, space, state.depth, last, state.rod, state.bend, followed.roll, work);
    solves += followed.solves;
  }
  for (let again = 0; last && again < 3 && solved(followed.report); again++) {
    const short = shortOf(model, work);
    if (Math.abs(short) < 1e-5) break;
    state.depth = Math.min(state.depth + short, armLength(model));
    followed = followRoute(model, space, state.depth, last, state.rod, state.bend, followed.roll, work);
    solves += followed.solves;
  }
  state.roll = followed.roll;
  state.solves = solves;
  state.settled = followed.settled;
  state.report = followed.report;
  if (!solved(followed.report)) {
    fail(state, `at ${(state.depth * 1e3).toFixed(1)} mm of depth on the way in: ${sayReport(followed.report)}`);
    return;
  }
  state.stage = "inspect";
}

/** How near grips are brought to what slides (2 % of their friction), and in how many solves at the most. */
const slideEnough = { atRest: 0.02, mostTries: 24 };

/** Grips and shape at a depth, from those at the depth before; the shape stands in `work.rod`. */
export function slideHere(
  model: InsertionModel,
  depth: number,
  roll: number,
  bend: Float64Array,
  rod: RodState,
  work: InsertionWork,
): SolveReport {
  let report: SolveReport | undefined;
  settleGrips(
    model.arm,
    rod,
    work.rod,
    () => {
      report = solveAt(model, depth, roll, bend, rod, work);
      return report.status;
    },
    slideEnough,
  );
  return report as unknown as SolveReport;
}

/** How far the tool point is short of the route's end, along the route, m. */
function shortOf(model: InsertionModel, work: InsertionWork): number {
  const { curve, arm } = model;
  const k = curve.count - 1;
  const f = 12 * arm.spans;
  const { frame } = work.rod;
  let short = 0;
  for (let r = 0; r < 3; r++) {
    const at = (frame[f + 9 + r] as number) + (frame[f + 3 * r + 2] as number) * arm.description.tool.length;
    short += ((curve.point[3 * k + r] as number) - at) * (curve.tangent[3 * k + r] as number);
  }
  return short;
}

function inspectDepth(whole: InsertionModel, state: InsertionState, work: InsertionWork): void {
  const model = atDepth(whole, state.depth, state.roll);
  const before = state.wayIn[state.wayIn.length - 1];
  const report = solveAt(model, state.depth, state.roll, state.bend, state.rod, work);
  if (solved(report)) boundRub(model, state.rod, work);
  let leaning = solved(report) ? leanHere(model, state, state.bend, state.rod, report, "in", work) : undefined;
  let sweep: Sweep | undefined;
  if (before !== undefined && leaning !== undefined) {
    sweep = between(model, before, state, "in", work);
    if (sweep === undefined) return;
    leaning = solveAgain(model, state, state.bend, leaning, work);
  }
  if (leaning === undefined || !solved(leaning.report)) {
    fail(state, `at ${(state.depth * 1e3).toFixed(1)} mm of depth on the way in: ${sayReport(leaning?.report ?? report)}`);
    return;
  }
  const rod = copyRodState(state.rod);
  const record = recordDepth(model, state, leaning, sweep, work);
  if (!balanced(state, record, "in")) return;
  state.wayIn.push(record);
  for (let k = 0; k < state.bend.length; k++) state.bend[k] = record.bend[k] as number;
  state.rod = rod;
  state.index++;
  state.stage = "in";
  if (state.index < model.depths.length) return;
  state.deepest = copyRodState(rod);
  if (mayTurn(whole, state)) state.stage = "turn";
  else turnBack(whole, state);
}

/** The arm is in: from here it goes out again. A second way in that is no better than the first is put away. */
function turnBack(model: InsertionModel, state: InsertionState): void {
  const { first, turned } = state;
  if (first !== undefined && turned !== undefined) {
    const to = hardestUse(model, state.wayIn);
    if (isBetter(turned.from, to)) state.turned = { ...turned, to };
    else Object.assign(state, first, { turned: undefined });
    state.first = undefined;
  }
  state.stage = "out";
  state.index = model.depths.length - 1;
}

/** One roll tried; after the last of them the arm goes in again, turned by the best, where that is worth it. */
function turnArm(model: InsertionModel, state: InsertionState, work: InsertionWork): void {
  const tried = state.rollTries.length - 1;
  if (tried < rollTries) {
    state.rollTries.push(tried < 0 ? tryOwn(model, state, work) : tryRoll(model, state, tried, work));
    return;
  }
  const roll = chooseRoll(state.rollTries);
  if (roll === undefined) {
    turnBack(model, state);
    return;
  }
  const { wayIn, deepest, bend, roll: own, rod, depth, confirmed, allowance, rollTries: tries } = state;
  Object.assign(state, createInsertionState(model), {
    first: { wayIn, deepest, bend, roll: own, rod, depth, confirmed, allowance },
    turned: { roll, from: hardestUse(model, wayIn), to: Number.NaN },
    rollTries: tries,
    roll,
  });
}

/** The shape that was just solved without walls, once more with them where it reaches a surface. */
function leanHere(
  model: InsertionModel,
  { depth, roll }: { readonly depth: number; readonly roll: number },
  bend: Float64Array,
  rod: RodState,
  report: SolveReport,
  way: "in" | "out",
  work: InsertionWork,
): Leaning {
  return leanAt(
    model,
    depth,
    roll,
    bend,
    rod,
    report,
    work.lean.bodies.length > 0 && tightestOf(clearanceOf(model, work)).spare < 0,
    way,
    work,
  );
}

/** Puts the shape back into `work.rod` after others were solved there. */
function solveAgain(
  model: InsertionModel,
  { depth, roll }: { readonly depth: number; readonly roll: number },
  bend: Float64Array,
  leaning: Leaning,
  work: InsertionWork,
): Leaning {
  const report = solveHeld(model.arm, leaning.load, stanceAt(model, depth, roll, work), bend, leaning.rod, work.rod);
  return { ...leaning, report };
}

/**
 * Sweep between the record of a neighbouring depth and the shape in `work.rod`; undefined, and the walk ended, when there is no balance
 * between. On the way out the record is the deeper of the two.
 *
 * @param gripThere grips at the record, where they may be others than here
 */
function between(
  model: InsertionModel,
  record: DepthRecord,
  state: InsertionState,
  way: "in" | "out",
  work: InsertionWork,
  gripThere?: Float64Array,
): Sweep | undefined {
  const known: Sample = { ...record, spares: spareOf(model, record), asking: undefined, contact: undefined, grip: gripThere };
  const here: Sample = {
    depth: state.depth,
    roll: state.roll,
    bend: work.rod.bend.slice(),
    frames: work.rod.frame.slice(),
    firstFree: work.rod.firstFree,
    spares: undefined,
    asking: undefined,
    contact: undefined,
    grip: gripThere === undefined ? undefined : state.rod.grip.slice(),
  };
  const [start, end] = way === "in" ? [known, here] : [here, known];
  const sweep = sweepBetween(model, start, end, copyRodState(state.rod), way, work);
  if (typeof sweep === "string") {
    fail(state, `${sweep} (way ${way})`);
    return undefined;
  }
  state.confirmed += sweep.confirmed;
  state.allowance = Math.max(state.allowance, sweep.sideways);
  return sweep;
}

function spareOf(model: InsertionModel, record: DepthRecord): Spares {
  return { spare: record.clearance.map((value, i) => value - needOf(model, record.nearest[i] as number)), nearest: record.nearest };
}

/** The plan reversed: the commands of the way in, solved again from the depth beyond, each cable sliding its own way. */
function drawOut(whole: InsertionModel, state: InsertionState, work: InsertionWork): void {
  const record = state.wayIn[state.index] as DepthRecord;
  const model = atDepth(whole, record.depth, record.roll);
  const beyond = state.wayOut[state.wayOut.length - 1];
  const way = state.again ?? "out";
  // what the way in tells of the way between holds for the same commands without friction, not for a change of them
  const told = state.again === undefined && !rubs(model);
  state.depth = record.depth;
  state.roll = record.roll;
  const gripBeyond = state.rod.grip.slice();
  let report = solveAt(model, record.depth, record.roll, record.bend, state.rod, work);
  if (rubs(model) && beyond !== undefined && solved(report)) {
    report = slideHere(model, record.depth, record.roll, record.bend, state.rod, work);
  }
  if (!solved(report)) {
    fail(state, `at ${(record.depth * 1e3).toFixed(1)} mm of depth on the way ${way}: ${sayReport(report)}`);
    return;
  }
  boundRub(model, state.rod, work);
  let leaning = leanHere(model, record, record.bend, state.rod, report, way, work);
  let sweep: Sweep | undefined = sweepOf(model, record);
  if (!told && beyond !== undefined) {
    sweep = between(model, beyond, state, way, work, gripBeyond);
    if (sweep === undefined) return;
    leaning = solveAgain(model, record, record.bend, leaning, work);
    if (!solved(leaning.report)) {
      fail(state, `at ${(record.depth * 1e3).toFixed(1)} mm of depth on the way ${way}: ${sayReport(leaning.report)}`);
      return;
    }
  }
  const laid = { depth: record.depth, roll: record.roll, solves: 1, settled: record.settled };
  const rod: RodState = copyRodState(state.rod);
  const out = recordDepth(model, laid, leaning, sweep, work);
  if (!balanced(state, out, way)) return;
  state.rod = rod;
  state.wayOut.push(out);
  noteGap(state, record, out);
  state.index--;
  if (state.index < 0) state.stage = "done";
}

/** What a record of the way in tells of the way to it: without friction it is the way back as well. */
function sweepOf(model: InsertionModel, record: DepthRecord): Sweep {
  return {
    all: { spare: record.swept.map((value, i) => value - needOf(model, record.sweptNearest[i] as number)), nearest: record.sweptNearest },
    asked: { asked: record.asked, askedVertebra: record.askedVertebra, askedBody: record.askedBody },
    seenSpare: record.seenSpare,
    askedSeen: record.askedSeen,
    sideways: record.sideways,
    contact: record.contact,
  };
}

/** Tip pose difference between way in and way out that still counts as one branch, m. */
export const sameBranch = 0.5e-3;

function noteGap(state: InsertionState, record: DepthRecord, out: DepthRecord): void {
  let shape = 0;
  for (let i = 0; i < record.frames.length / 12; i++) {
    let d2 = 0;
    for (let r = 9; r < 12; r++) d2 += ((record.frames[12 * i + r] as number) - (out.frames[12 * i + r] as number)) ** 2;
    shape = Math.max(shape, Math.sqrt(d2));
  }
  const tension = record.tension.reduce((worst, t, c) => Math.max(worst, Math.abs(t - (out.tension[c] as number))), 0);
  const explained = (record.rub?.fullTip ?? 0) + (out.rub?.fullTip ?? 0);
  const { branchGap } = state;
  branchGap.tension = Math.max(branchGap.tension, tension);
  if (shape / (sameBranch + explained) <= branchGap.shape / (sameBranch + branchGap.explained)) return;
  branchGap.shape = shape;
  branchGap.depth = record.depth;
  branchGap.explained = explained;
}

/** Moments left over by the independent check of a shape, N m: far below what any joint carries, far above rounding. */
const leastBalance = 1e-6;

function balanced(state: InsertionState, record: DepthRecord, way: "in" | "out"): boolean {
  if (record.residual < leastBalance) return true;
  fail(
    state,
    `at ${(record.depth * 1e3).toFixed(1)} mm of depth on the way ${way}: a second computation of the balance leaves ${record.residual.toExponential(1)} N m.`,
  );
  return false;
}

/** A second way in that does not arrive is put away; the first one did. */
function fail(state: InsertionState, why: string): void {
  if (state.first !== undefined) {
    Object.assign(state, state.first, { first: undefined, turned: undefined, stage: "out", index: state.first.wayIn.length - 1 });
    return;
  }
  state.failure = why;
  state.stage = "done";
}
