/**
 * One drawn truth: what the arm would do were its numbers, the port's place and the job's as drawn, while the operator drives the plan's commands. Each
 * depth is solved again with the drives locked at the lengths that the plan has them let out, and the whole walk is judged as a plan is.
 */
import { createArm } from "../arm/index.ts";
import { assert, InputError } from "../base/index.ts";
import { applyParameters, type ParameterValues, untouched } from "../fit/index.ts";
import {
  atDepth,
  createInsertionState,
  createInsertionWork,
  type DepthRecord,
  type InsertionModel,
  type InsertionState,
  type InsertionWork,
  loadWithWalls,
  recordDepth,
  solved,
  stanceAt,
} from "../insertion/index.ts";
import type { Job, JobSource } from "../job/index.ts";
import { createFrameAlong } from "../math/index.ts";
import {
  createPlan,
  createPlanState,
  createPlanWork,
  exitOf,
  insertionModel,
  judgeWalk,
  type PlanModel,
  type PlanResult,
  type PlanState,
  type PlanWork,
  readPlan,
  seeTarget,
  stepPlan,
} from "../plan/index.ts";
import { copyRodState, type Load, type RodState, solveLocked } from "../rod/index.ts";
import { readMargin, type Verdict } from "../verdict/index.ts";
import { drawValues, portParts, type Unknowns } from "./list-unknowns.ts";
import { type Command, type Replay, walkOf, zeroLengths } from "./replay-commands.ts";

/** What all draws have in common. Not plain data: it is made on each thread. */
export interface DrawModel {
  readonly source: JobSource;
  readonly plan: PlanModel;
  readonly result: PlanResult;
  readonly unknowns: Unknowns;
  readonly replay: Replay;
  readonly seed: number;
  /** `held`: the plan's commands are driven; `anew`: the drawn job, known as it is, is planned anew */
  readonly mode: "held" | "anew";
}

/** One margin of one draw. */
export interface DrawnMargin {
  readonly id: string;
  readonly title: string;
  readonly use: number;
  /** in the row's unit */
  readonly found: number;
  readonly unit: Verdict["rows"][number]["unit"];
  /** what is found is to be at least what is allowed */
  readonly atLeast: boolean;
  readonly allowed: number;
  /** the operator sees it by the tip's camera and puts it right: told, and no trouble by itself */
  readonly trimmed?: true;
}

/** What became of one draw. Plain data. */
export interface DrawAnswer {
  readonly index: number;
  /** [unknown] SI */
  readonly values: Float64Array;
  /** `over`: a margin is passed; `unknown`: a solve found no balance, or the numbers give no job, which may be trouble and may be none */
  readonly outcome: "holds" | "over" | "unknown";
  /** why it is unknown */
  readonly says?: string;
  readonly margins: readonly DrawnMargin[];
}

export interface DrawState {
  answer: DrawAnswer | undefined;
  done: number;
}

export interface DrawWork {
  run: Walk | PlanRun | undefined;
}

interface Walk {
  readonly kind: "walk";
  readonly plan: PlanModel;
  readonly inner: InsertionModel;
  readonly work: InsertionWork;
  readonly insertion: InsertionState;
  readonly state: PlanState;
  /** on the way in */
  readonly depths: number;
  rod: RodState;
  /** the deepest shape's lengths, and the arm as the roll before left it */
  locked: { readonly free: Float64Array; readonly depth: number; readonly roll: number; readonly load: Load; rod: RodState } | undefined;
  roll: number;
}

interface PlanRun {
  readonly kind: "plan";
  readonly plan: PlanModel;
  readonly state: PlanState;
  readonly work: PlanWork;
}

export function createDrawState(): DrawState {
  return { answer: undefined, done: 0 };
}

export function createDrawWork(): DrawWork {
  return { run: undefined };
}

/** Rolls tried for slack cables, as many as a plan tries. */
const rolls = 24;

/** One depth, one roll or the judgement of draw `index`; nothing happens once there is an answer. */
export function stepDraw(model: DrawModel, index: number, state: DrawState, work: DrawWork): void {
  if (state.answer !== undefined) return;
  const values = drawValues(model.unknowns, model.seed, index);
  if (work.run === undefined) {
    try {
      work.run = model.mode === "anew" ? beginPlan(model, values) : beginWalk(model, values);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      const says = `The drawn numbers give no job: ${error.faults.map(({ path, problem }) => `${path} ${problem}`).join(" ")}`;
      state.answer = { index, values, outcome: "unknown", says, margins: [] };
      return;
    }
  }
  const { run } = work;
  if (run.kind === "plan") {
    stepPlan(run.plan, run.state, run.work);
    state.done = run.state.progress.done;
    if (run.state.progress.stage !== "done") return;
    state.answer = answerOf(index, values, readPlan(run.plan, run.state).verdict, undefined);
    return;
  }
  stepWalk(model, run, index, values, state);
}

function stepWalk(model: DrawModel, run: Walk, index: number, values: Float64Array, state: DrawState): void {
  const { insertion } = run;
  const k = insertion.wayIn.length + insertion.wayOut.length;
  const walk = walkOf(model.result);
  if (insertion.failure === "" && k < walk.length) {
    const at = walk[k] as (typeof walk)[number];
    layDrawn(run, at.record, at.way, model.replay.commands[k]);
    state.done = (0.95 * (k + 1)) / walk.length;
  } else if (insertion.failure === "" && run.roll < rolls) {
    rollLocked(run, (2 * Math.PI * run.roll) / rolls);
    run.roll++;
  } else {
    const answer = answerOf(index, values, judgeWalk(run.plan, run.state), run.plan.job);
    state.answer =
      insertion.failure === "" ? answer : { ...answer, outcome: answer.outcome === "over" ? "over" : "unknown", says: insertion.failure };
    state.done = 1;
  }
}

/** What the tip's camera shows: where the arm has one, the operator trims it. */
const seenRows = ["pose", "sight", "view-angle", "in-view", "detail", "focus", "tool-angle"];
/** What a drawn walk does not tell: it is compared with nothing. */
const untold = ["way-out"];

/** @param held  the job of a walk that drove the plan's commands; undefined of a job that was planned anew */
function answerOf(index: number, values: Float64Array, verdict: Verdict, held: Job | undefined): DrawAnswer {
  const trims = held !== undefined && held.arm.tool.camera !== undefined;
  const rows = verdict.rows.filter(({ id }) => held === undefined || !untold.includes(id));
  const counted = rows.filter(({ id }) => !(trims && seenRows.includes(id)));
  const margins = rows.map((row): DrawnMargin => {
    const { found, allowed, side } = readMargin(row);
    const own = { id: row.id, title: row.title, use: row.use, found, unit: row.unit, atLeast: side === "at least", allowed };
    return counted.includes(row) ? own : { ...own, trimmed: true };
  });
  const answer = { index, values, margins };
  if (counted.some(({ state }) => state === "over") || verdict.answer === "no go") {
    if (held === undefined || counted.some(({ state }) => state === "over")) return { ...answer, outcome: "over" };
  }
  const lost = counted
    .filter(({ state }) => state === "unknown")
    .map(({ title, whereSays }) => `${title}: no balance was found (${whereSays}).`);
  if (held === undefined && verdict.answer === "undecided") lost.push(verdict.says, ...verdict.reasons);
  return lost.length > 0 ? { ...answer, outcome: "unknown", says: lost.join(" ") } : { ...answer, outcome: "holds" };
}

/** One roll of the drawn arm with its drives locked at the deepest, for slack cables. */
function rollLocked(run: Walk, turn: number): void {
  const { locked, work, state } = run;
  if (locked === undefined || (state.slack !== undefined && Number.isNaN(state.slack.least))) return;
  const inner = atDepth(run.inner, locked.depth, locked.roll);
  const { arm } = inner;
  const report = solveLocked(arm, locked.load, stanceAt(inner, locked.depth, locked.roll + turn, work), locked.free, locked.rod, work.rod);
  if (!solved(report)) {
    state.slack = { least: Number.NaN, cable: 0, roll: turn };
    return;
  }
  const kept = (tension: number, c: number): number => ((arm.pretension[c] as number) > 0 ? tension / (arm.pretension[c] as number) : 0);
  let cable = 0;
  for (let c = 1; c < arm.cables; c++)
    if (kept(locked.rod.tension[c] as number, c) < kept(locked.rod.tension[cable] as number, cable)) cable = c;
  const least = locked.rod.tension[cable] as number;
  if (state.slack === undefined || kept(least, cable) < kept(state.slack.least, state.slack.cable))
    state.slack = { least, cable, roll: turn };
}

/** The job as drawn: numbers of the files, fitted values, the port exactly where it was drawn to be. */
function drawJob(
  { source, unknowns }: DrawModel,
  values: Float64Array,
): { readonly job: Job; readonly port: Float64Array; readonly moved: boolean } {
  const instead = { job: new Map<string, number>(), arm: new Map<string, number>() };
  const fitted: Record<string, number> = {};
  const seat = new Float64Array(5);
  unknowns.list.forEach(({ from, name }, k) => {
    const value = values[k] as number;
    if (from === "fit") fitted[name] = value;
    else if (from === "port") seat[portParts.indexOf(name as (typeof portParts)[number])] = value;
    else instead[from].set(name, value);
  });
  const free = new Set(unknowns.list.flatMap(({ from, name }) => (from === "arm" ? [name] : [])));
  // a range that a fitted value stands for is what the fit moves: from its middle
  for (const [path, { nominal }] of Object.entries(source.unsure.arm)) if (!free.has(path)) instead.arm.set(path, nominal);
  const read = source.redraw(instead);
  const { fitted: _, ...arm } = applyParameters(read.arm, { ...untouched, ...fitted } as ParameterValues);
  const port = moveFrame(createFrameAlong(read.port.centre, read.port.axis), seat);
  const exit = exitOf(read);
  const job: Job = {
    ...read,
    arm,
    ranges: {},
    port: {
      ...read.port,
      centre: [port[9] as number, port[10] as number, port[11] as number],
      axis: [port[2] as number, port[5] as number, port[8] as number],
      placeTolerance: 0,
      tiltTolerance: 0,
    },
  };
  // where the arm comes free: the port itself, or the end of the guide tube
  return {
    job,
    port: moveFrame(createFrameAlong(exit.at, exit.axis), seat),
    moved: [...instead.job.keys()].some((path) => /^bodies|^limits|^target/.test(path)),
  };
}

/** A frame moved by [5]: along its own axes, m, and turned about its own x and y, rad. */
function moveFrame(frame: Float64Array, by: Float64Array): Float64Array {
  const moved = frame.slice();
  const [dx = 0, dy = 0, dz = 0, ax = 0, ay = 0] = by;
  const angle = Math.sqrt(ax * ax + ay * ay);
  const [s, c] = angle > 0 ? [Math.sin(angle) / angle, (1 - Math.cos(angle)) / (angle * angle)] : [1, 0.5];
  // Rodrigues' formula for the rotation vector (ax, ay, 0)
  const turn = [
    [1 - c * ay * ay, c * ax * ay, s * ay],
    [c * ax * ay, 1 - c * ax * ax, -s * ax],
    [-s * ay, s * ax, 1 - c * (ax * ax + ay * ay)],
  ] as const;
  for (let r = 0; r < 3; r++) {
    const row = [frame[3 * r] as number, frame[3 * r + 1] as number, frame[3 * r + 2] as number] as const;
    for (let k = 0; k < 3; k++)
      moved[3 * r + k] = row[0] * (turn[0][k] as number) + row[1] * (turn[1][k] as number) + row[2] * (turn[2][k] as number);
    moved[9 + r] = (frame[9 + r] as number) + row[0] * dx + row[1] * dy + row[2] * dz;
  }
  return moved;
}

function beginPlan(model: DrawModel, values: Float64Array): PlanRun {
  const plan = createPlan(drawJob(model, values).job);
  return { kind: "plan", plan, state: createPlanState(plan), work: createPlanWork(plan) };
}

function beginWalk(model: DrawModel, values: Float64Array): Walk {
  const { job, port, moved } = drawJob(model, values);
  const arm = createArm(job.arm);
  const { drum: _, ...base } = model.plan;
  // where bodies are as planned, their trees are too; otherwise everything is made anew
  const plan: PlanModel = moved ? { ...createPlan(job), port } : { ...base, job: { ...job, bodies: model.plan.job.bodies }, arm, port };
  const inner = insertionModel(plan, model.result.route);
  const insertion: InsertionState = { ...createInsertionState(inner), stage: "done" };
  const state: PlanState = { ...createPlanState(plan), route: model.result.route, insertion };
  return {
    kind: "walk",
    plan,
    inner,
    work: createInsertionWork(inner, plan.space),
    insertion,
    state,
    depths: model.result.wayIn.length,
    rod: insertion.rod,
    locked: undefined,
    roll: 0,
  };
}

/** One depth of the drawn arm, the drives as the plan has them there, the cables having slid as they did in the plan. */
function layDrawn(run: Walk, record: DepthRecord, way: "in" | "out", command: Command | undefined): void {
  const { insertion, work } = run;
  const at = `at ${(record.depth * 1e3).toFixed(1)} mm of depth on the way ${way}`;
  const inner = atDepth(run.inner, record.depth, record.roll);
  const { arm } = inner;
  if (command === undefined) {
    insertion.failure = `${at}: the plan's own shape was not found again`;
    return;
  }
  const stance = stanceAt(inner, record.depth, record.roll, work);
  const zero = zeroLengths(arm, stance, work.rod);
  if (zero === undefined) {
    insertion.failure = `${at}: the straight arm has no balance`;
    return;
  }
  const free = command.free.map((length, c) => length + (zero[c] as number) - (command.zero[c] as number));
  const load = command.leans ? loadWithWalls(inner, work, way) : inner.load;
  let rod = copyRodState(command.rod);
  let report = solveLocked(arm, load, stance, free, rod, work.rod);
  if (!solved(report) && insertion.wayIn.length > 0) {
    // from the depth before, when the planned shape is too far away
    rod = copyRodState(run.rod);
    rod.grip.set(command.rod.grip);
    report = solveLocked(arm, load, stance, free, rod, work.rod);
  }
  if (!solved(report)) {
    insertion.failure = `${at}: no balance was found under the plan's commands (${report.status})`;
    return;
  }
  run.rod = copyRodState(rod);
  const laid = { depth: record.depth, roll: record.roll, solves: 1, settled: true };
  const made = recordDepth(inner, laid, { rod, report, load, contact: command.leans ? record.contact : undefined }, undefined, work);
  const drawn = withSweep(made, record);
  if (!(drawn.residual < leastBalance)) {
    insertion.failure = `${at}: a second computation of the balance leaves ${drawn.residual.toExponential(1)} N m`;
    return;
  }
  if (way === "in") {
    insertion.wayIn.push(drawn);
    if (insertion.wayIn.length === run.depths) run.state.sight = seeTarget(arm, run.plan.space, run.plan.job.target, drawn);
    run.locked = { free, depth: record.depth, roll: record.roll, load, rod: copyRodState(run.rod) };
  } else insertion.wayOut.push(drawn);
}

/** As in a plan, N m. */
const leastBalance = 1e-6;

/** What the plan takes off between its depths is taken off here too: between them nothing is solved again. */
function withSweep(drawn: DepthRecord, planned: DepthRecord): DepthRecord {
  assert(drawn.clearance.length === planned.clearance.length, "a drawn arm has the planned one's vertebrae");
  const less = (seen: number, swept: number): number => (Number.isFinite(seen - swept) ? Math.max(0, seen - swept) : 0);
  // towards one body what was taken off can be told; where the way there passes another, half the sideways motion is the most
  const taken = (v: number): number =>
    planned.sweptNearest[v] === planned.nearest[v]
      ? Math.min(planned.sideways, less(planned.clearance[v] as number, planned.swept[v] as number))
      : planned.sideways / 2;
  return {
    ...drawn,
    asked: drawn.asked - less(planned.askedSeen, planned.asked),
    sweptSpare: drawn.sweptSpare - less(planned.seenSpare, planned.sweptSpare),
    swept: drawn.swept.map((value, v) => value - taken(v)),
    sideways: planned.sideways,
  };
}
