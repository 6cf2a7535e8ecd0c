/**
 * From a fault to the port, one solve a step: cables that come loose are let out until they hang, then the arm is drawn back from shape to shape.
 *
 * Every shape is balanced under its own cables' lengths, on the walls that may be touched, from the one before it. Where a step finds no
 * balance, moves far, or leaves open what lies between, it is halved.
 */

import { storedEnergy } from "../capacity/index.ts";
import { type DepthContact, type Kept, keepBetween, keepOff, loadWithWalls, readTouches, solved, tightestOf } from "../insertion/index.ts";
import { pointOf } from "../math/index.ts";
import { cableStiffness, copyRodState, inspectShape, setRodState, solveLocked } from "../rod/index.ts";
import { commandDrives, isLet } from "./command-drives.ts";
import type { Fault, FaultEvent, FaultsModel, Planned, Recipe, Stop, WalkState } from "./model.ts";
import { breakingLoad, pullOut, useOf } from "./pull-out.ts";
import type { FaultsWork } from "./work.ts";

/** A step may move the tool point by this share of the length out, beside the step itself. */
const mostMove = 0.1;
/** Steps of the depth are halved so often at the most. */
const leastStride = 1 / 8;
/** Cables are let out by steps no smaller than this share of the first. */
const leastOut = 1 / 256;
const mostSteps = 30;
/** rad: far below what any limit here is told to */
const tolerance = 1e-8;

export function startWalk(planned: readonly Planned[], recipe: Recipe, start: number, throughout: boolean): WalkState {
  const from = planned[start] as Planned;
  return {
    recipe,
    throughout,
    start,
    stage: "event",
    rod: copyRodState(from.rod),
    depth: from.depth,
    out: 0,
    step: 0,
    stride: 0,
    leapt: false,
    kept: undefined,
    tool: from.tool.slice(),
    shapes: [],
    stops: [],
  };
}

/** One solve; nothing happens once the stage is `done`. */
export function stepWalk(model: FaultsModel, planned: readonly Planned[], fault: Fault, walk: WalkState, work: FaultsWork): void {
  if (walk.stage === "done") return;
  if ((planned[walk.start] as Planned).lost) lose(model, planned, walk);
  else if (walk.stage === "event") letOut(model, planned, fault, walk, work);
  else drawBack(model, planned, fault, walk, work);
}

/** The shape at a depth into `work.trial` and the rod's work; false when there is none. */
function solve(
  model: FaultsModel,
  planned: readonly Planned[],
  fault: Fault,
  walk: WalkState,
  depth: number,
  out: number,
  work: FaultsWork,
): { readonly contact: DepthContact | undefined; readonly far: boolean } | undefined {
  const { arm, load } = model.insertion;
  const stance = commandDrives(model, planned, fault, walk.recipe, walk.start, depth, out, work);
  const walls = work.insertion.lean.bodies.length > 0;
  const all = walls ? loadWithWalls(model.insertion, work.insertion, "out") : load;
  setRodState(work.trial, walk.rod);
  const report = solveLocked(arm, all, stance, work.free, work.trial, work.insertion.rod, {
    ramp: false,
    jam: false,
    mostSteps,
    tolerance,
  });
  if (!solved(report)) return undefined;
  const contact = readTouches(all, work.insertion);
  if (contact === "through") return undefined;
  const tool = toolOf(model, work);
  const moved = Math.sqrt(tool.reduce((sum, value, r) => sum + (value - (walk.tool[r] as number)) ** 2, 0));
  return { contact, far: moved - Math.abs(walk.depth - depth) > mostMove * walk.depth };
}

function toolOf({ insertion }: FaultsModel, work: FaultsWork): Float64Array {
  const tool = new Float64Array(3);
  pointOf(work.insertion.rod.frame, insertion.arm.spans, 0, 0, insertion.arm.description.tool.length, tool);
  return tool;
}

/** Lets the cables that come loose out by a step; once they hang, takes them away. */
function letOut(model: FaultsModel, planned: readonly Planned[], fault: Fault, walk: WalkState, work: FaultsWork): void {
  const { arm } = model.insertion;
  const loose = Array.from({ length: arm.cables }, (_, c) => c).filter((c) => isLet(arm, fault, walk.recipe, c));
  const from = planned[walk.start] as Planned;
  const first = loose.reduce((most, c) => Math.max(most, (from.rod.tension[c] as number) / cableStiffness(arm, c) / 2), 0);
  if (walk.step === 0) walk.step = first;
  const hang = loose.every((c) => (walk.rod.tension[c] as number) <= 0);
  const out = loose.length === 0 ? 0 : hang ? Number.POSITIVE_INFINITY : walk.out + walk.step;
  const found = solve(model, planned, fault, walk, walk.depth, out, work);
  const least = hang || walk.step <= leastOut * first;
  if (found === undefined || (found.far && !least)) {
    if (least) stop(model, planned, walk, bare("balance", walk.depth));
    else walk.step /= 2;
    return;
  }
  walk.leapt ||= found.far;
  if (loose.length > 0 && !hang) {
    const kept = keepOff(model.insertion, rubAt(model, walk.depth), work.insertion);
    const { spare, vertebra } = tightestOf(kept);
    if (spare < 0) {
      // it falls on what must not be touched: how it lies there is not looked for
      stop(model, planned, walk, { ...bare("touch", walk.depth), vertebra, body: kept.nearest[vertebra] as number, is: spare, limit: 0 });
      if (walk.throughout) begin(model, planned, walk);
      return;
    }
    setRodState(walk.rod, work.trial);
    walk.tool.set(toolOf(model, work));
    walk.out = out;
    walk.step *= 2;
    return;
  }
  walk.stage = "out";
  walk.stride = model.stride;
  take(model, planned, fault, walk, walk.depth, found.contact, true, work);
}

/** Draws the arm back by a step. */
function drawBack(model: FaultsModel, planned: readonly Planned[], fault: Fault, walk: WalkState, work: FaultsWork): void {
  const first = (planned[0] as Planned).depth;
  const depth = nextDepth(model, planned, walk);
  const loose = Number.POSITIVE_INFINITY;
  const found = solve(model, planned, fault, walk, depth, loose, work);
  const finest = walk.stride <= leastStride;
  if (found === undefined || (found.far && !finest)) {
    if (finest) stop(model, planned, walk, bare("balance", depth));
    else walk.stride /= 2;
    return;
  }
  const kept = keepOff(model.insertion, rubAt(model, depth), work.insertion);
  const before = walk.kept as Kept;
  const here = tightestOf(kept);
  const between = here.spare < 0 || tightestOf(before).spare < 0 ? undefined : tightestOf(keepBetween(model.insertion, kept, before));
  if (between !== undefined && between.spare < 0) {
    if (!finest) {
      walk.stride /= 2;
      return;
    }
    walk.stops.push({ ...bare("between", depth), vertebra: between.vertebra, is: between.spare, limit: 0 });
  }
  walk.leapt ||= found.far;
  const whole = planned.some((one) => Math.abs(one.depth - depth) < 1e-9);
  take(model, planned, fault, walk, depth, found.contact, whole, work, kept);
  walk.stride = Math.min(model.stride, 2 * walk.stride);
  if (walk.stage === "out" && depth <= first) walk.stage = "done";
}

/** A step of the depth on, or to the next of the depths at which faults may begin, whichever is nearer. */
function nextDepth({ stride }: FaultsModel, planned: readonly Planned[], walk: WalkState): number {
  const last = planned.length - 1;
  const [first, deepest] = [(planned[0] as Planned).depth, (planned[last] as Planned).depth];
  let next = first;
  for (let k = last; k > 0; k -= stride) {
    const { depth } = planned[k] as Planned;
    if (depth < walk.depth - 1e-9) {
      next = depth;
      break;
    }
  }
  return walk.stride >= stride ? next : Math.max(next, walk.depth - (walk.stride * (deepest - first)) / last);
}

function rubAt({ wayIn }: FaultsModel, depth: number): Float64Array | undefined {
  return wayIn.find((record) => record.depth >= depth - 1e-9)?.rub?.hull;
}

function bare(kind: Stop["kind"], depth: number): Stop {
  return { kind, depth, vertebra: -1, cable: -1, body: -1, is: Number.NaN, limit: Number.NaN };
}

/** Takes the shape just solved as the one reached; stops where it is beyond a limit. @param begins whether a fault may begin at this depth */
function take(
  model: FaultsModel,
  planned: readonly Planned[],
  fault: Fault,
  walk: WalkState,
  depth: number,
  contact: DepthContact | undefined,
  begins: boolean,
  work: FaultsWork,
  known?: Kept,
): void {
  const { arm } = model.insertion;
  const { rod, inspection } = work.insertion;
  const { trial } = work;
  inspectShape(arm, trial, rod, inspection);
  const isHeld = (c: number): boolean => !isLet(arm, fault, walk.recipe, c);
  const pull = pullOut(model, trial, inspection.strain, isHeld, rod);
  const kept = known ?? keepOff(model.insertion, rubAt(model, depth), work.insertion);
  const pressed = contact === undefined ? [] : [...contact.pressed];
  const tool = toolOf(model, work);
  const shape = { depth, pull: pull.force, link: pull.link, pressed };
  walk.shapes.push(begins ? { ...shape, event: eventAt(model, planned, fault, walk, depth, kept, tool) } : shape);
  walk.kept = kept;
  walk.tool = tool;
  walk.depth = depth;
  setRodState(walk.rod, trial);
  const found = limitAt(model, depth, kept, contact, pull, work);
  if (found !== undefined) stop(model, planned, walk, found);
}

/** The first limit that the shape in `work` is beyond. */
function limitAt(
  model: FaultsModel,
  depth: number,
  kept: Kept,
  contact: DepthContact | undefined,
  pull: ReturnType<typeof pullOut>,
  work: FaultsWork,
): Stop | undefined {
  const { arm } = model.insertion;
  const { spare, vertebra } = tightestOf(kept);
  if (spare < 0) return { ...bare("touch", depth), vertebra, body: kept.nearest[vertebra] as number, is: spare, limit: 0 };
  const hard = contact?.pressed.findIndex((force, body) => force > (model.mostForce[body] as number)) ?? -1;
  if (contact !== undefined && hard >= 0) {
    const at = contact.body.indexOf(hard);
    return {
      ...bare("press", depth),
      body: hard,
      vertebra: at < 0 ? -1 : (contact.vertebra[at] as number),
      is: contact.pressed[hard] as number,
      limit: model.mostForce[hard] as number,
    };
  }
  for (let c = 0; c < arm.cables; c++) {
    const limit = breakingLoad(arm, c);
    if ((work.trial.tension[c] as number) > limit) return { ...bare("cable", depth), cable: c, is: work.trial.tension[c] as number, limit };
  }
  const { strain } = work.insertion.inspection;
  for (let i = 0; i < arm.spans; i++) {
    const limit = allowedStrain(model, i);
    if ((strain[i] as number) > limit) return { ...bare("rod", depth), vertebra: i + 1, is: strain[i] as number, limit };
  }
  const { link } = pull;
  return link !== undefined && useOf(link) > 1 ? { ...bare("pull", depth), is: link.demand, limit: link.strength } : undefined;
}

function allowedStrain({ insertion: { arm } }: FaultsModel, span: number): number {
  const section = arm.description.sections[arm.sectionOfSpan[span] as number];
  return section === undefined ? 0 : Math.min(...section.rods.map((rod) => rod.material.allowedStrain));
}

/** What the fault does where it happens, from the planned shape to the one at rest. */
function eventAt(
  model: FaultsModel,
  planned: readonly Planned[],
  fault: Fault,
  walk: WalkState,
  depth: number,
  kept: Kept,
  tool: Float64Array,
): FaultEvent {
  const { arm, load } = model.insertion;
  const before = planned.find((one) => Math.abs(one.depth - depth) < 1e-9) ?? (planned[walk.start] as Planned);
  const shift = [0, 1, 2].map((r) => (tool[r] as number) - (before.tool[r] as number)) as [number, number, number];
  const [x, y, z] = load.gravity;
  const g = Math.sqrt(x * x + y * y + z * z);
  const over = model.sudden - 1;
  let swingSpare = Number.POSITIVE_INFINITY;
  for (let i = kept.firstFree; i <= arm.spans; i++) {
    let square = 0;
    for (let r = 9; r < 12; r++) square += ((kept.frames[12 * i + r] as number) - (before.kept.frames[12 * i + r] as number)) ** 2;
    swingSpare = Math.min(swingSpare, (kept.spare[i] as number) - over * Math.sqrt(square));
  }
  const moved = Math.sqrt(shift[0] ** 2 + shift[1] ** 2 + shift[2] ** 2);
  const { tension } = before.rod;
  const stored = storedEnergy(arm, tension);
  const lost = tension.map((t, c) => (isLet(arm, fault, walk.recipe, c) ? t : 0));
  return {
    moved,
    drop: g === 0 ? 0 : (shift[0] * x + shift[1] * y + shift[2] * z) / g,
    swing: model.sudden * moved,
    swingSpare,
    lost: storedEnergy(arm, lost),
    stored,
    leapt: walk.leapt,
  };
}

/** A limit, or an end without one: on from there where the walk goes throughout. */
function stop(model: FaultsModel, planned: readonly Planned[], walk: WalkState, found: Stop): void {
  walk.stops.push(found);
  if (!walk.throughout) walk.stage = "done";
  else if (found.kind === "balance") begin(model, planned, walk);
}

/** No planned shape to begin from. */
function lose(model: FaultsModel, planned: readonly Planned[], walk: WalkState): void {
  stop(model, planned, walk, bare("balance", (planned[walk.start] as Planned).depth));
}

/** The fault anew, from the next planned shape nearer the port. */
function begin({ stride }: FaultsModel, planned: readonly Planned[], walk: WalkState): void {
  let next = walk.start;
  const lost = walk.stops[walk.stops.length - 1] as Stop;
  while (next >= 0 && (planned[next] as Planned).depth >= lost.depth - 1e-9) next--;
  if (next < 0) {
    walk.stage = "done";
    return;
  }
  const anew = startWalk(planned, walk.recipe, next, true);
  walk.start = next;
  walk.stage = "event";
  walk.rod = anew.rod;
  walk.depth = anew.depth;
  walk.out = 0;
  walk.step = 0;
  walk.stride = stride;
  walk.kept = undefined;
  walk.tool = anew.tool;
}
