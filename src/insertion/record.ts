/** Everything the plan keeps of one depth, read off a solved shape. */
import { pointOf } from "../math/index.ts";
import { checkBalance, copyRodState, inspectShape, type RodState, readFreeLengths, type SolveReport, solveLocked } from "../rod/index.ts";
import type { SpaceModel } from "../space/index.ts";
import { curveAt } from "./curve.ts";
import { clearanceReach, measureHull } from "./hull.ts";
import type { DepthRecord, InsertionModel } from "./model.ts";
import { armLength, solved, stanceAt } from "./solve-at.ts";
import type { InsertionWork } from "./work.ts";

/** A tool that is there to touch may come this many of its radii near the place before its hull counts. */
const touchReach = 2;

export interface Clearance {
  spare: number;
  tightest: number;
  least: number;
}

/** Clearance of the shape in `work.rod`: fills `work.spare` and `work.nearest`. */
export function clearanceOf(model: InsertionModel, space: SpaceModel, work: InsertionWork): Clearance {
  const { arm, target } = model;
  const exclude = excludedNear(model);
  measureHull(arm, space, work.rod.frame, work.rod.firstFree, target.place, exclude, work.spare, work.nearest, work.space, work.hull);
  let tightest = arm.spans;
  for (let i = 0; i <= arm.spans; i++) if ((work.spare[i] as number) < (work.spare[tightest] as number)) tightest = i;
  const spare = work.spare[tightest] as number;
  return { spare, tightest, least: spare + needOf(model, work.nearest[tightest] as number) };
}

function needOf(model: InsertionModel, body: number): number {
  return body < 0 ? 0 : (model.need[body] as number);
}

/** Least clearance to the bodies that ask for some. */
export interface Asked {
  readonly asked: number;
  readonly askedVertebra: number;
  readonly askedBody: number;
}

/** Clearance on the way from the depth before: spare [vertebra], bodies, and the greatest sideways motion taken off. */
export interface Sweep extends Asked {
  readonly spare: Float64Array;
  readonly nearest: Int32Array;
  readonly sideways: number;
}

/**
 * Spare [vertebra] to the bodies that ask for clearance, and which they are among all; undefined when none asks.
 *
 * @param frames [vertebra, 12]
 */
export function askingSpare(
  model: InsertionModel,
  frames: Float64Array,
  firstFree: number,
  work: InsertionWork,
): { spare: Float64Array; nearest: Int32Array } | undefined {
  const { arm, asking, target } = model;
  if (asking === undefined || work.asking === undefined) return undefined;
  const spare = new Float64Array(arm.spans + 1);
  const nearest = new Int32Array(arm.spans + 1);
  measureHull(arm, asking.space, frames, firstFree, target.place, excludedNear(model), spare, nearest, work.asking, work.hull);
  return { spare, nearest: nearest.map((body) => (body < 0 ? -1 : (asking.bodies[body] as number))) };
}

/** The vertebra that is nearest to a body that asks, from spare [vertebra]. */
export function leastAsked(model: InsertionModel, found: { spare: Float64Array; nearest: Int32Array } | undefined): Asked {
  const none = { asked: clearanceReach, askedVertebra: -1, askedBody: -1 };
  if (found === undefined) return none;
  return found.spare.reduce<Asked>((best, value, i) => {
    const body = found.nearest[i] as number;
    const asked = value + needOf(model, body);
    return body >= 0 && asked < best.asked ? { asked, askedVertebra: i, askedBody: body } : best;
  }, none);
}

function excludedNear({ arm, target }: InsertionModel): number {
  return target.kind === "look" ? 0 : (touchReach * arm.description.tool.diameter) / 2;
}

/**
 * @param state as solved; `work.rod` holds the shape
 * @param sweep absent at the first depth
 */
export function recordDepth(
  model: InsertionModel,
  space: SpaceModel,
  depth: number,
  roll: number,
  solves: number,
  report: SolveReport,
  state: RodState,
  sweep: Sweep | undefined,
  work: InsertionWork,
): DepthRecord {
  const { arm } = model;
  const { rod, inspection } = work;
  const stance = stanceAt(model, depth, roll, work);
  const frames = rod.frame.slice();
  const bend = rod.bend.slice();
  const firstFree = rod.firstFree;
  inspectShape(arm, state, rod, inspection);
  const clearance = clearanceOf(model, space, work);
  const margins = work.spare.map((value, i) => value + needOf(model, work.nearest[i] as number));
  const swept = sweep?.spare ?? work.spare;
  const sweptNearest = (sweep?.nearest ?? work.nearest).slice();
  const tool = new Float64Array(3);
  pointOf(frames, arm.spans, 0, 0, arm.description.tool.length, tool);
  const record = {
    depth,
    status: report.status,
    residual: checkBalance(arm, model.load, stance, state),
    iterations: report.iterations,
    solves,
    roll,
    firstFree,
    frames,
    tool,
    bend,
    tension: state.tension.slice(),
    drawn: inspection.drawn.slice(),
    clearance: margins,
    nearest: work.nearest.slice(),
    spare: clearance.spare,
    tightest: clearance.tightest,
    leastClearance: clearance.least,
    swept: swept.map((value, i) => value + needOf(model, sweptNearest[i] as number)),
    sweptNearest,
    sweptSpare: swept.reduce((least, value) => Math.min(least, value), Number.POSITIVE_INFINITY),
    ...(sweep === undefined ? leastAsked(model, askingSpare(model, frames, firstFree, work)) : pickAsked(sweep)),
    sideways: sweep?.sideways ?? 0,
    jointAngle: inspection.jointAngle.slice(),
    strain: inspection.strain.slice(),
    stress: inspection.stress.slice(),
    twist: inspection.twist.slice(),
    deviation: deviationOf(model, frames, firstFree, depth, work),
  };
  return { ...record, sag: sagOf(model, state, work) };
}

function pickAsked({ asked, askedVertebra, askedBody }: Asked): Asked {
  return { asked, askedVertebra, askedBody };
}

/** Distance of the free vertebrae and the tool point from the route: rms and greatest, m. */
function deviationOf(model: InsertionModel, frames: Float64Array, firstFree: number, depth: number, work: InsertionWork): [number, number] {
  const { arm, curve } = model;
  const exit = armLength(model) - depth;
  let sum = 0;
  let greatest = 0;
  let count = 0;
  for (let i = Math.max(firstFree + 1, 1); i <= arm.spans; i++) {
    const c = work.curve;
    const f = 12 * i + 9;
    curveAt(curve, (arm.along[i] as number) - exit, c);
    const ahead = [0, 1, 2].reduce((total, r) => total + ((frames[f + r] as number) - (c[r] as number)) * (c[3 + r] as number), 0);
    curveAt(curve, (arm.along[i] as number) - exit + ahead, c);
    const d2 = [0, 1, 2].reduce((total, r) => total + ((frames[f + r] as number) - (c[r] as number)) ** 2, 0);
    sum += d2;
    greatest = Math.max(greatest, d2);
    count++;
  }
  return [Math.sqrt(sum / Math.max(1, count)), Math.sqrt(greatest)];
}

/**
 * Motion of the tool point when gravity and tool go off with all drives locked, m; NaN when that finds no balance.
 *
 * @param work the loaded shape and its stance stand in it; the unloaded shape is left there
 */
export function sagOf(model: InsertionModel, state: RodState, work: InsertionWork): number {
  const { arm } = model;
  const tool = new Float64Array(3);
  pointOf(work.rod.frame, arm.spans, 0, 0, arm.description.tool.length, tool);
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work.rod, free);
  const bare = copyRodState(state);
  const report = solveLocked(arm, { gravity: [0, 0, 0], forces: [], toolShare: 0 }, work.stance, free, bare, work.rod);
  if (!solved(report)) return Number.NaN;
  const at = new Float64Array(3);
  pointOf(work.rod.frame, arm.spans, 0, 0, arm.description.tool.length, at);
  return Math.sqrt([0, 1, 2].reduce((sum, r) => sum + ((at[r] as number) - (tool[r] as number)) ** 2, 0));
}
