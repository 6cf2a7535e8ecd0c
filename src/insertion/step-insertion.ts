/**
 * The whole insertion as a resumable walk: lay the arm at each depth, look at it, look between, then the same commands
 * backwards. One step is one of these at one depth; the state is plain data.
 */
import { copyRodState, createRodState, type RodState, type SolveReport } from "../rod/index.ts";
import type { SpaceModel } from "../space/index.ts";
import { followRoute } from "./follow-route.ts";
import type { DepthRecord, InsertionModel, InsertionState } from "./model.ts";
import { type Asked, askingSpare, clearanceOf, leastAsked, recordDepth, type Sweep } from "./record.ts";
import { armLength, solveAt, solved } from "./solve-at.ts";
import type { InsertionWork } from "./work.ts";

/** Depths from a first few spans out to the route's end, a pitch of the last section apart. */
export function listDepths(arm: InsertionModel["arm"], routeLength: number): Float64Array {
  const last = arm.description.sections[arm.sections - 1];
  const step = last === undefined ? routeLength : last.pitch;
  const first = arm.description.tool.length + 2 * step;
  const count = Math.max(1, Math.floor((routeLength - first) / step) + 1);
  return Float64Array.from({ length: count }, (_, k) => routeLength - (count - 1 - k) * step);
}

export function createInsertionState(model: InsertionModel): InsertionState {
  return {
    stage: "in",
    index: 0,
    rod: createRodState(model.arm),
    bend: new Float64Array(2 * model.arm.sections),
    roll: 0,
    solves: 0,
    depth: model.depths[0] as number,
    report: { status: "stable", iterations: 0, step: 0, unstable: 0, escaped: false },
    deepest: undefined,
    wayIn: [],
    wayOut: [],
    confirmed: 0,
    allowance: 0,
    failure: "",
    branchGap: { shape: 0, tension: 0, depth: 0 },
  };
}

/** One step; nothing happens when `state.stage` is `done`. `state.failure` says why it stopped short. */
export function stepInsertion(model: InsertionModel, space: SpaceModel, state: InsertionState, work: InsertionWork): void {
  if (state.stage === "in") layIn(model, space, state, work);
  else if (state.stage === "inspect") inspectDepth(model, space, state, work);
  else if (state.stage === "out") drawOut(model, space, state, work);
}

/** Share of the walk that is done, 0 to 1. */
export function insertionProgress(model: InsertionModel, state: InsertionState): number {
  if (state.stage === "done") return 1;
  const n = model.depths.length;
  return state.stage === "out" ? (n + (n - 1 - state.index)) / (2 * n) : (state.index + (state.stage === "in" ? 0 : 0.5)) / (2 * n);
}

function layIn(model: InsertionModel, space: SpaceModel, state: InsertionState, work: InsertionWork): void {
  const last = state.index === model.depths.length - 1;
  state.depth = model.depths[state.index] as number;
  let followed = followRoute(model, space, state.depth, last, state.rod, state.bend, state.roll, work);
  let solves = followed.solves;
  for (let again = 0; last && again < 3 && solved(followed.report); again++) {
    const short = shortOf(model, work);
    if (Math.abs(short) < 1e-5) break;
    state.depth = Math.min(state.depth + short, armLength(model));
    followed = followRoute(model, space, state.depth, last, state.rod, state.bend, followed.roll, work);
    solves += followed.solves;
  }
  state.roll = followed.roll;
  state.solves = solves;
  state.report = followed.report;
  if (!solved(followed.report)) {
    fail(state, `at ${(state.depth * 1e3).toFixed(1)} mm of depth on the way in: ${sayReport(followed.report)}`);
    return;
  }
  state.stage = "inspect";
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

function inspectDepth(model: InsertionModel, space: SpaceModel, state: InsertionState, work: InsertionWork): void {
  const before = state.wayIn[state.wayIn.length - 1];
  let report = solveAt(model, state.depth, state.roll, state.bend, state.rod, work);
  let sweep: Sweep | undefined;
  if (before !== undefined && solved(report)) {
    sweep = between(model, space, before, state, work);
    if (sweep === undefined) return;
    report = solveAt(model, state.depth, state.roll, state.bend, state.rod, work);
  }
  if (!solved(report)) {
    fail(state, `at ${(state.depth * 1e3).toFixed(1)} mm of depth on the way in: ${sayReport(report)}`);
    return;
  }
  const rod = copyRodState(state.rod);
  const record = recordDepth(model, space, state.depth, state.roll, state.solves, state.report, state.rod, sweep, work);
  if (!balanced(state, record, "in")) return;
  state.wayIn.push(record);
  for (let k = 0; k < state.bend.length; k++) state.bend[k] = record.bend[k] as number;
  state.rod = rod;
  state.index++;
  state.stage = "in";
  if (state.index < model.depths.length) return;
  state.stage = "out";
  state.deepest = copyRodState(rod);
  state.index = model.depths.length - 1;
}

/**
 * Clearance between two neighbouring depths: the arm slides along itself, so its axis in between lies near the axes at
 * the samples; how near is measured as the sideways motion from sample to sample, and half-way the arm is solved again.
 * The shape at the later depth must stand in the workspace; the one half-way is left in it. Nothing comes back, and the walk
 * ends, when there is no balance half-way.
 */
function between(
  model: InsertionModel,
  space: SpaceModel,
  before: DepthRecord,
  state: InsertionState,
  work: InsertionWork,
): Sweep | undefined {
  const after = work.rod.frame.slice();
  clearanceOf(model, space, work);
  const samples = [
    { spare: spareOf(model, before), nearest: before.nearest },
    { spare: work.spare.slice(), nearest: work.nearest.slice() },
  ];
  const asking = [askingSpare(model, before.frames, before.firstFree, work), askingSpare(model, after, work.rod.firstFree, work)];
  const bend = before.bend.map((value, k) => (value + (state.bend[k] as number)) / 2);
  const rod = copyRodState(state.rod);
  const depth = (before.depth + state.depth) / 2;
  const report = solveAt(model, depth, (before.roll + state.roll) / 2, bend, rod, work);
  if (!solved(report)) {
    fail(state, `half-way between two depths, at ${(depth * 1e3).toFixed(1)} mm: ${sayReport(report)}`);
    return undefined;
  }
  const middle = work.rod.frame.slice();
  const first = work.rod.firstFree;
  clearanceOf(model, space, work);
  samples.push({ spare: work.spare.slice(), nearest: work.nearest.slice() });
  const sideways = sidewaysMotion(before.frames, middle, first);
  sidewaysMotion(middle, after, first).forEach((value, i) => {
    sideways[i] = Math.max(value, sideways[i] as number);
  });
  state.confirmed++;
  asking.push(askingSpare(model, middle, first, work));
  const asked = asking.every((found) => found !== undefined) ? sweepOf(asking, sideways) : undefined;
  const sweep = sweepOf(samples, sideways);
  state.allowance = Math.max(state.allowance, sweep.sideways);
  return { ...sweep, ...leastAsked(model, asked) };
}

function spareOf(model: InsertionModel, record: DepthRecord): Float64Array {
  return record.clearance.map(
    (value, i) => value - ((record.nearest[i] as number) < 0 ? 0 : (model.need[record.nearest[i] as number] as number)),
  );
}

/** Each vertebra's stretch of the way is bounded by what it and its neighbours have at the samples, less their sideways motion. */
function sweepOf(samples: readonly { spare: Float64Array; nearest: Int32Array }[], sideways: Float64Array): Omit<Sweep, keyof Asked> {
  const n = sideways.length;
  const spare = new Float64Array(n).fill(Number.POSITIVE_INFINITY);
  const nearest = new Int32Array(n).fill(-1);
  let greatest = 0;
  for (let i = 0; i < n; i++) {
    let motion = 0;
    for (let k = Math.max(0, i - 1); k <= Math.min(n - 1, i + 1); k++) {
      motion = Math.max(motion, sideways[k] as number);
      for (const sample of samples) {
        if (!((sample.spare[k] as number) < (spare[i] as number))) continue;
        spare[i] = sample.spare[k] as number;
        nearest[i] = sample.nearest[k] as number;
      }
    }
    spare[i] = (spare[i] as number) - motion;
    greatest = Math.max(greatest, motion);
  }
  return { spare, nearest, sideways: greatest };
}

/** [vertebra] distance of the later axis from the earlier one, its new length at the tip left out, m. */
function sidewaysMotion(earlier: Float64Array, later: Float64Array, first: number): Float64Array {
  const n = earlier.length / 12;
  const motion = new Float64Array(n);
  for (let i = Math.max(first, 1); i < n; i++) {
    let least = Number.POSITIVE_INFINITY;
    for (let k = Math.max(0, i - 2); k < Math.min(n - 1, i + 3); k++) least = Math.min(least, toSegment(earlier, k, later, i, k === n - 2));
    motion[i] = Math.sqrt(least);
  }
  return motion;
}

/** Squared distance of a vertebra from the line between two; beyond the tip the line goes on. */
function toSegment(line: Float64Array, k: number, points: Float64Array, i: number, open: boolean): number {
  let dot = 0;
  let size = 0;
  for (let r = 0; r < 3; r++) {
    const a = line[12 * k + 9 + r] as number;
    const d = (line[12 * k + 21 + r] as number) - a;
    dot += ((points[12 * i + 9 + r] as number) - a) * d;
    size += d * d;
  }
  const t = size === 0 ? 0 : Math.max(0, open ? dot / size : Math.min(1, dot / size));
  let d2 = 0;
  for (let r = 0; r < 3; r++) {
    const a = line[12 * k + 9 + r] as number;
    const d = (line[12 * k + 21 + r] as number) - a;
    d2 += ((points[12 * i + 9 + r] as number) - a - t * d) ** 2;
  }
  return d2;
}

/** The plan reversed: the commands of the way in, solved again from the depth beyond. */
function drawOut(model: InsertionModel, space: SpaceModel, state: InsertionState, work: InsertionWork): void {
  const record = state.wayIn[state.index] as DepthRecord;
  const report = solveAt(model, record.depth, record.roll, record.bend, state.rod, work);
  if (!solved(report)) {
    fail(state, `at ${(record.depth * 1e3).toFixed(1)} mm of depth on the way out: ${sayReport(report)}`);
    return;
  }
  const rod: RodState = copyRodState(state.rod);
  const need = (body: number): number => (body < 0 ? 0 : (model.need[body] as number));
  const sweep = {
    spare: record.swept.map((value, i) => value - need(record.sweptNearest[i] as number)),
    nearest: record.sweptNearest,
    sideways: record.sideways,
    asked: record.asked,
    askedVertebra: record.askedVertebra,
    askedBody: record.askedBody,
  };
  const out = recordDepth(model, space, record.depth, record.roll, 1, report, state.rod, sweep, work);
  if (!balanced(state, out, "out")) return;
  state.rod = rod;
  state.wayOut.push(out);
  noteGap(state, record, out);
  state.index--;
  if (state.index < 0) state.stage = "done";
}

function noteGap(state: InsertionState, record: DepthRecord, out: DepthRecord): void {
  let shape = 0;
  for (let i = 0; i < record.frames.length / 12; i++) {
    let d2 = 0;
    for (let r = 9; r < 12; r++) d2 += ((record.frames[12 * i + r] as number) - (out.frames[12 * i + r] as number)) ** 2;
    shape = Math.max(shape, Math.sqrt(d2));
  }
  const tension = record.tension.reduce((worst, t, c) => Math.max(worst, Math.abs(t - (out.tension[c] as number))), 0);
  if (shape > state.branchGap.shape) state.branchGap.depth = record.depth;
  state.branchGap.shape = Math.max(state.branchGap.shape, shape);
  state.branchGap.tension = Math.max(state.branchGap.tension, tension);
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

function fail(state: InsertionState, why: string): void {
  state.failure = why;
  state.stage = "done";
}

/** A solve that gave no shape, in words. */
export function sayReport(report: SolveReport): string {
  if (report.status === "buckled") return `the arm is unstable there (${report.unstable} way${report.unstable === 1 ? "" : "s"} to buckle)`;
  return `no balance was found in ${report.iterations} steps (last step ${report.step.toExponential(1)} rad)`;
}
