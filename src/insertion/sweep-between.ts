/**
 * Clearance on the way between two neighbouring depths.
 *
 * The arm slides along itself: its axis in between lies near the axes of shapes that were solved, and how near is estimated by the
 * sideways motion from shape to shape, of every vertebra and of the tool point, with a shape solved half-way. That motion is taken
 * off. Where this leaves less than is asked though every solved shape has enough, the stretch is halved again. A tool thicker than
 * the arm counts as reaching back over what it has just passed.
 */
import { assert } from "../base/index.ts";
import { pointOf } from "../math/index.ts";
import { copyRodState, type RodState } from "../rod/index.ts";
import { atDepth } from "./launch.ts";
import { joinContacts, leanAt } from "./lean.ts";
import type { DepthContact, InsertionModel } from "./model.ts";
import { type Asked, leastAsked, type Sweep } from "./record.ts";
import { sayReport, solveAt, solved } from "./solve-at.ts";
import { measureViews, needOf, type Spares, tightestOf } from "./views.ts";
import type { InsertionWork } from "./work.ts";

/** A solved shape with what was told to the drives; clearances are measured when they are first needed. */
export interface Sample {
  readonly depth: number;
  readonly roll: number;
  readonly bend: Float64Array;
  readonly frames: Float64Array;
  readonly firstFree: number;
  readonly spares: Spares | undefined;
  readonly asking: Spares | undefined;
  /** what it leans on; undefined where nothing, or where that is told elsewhere */
  readonly contact: DepthContact | undefined;
  /** grips it was solved with, where they turn over from one end to the other; those of the start for the solves when absent */
  readonly grip?: Float64Array | undefined;
}

/** How often a stretch between two depths may be halved. */
const mostHalvings = 4;

/** @param rod a start for the solves, used up @returns the sweep and how many shapes were solved for it, or why there is none */
export function sweepBetween(
  model: InsertionModel,
  start: Sample,
  end: Sample,
  rod: RodState,
  way: "in" | "out",
  work: InsertionWork,
): (Sweep & { confirmed: number }) | string {
  const back = (end.depth - start.depth) / 2;
  return halve(model, measured(model, start, 0, work), measured(model, end, back, work), rod, 0, way, work);
}

function measured(model: InsertionModel, sample: Sample, back: number, work: InsertionWork): Sample {
  const { frames, firstFree } = sample;
  return {
    ...sample,
    spares: sample.spares ?? measureViews(model, work.views.all, frames, firstFree, back, work.hull),
    asking: sample.asking ?? measureViews(model, work.views.asking, frames, firstFree, back, work.hull),
  };
}

function halve(
  model: InsertionModel,
  start: Sample,
  end: Sample,
  rod: RodState,
  level: number,
  way: "in" | "out",
  work: InsertionWork,
): (Sweep & { confirmed: number }) | string {
  const depth = (start.depth + end.depth) / 2;
  const roll = (start.roll + end.roll) / 2;
  const bend = start.bend.map((value, k) => (value + (end.bend[k] as number)) / 2);
  const state = copyRodState(rod);
  const grip = start.grip !== undefined && end.grip !== undefined ? meanOf(start.grip, end.grip) : undefined;
  if (grip !== undefined) state.grip.set(grip);
  const here = atDepth(model, depth, roll);
  const report = solveAt(here, depth, roll, bend, state, work);
  if (!solved(report)) return `between two depths, at ${(depth * 1e3).toFixed(1)} mm: ${sayReport(report)}`;
  const back = (end.depth - start.depth) / 2;
  let middle = measured(model, sampleOf(depth, roll, undefined, grip, work), back, work);
  const { contact } = leanAt(here, depth, roll, bend, state, report, tightestOf(middle.spares as Spares).spare < 0, way, work);
  if (contact !== undefined) middle = measured(model, sampleOf(depth, roll, contact, grip, work), back, work);
  const halves = [stretch(model, start, middle), stretch(model, middle, end)].map((part, k) => {
    if (!isOpen(model, part) || level === mostHalvings) return { ...part, confirmed: 0 };
    return k === 0 ? halve(model, start, middle, state, level + 1, way, work) : halve(model, middle, end, rod, level + 1, way, work);
  });
  const [one, two] = halves;
  if (typeof one === "string") return one;
  if (typeof two === "string") return two;
  assert(one !== undefined && two !== undefined, "a stretch has two halves");
  return {
    all: least(one.all, two.all),
    asked: one.asked.asked <= two.asked.asked ? one.asked : two.asked,
    seenSpare: Math.min(one.seenSpare, two.seenSpare),
    askedSeen: Math.min(one.askedSeen, two.askedSeen),
    sideways: Math.max(one.sideways, two.sideways),
    contact: joinContacts(one.contact, two.contact),
    confirmed: 1 + one.confirmed + two.confirmed,
  };
}

/** The shape in `work.rod`. */
function sampleOf(
  depth: number,
  roll: number,
  contact: DepthContact | undefined,
  grip: Float64Array | undefined,
  work: InsertionWork,
): Sample {
  const { frame, firstFree } = work.rod;
  return {
    depth,
    roll,
    bend: work.rod.bend.slice(),
    frames: frame.slice(),
    firstFree,
    spares: undefined,
    asking: undefined,
    contact,
    grip,
  };
}

function meanOf(one: Float64Array, two: Float64Array): Float64Array {
  return one.map((value, k) => (value + (two[k] as number)) / 2);
}

/** What the shapes have is enough and what could be guaranteed between them is not. */
function isOpen(model: InsertionModel, part: Sweep): boolean {
  const asked = needOf(model, part.asked.askedBody);
  return (tightestOf(part.all).spare < 0 && part.seenSpare >= 0) || (part.asked.asked < asked && part.askedSeen >= asked);
}

/** Between two solved shapes, nothing solved in between. */
function stretch(model: InsertionModel, start: Sample, end: Sample): Sweep {
  const motion = sidewaysMotion(model, start.frames, end.frames, end.firstFree);
  const all = takeOff(start.spares, end.spares, motion) as Spares;
  const asking = takeOff(start.asking, end.asking, motion);
  const seen = (spares: Spares | undefined): number => (spares === undefined ? Number.POSITIVE_INFINITY : tightestOf(spares).spare);
  const asked = (spares: Spares | undefined): Asked => leastAsked(model, spares);
  return {
    all,
    asked: asked(asking),
    seenSpare: Math.min(seen(start.spares), seen(end.spares)),
    askedSeen: Math.min(asked(start.asking).asked, asked(end.asking).asked),
    sideways: motion.reduce((most, value) => Math.max(most, value), 0),
    contact: joinContacts(start.contact, end.contact),
  };
}

function least(one: Spares, two: Spares): Spares {
  return {
    spare: one.spare.map((value, i) => Math.min(value, two.spare[i] as number)),
    nearest: one.nearest.map((body, i) => ((one.spare[i] as number) <= (two.spare[i] as number) ? body : (two.nearest[i] as number))),
  };
}

/**
 * Each vertebra's part of the way: what it and its neighbours have at both ends, a and b, less what their sideways motion d may take of it.
 * A clearance changes no faster than its place moves, so that t along the way it is at least a - t, and b - (d - t): nowhere less than
 * (a + b - d) / 2, nor than the lesser end where they differ by more than the motion.
 */
function takeOff(start: Spares | undefined, end: Spares | undefined, sideways: Float64Array): Spares | undefined {
  if (start === undefined || end === undefined) return undefined;
  const n = sideways.length;
  const spare = new Float64Array(n);
  const nearest = new Int32Array(n);
  for (let i = 0; i < n; i++) {
    const one = leastNear(start.spare, i);
    const two = leastNear(end.spare, i);
    const [a, b] = [start.spare[one] as number, end.spare[two] as number];
    const motion = Math.max(sideways[Math.max(0, i - 1)] as number, sideways[i] as number, sideways[Math.min(n - 1, i + 1)] as number);
    spare[i] = Math.min(a, b, (a + b - motion) / 2);
    nearest[i] = (a <= b ? start.nearest[one] : end.nearest[two]) as number;
  }
  return { spare, nearest };
}

/** What is left on the way between a shape nearer the port and a deeper one, vertebrae as in the latter. */
export function boundAlong(
  model: InsertionModel,
  shallow: Spares & { readonly frames: Float64Array },
  deep: Spares & { readonly frames: Float64Array; readonly firstFree: number },
): Spares {
  return takeOff(shallow, deep, sidewaysMotion(model, shallow.frames, deep.frames, deep.firstFree)) as Spares;
}

/** Which of a vertebra and its two neighbours has the least. */
function leastNear(spare: Float64Array, i: number): number {
  let least = i;
  for (let k = Math.max(0, i - 1); k <= Math.min(spare.length - 1, i + 1); k++)
    if ((spare[k] as number) < (spare[least] as number)) least = k;
  return least;
}

/** [vertebra] distance of the later axis from the earlier one, its new length at the tip left out, m; the last: with the tool point. */
function sidewaysMotion(model: InsertionModel, earlier: Float64Array, later: Float64Array, first: number): Float64Array {
  const line = axisOf(model, earlier);
  const points = axisOf(model, later);
  const n = model.arm.spans + 1;
  const motion = new Float64Array(n);
  for (let i = Math.max(first, 1); i <= n; i++) {
    let near = Number.POSITIVE_INFINITY;
    for (let k = Math.max(0, i - 3); k < Math.min(n, i + 3); k++) near = Math.min(near, toSegment(line, k, points, i, k === n - 1));
    const vertebra = Math.min(i, n - 1);
    motion[vertebra] = Math.max(motion[vertebra] as number, Math.sqrt(near));
  }
  return motion;
}

/** [vertebra + 1, 3] centres of the vertebrae and the tool point, m, world. */
function axisOf(model: InsertionModel, frames: Float64Array): Float64Array {
  const n = model.arm.spans + 1;
  const axis = new Float64Array(3 * (n + 1));
  for (let i = 0; i < n; i++) pointOf(frames, i, 0, 0, 0, axis, 3 * i);
  pointOf(frames, n - 1, 0, 0, model.arm.description.tool.length, axis, 3 * n);
  return axis;
}

/** Squared distance of a point from the line between two; beyond the tool point the line goes on. */
function toSegment(line: Float64Array, k: number, points: Float64Array, i: number, open: boolean): number {
  let dot = 0;
  let size = 0;
  for (let r = 0; r < 3; r++) {
    const a = line[3 * k + r] as number;
    const d = (line[3 * k + 3 + r] as number) - a;
    dot += ((points[3 * i + r] as number) - a) * d;
    size += d * d;
  }
  const t = size === 0 ? 0 : Math.max(0, open ? dot / size : Math.min(1, dot / size));
  let d2 = 0;
  for (let r = 0; r < 3; r++) {
    const a = line[3 * k + r] as number;
    d2 += ((points[3 * i + r] as number) - a - t * ((line[3 * k + 3 + r] as number) - a)) ** 2;
  }
  return d2;
}
