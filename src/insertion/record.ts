/** Everything the plan keeps of one depth, read off a solved shape. */
import { pointOf } from "../math/index.ts";
import {
  checkBalance,
  copyRodState,
  inspectShape,
  type RodState,
  readFreeLengths,
  solveLocked,
  type Walls,
  type Wound,
  windCables,
} from "../rod/index.ts";
import { armLength } from "./arm-length.ts";
import { boundRub, rubOf } from "./bound-rub.ts";
import { curveAt } from "./curve.ts";
import { clearanceReach } from "./hull.ts";
import { inherentDeviation } from "./inherent.ts";
import { recordLaunch } from "./launch.ts";
import { joinContacts, type Leaning } from "./lean.ts";
import type { DepthContact, DepthRecord, InsertionModel } from "./model.ts";
import { solved, stanceAt } from "./solve-at.ts";
import { looseOf } from "./take-off-play.ts";
import { measureViews, needOf, type Spares, tightestOf } from "./views.ts";
import type { InsertionWork } from "./work.ts";

/** Clearance of the shape in `work.rod` to everything: spare [vertebra] and bodies. */
export function clearanceOf(model: InsertionModel, work: InsertionWork): Spares {
  return measureViews(model, work.views.all, work.rod.frame, work.rod.firstFree, 0, work.hull) as Spares;
}

/** Clearance of the shape in `work.rod` to the bodies that ask for some; undefined when none does. */
export function askingOf(model: InsertionModel, work: InsertionWork): Spares | undefined {
  return measureViews(model, work.views.asking, work.rod.frame, work.rod.firstFree, 0, work.hull);
}

/** Least clearance to the bodies that ask for some. */
export interface Asked {
  readonly asked: number;
  readonly askedVertebra: number;
  readonly askedBody: number;
}

export function leastAsked(model: InsertionModel, found: Spares | undefined): Asked {
  const none = { asked: clearanceReach, askedVertebra: -1, askedBody: -1 };
  if (found === undefined) return none;
  return found.spare.reduce<Asked>((best, value, i) => {
    const body = found.nearest[i] as number;
    const asked = value + needOf(model, body);
    return body >= 0 && asked < best.asked ? { asked, askedVertebra: i, askedBody: body } : best;
  }, none);
}

/** Clearance on the way from the depth before to this one. */
export interface Sweep {
  /** guaranteed: sideways motion taken off */
  readonly all: Spares;
  readonly asked: Asked;
  /** of the shapes solved alone: least spare to everything, least clearance to the bodies that ask */
  readonly seenSpare: number;
  readonly askedSeen: number;
  /** greatest sideways motion taken off, m */
  readonly sideways: number;
  /** of the shapes between, without their touches; undefined where they touch nothing */
  readonly contact: DepthContact | undefined;
}

/** A shape laid and balanced, with what was told to the drives. */
export interface Laid {
  readonly depth: number;
  readonly roll: number;
  readonly solves: number;
  readonly settled: boolean;
}

/**
 * @param leaning as solved; `work.rod` holds the shape
 * @param sweep absent at the first depth
 */
export function recordDepth(
  model: InsertionModel,
  laid: Laid,
  leaning: Leaning,
  sweep: Sweep | undefined,
  work: InsertionWork,
): DepthRecord {
  const { arm } = model;
  const { rod: state, load, report } = leaning;
  const { rod, inspection } = work;
  const stance = stanceAt(model, laid.depth, laid.roll, work);
  const frames = rod.frame.slice();
  const firstFree = rod.firstFree;
  inspectShape(arm, state, rod, inspection);
  recordLaunch(model, laid.depth, laid.roll, firstFree, frames, inspection, work);
  boundRub(model, state, work);
  const rub = rubOf(model, state, work);
  const here = clearanceOf(model, work);
  const asking = leastAsked(model, askingOf(model, work));
  const { spare, vertebra: tightest } = tightestOf(here);
  const way = sweep ?? { all: here, asked: asking, seenSpare: spare, askedSeen: asking.asked, sideways: 0, contact: undefined };
  const clearance = here.spare.map((value, i) => value + needOf(model, here.nearest[i] as number));
  const loose = looseOf(model, frames, firstFree, work.hull);
  const tool = new Float64Array(3);
  pointOf(frames, arm.spans, 0, 0, arm.description.tool.length, tool);
  const drawn = inspection.drawn.slice();
  const wound = takeWinding(model, laid.roll, state.tension, drawn);
  const record = {
    depth: laid.depth,
    status: report.status,
    residual: checkBalance(arm, load, stance, state),
    iterations: report.iterations,
    solves: laid.solves,
    settled: laid.settled,
    roll: laid.roll,
    firstFree,
    frames,
    tool,
    bend: rod.bend.slice(),
    tension: state.tension.slice(),
    drawn,
    clearance,
    nearest: here.nearest,
    spare,
    tightest,
    leastClearance: clearance[tightest] as number,
    swept: way.all.spare.map((value, i) => value + needOf(model, way.all.nearest[i] as number)),
    sweptNearest: way.all.nearest.slice(),
    sweptSpare: Math.min(spare, tightestOf(way.all).spare),
    seenSpare: Math.min(spare, way.seenSpare),
    ...(asking.asked < way.asked.asked ? asking : way.asked),
    askedSeen: Math.min(asking.asked, way.askedSeen),
    sideways: way.sideways,
    jointAngle: inspection.jointAngle.slice(),
    strain: inspection.strain.slice(),
    stress: inspection.stress.slice(),
    twist: inspection.twist.slice(),
    ...(wound === undefined ? {} : { wound }),
    ...(loose === undefined ? {} : { loose }),
    ...(rub === undefined ? {} : { rub }),
    deviation: deviationOf(model, frames, firstFree, laid.depth, work),
    inherent: inherentDeviation(model, work.bendTable, laid.depth),
  };
  const contact = joinContacts(leaning.contact, way.contact);
  work.hull.rub.fill(0);
  return { ...record, sag: sagOf(model, state, work, load.walls), ...(contact === undefined ? {} : { contact }) };
}

/** What the roll winds the cables by, let out by their drives. */
function takeWinding(model: InsertionModel, roll: number, tension: Float64Array, drawn: Float64Array): Wound | undefined {
  const length = model.roll?.carries === "cables" ? model.roll.windingLength : undefined;
  if (length === undefined) return undefined;
  const longer = new Float64Array(model.arm.cables);
  const wound = windCables(model.arm, roll, length, tension, longer);
  for (let c = 0; c < drawn.length; c++) drawn[c] = (drawn[c] as number) - (longer[c] as number);
  return wound;
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
 * @param walls what the loaded shape leans on, if anything
 */
export function sagOf(model: InsertionModel, state: RodState, work: InsertionWork, walls?: Walls): number {
  const { arm } = model;
  const tool = new Float64Array(3);
  pointOf(work.rod.frame, arm.spans, 0, 0, arm.description.tool.length, tool);
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work.rod, free);
  const bare = copyRodState(state);
  const report = solveLocked(
    arm,
    { gravity: [0, 0, 0], forces: [], toolShare: 0, ...(walls === undefined ? {} : { walls }) },
    work.stance,
    free,
    bare,
    work.rod,
  );
  if (!solved(report)) return Number.NaN;
  const at = new Float64Array(3);
  pointOf(work.rod.frame, arm.spans, 0, 0, arm.description.tool.length, at);
  return Math.sqrt([0, 1, 2].reduce((sum, r) => sum + ((at[r] as number) - (tool[r] as number)) ** 2, 0));
}
