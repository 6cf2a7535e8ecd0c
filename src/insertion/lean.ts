/**
 * A resting arm: where a shape would be in a body that may be touched, it is solved once more with that body's push, the commands kept.
 *
 * Only bodies with the rule `free` or `light` push; nothing leans on one that must not be touched. They rub where the job says how much.
 */
import type { RouteCurve } from "../path/index.ts";
import {
  type Contact,
  copyRodState,
  createContact,
  type Load,
  type RodState,
  readContact,
  type SolveReport,
  solveHeld,
  type Walls,
} from "../rod/index.ts";
import { createWalls, type SpaceModel, type SpaceWalls } from "../space/index.ts";
import type { DepthContact, InsertionModel } from "./model.ts";
import { solveAt, solved, stanceAt } from "./solve-at.ts";
import type { InsertionWork } from "./work.ts";

/** A corner sinks in by 10 um a newton, N/m: far below what a clearance is told to. */
const wallStiffness = 1e5;
/** Edge of the grid's cubes, m: on a bore of 15 mm radius distances are right to 0.04 mm. */
const gridStep = 1.5e-3;
/** Walls are known this much farther from the route than the thickest part reaches, m. */
const room = 8e-3;

/** How far from the route walls are known beyond the thickest part, m, and the edge of the grid's cubes, m. */
export interface WallReach {
  readonly room: number;
  readonly step: number;
}

/** Walls of the bodies that may be touched; made when something first touches. */
export interface LeanWalls {
  readonly space: SpaceModel;
  readonly reach: WallReach;
  /** bodies that may be touched */
  readonly bodies: readonly number[];
  made: SpaceWalls | undefined;
}

export function createLeanWalls(space: SpaceModel, reach: WallReach = { room, step: gridStep }): LeanWalls {
  const bodies = Array.from(space.bodies.keys()).filter((k) => space.bodies[k]?.touch.kind !== "never");
  return { space, reach, bodies, made: undefined };
}

/** The shape as it stands at a depth, whether it leans or not. */
export interface Leaning {
  readonly rod: RodState;
  readonly report: SolveReport;
  /** what it is balanced under */
  readonly load: Load;
  /** undefined where nothing is touched */
  readonly contact: DepthContact | undefined;
}

/**
 * The load with the walls of the bodies that may be touched.
 *
 * @param way on which the arm slides along them, where the job tells their friction
 */
export function loadWithWalls(model: InsertionModel, work: InsertionWork, way: "in" | "out" = "in"): Load {
  const { lean } = work;
  if (lean.made === undefined) {
    const where = around(model, lean.reach.room);
    lean.made = createWalls(lean.space, { bodies: lean.bodies, ...where, step: Math.max(lean.reach.step, finestStep(where.boxes)) });
  }
  const { wallFriction = 0 } = model;
  const friction = wallFriction > 0 ? { friction: { coefficient: wallFriction, way } } : {};
  return { ...model.load, walls: { field: lean.made.field, stiffness: wallStiffness, ...friction } };
}

/**
 * @param state solved without walls, its shape in `work.rod`; not changed
 * @param inTouch whether a hull of that shape may reach a surface; when not, nothing is solved
 * @returns the shape that is left in `work.rod`
 */
export function leanAt(
  model: InsertionModel,
  depth: number,
  roll: number,
  bend: Float64Array,
  state: RodState,
  report: SolveReport,
  inTouch: boolean,
  way: "in" | "out",
  work: InsertionWork,
): Leaning {
  const apart: Leaning = { rod: state, report, load: model.load, contact: undefined };
  const { lean } = work;
  if (!inTouch || lean.bodies.length === 0) return apart;
  const load = loadWithWalls(model, work, way);
  const rod = copyRodState(state);
  const found = solveHeld(model.arm, load, stanceAt(model, depth, roll, work), bend, rod, work.rod);
  const walls = load.walls as Walls;
  if (solved(found) && isOutside(work)) {
    const contact = contactOf(walls, work);
    if (contact === undefined) return apart;
    if (!isSunk(contact)) return { rod, report: found, load, contact };
  }
  // back to the shape without them: told as one that is not known
  const back = solveAt(model, depth, roll, bend, state, work);
  const none = new Float64Array(lean.space.bodies.length);
  return {
    ...apart,
    report: back,
    contact: { state: found.status === "jammed" ? "jammed" : "not-found", pressed: none, ...listTouches([]) },
  };
}

/** Where a push may have sunk a corner further than this, the shape stands where no surface lets it: 100 N on one vertebra, m. */
const mostSunk = 1e-3;

function isSunk({ force }: DepthContact): boolean {
  for (let k = 0; k < force.length; k += 3) {
    const push = Math.sqrt((force[k] as number) ** 2 + (force[k + 1] as number) ** 2 + (force[k + 2] as number) ** 2);
    if (push > mostSunk * wallStiffness) return true;
  }
  return false;
}

/** No rim's middle is behind a wall, or where walls are not known: it did not go through. */
function isOutside(work: InsertionWork): boolean {
  const { rimDistance, rimVertebra, rimRadius, firstFree } = work.rod;
  for (let r = 2 * firstFree; r < rimVertebra.length; r++) {
    const distance = rimDistance[r] as number;
    if ((rimRadius[r] as number) >= 0 && !(distance >= 0 && distance < Infinity)) return false;
  }
  return true;
}

interface Touch {
  readonly vertebra: number;
  readonly body: number;
  readonly force: readonly number[];
  readonly place: readonly number[];
}

/**
 * What a shape leans on that was solved under `loadWithWalls`, whichever way it was solved; undefined where it touches nothing. `through`: it
 * stands where no surface lets it, or where walls are not known.
 */
export function readTouches(load: Load, work: InsertionWork): DepthContact | "through" | undefined {
  if (load.walls === undefined) return undefined;
  if (!isOutside(work)) return "through";
  const contact = contactOf(load.walls, work);
  return contact !== undefined && isSunk(contact) ? "through" : contact;
}

/** What leans on what in `work.rod`; undefined when nothing does. */
function contactOf(walls: Walls, work: InsertionWork): DepthContact | undefined {
  const { rod, lean } = work;
  const read: Contact = createContact(walls, rod);
  readContact(walls, rod, read);
  const pressed = new Float64Array(lean.space.bodies.length);
  const parts = rod.pressed.length;
  const touches: Touch[] = [];
  for (let at = 0; at < read.pressed.length; at++) {
    if (!((read.pressed[at] as number) > 0)) continue;
    const body = lean.made?.body[Math.floor(at / parts)] as number;
    pressed[body] = (pressed[body] as number) + (read.pressed[at] as number);
    const row = (from: Float64Array): number[] => [0, 1, 2].map((r) => from[3 * at + r] as number);
    touches.push({ vertebra: Math.min(at % parts, parts - 2), body, force: row(read.force), place: row(read.place) });
  }
  return touches.length === 0 ? undefined : { state: "held", pressed, ...listTouches(touches) };
}

/** Sum of the sizes of all pushes of one body on the shape in `work.rod`, N; 0 where it does not press. */
export function pressOn({ load }: InsertionModel, body: number, work: InsertionWork): number {
  return load.walls === undefined ? 0 : (contactOf(load.walls, work)?.pressed[body] ?? 0);
}

function listTouches(touches: readonly Touch[]): Pick<DepthContact, "vertebra" | "body" | "force" | "place"> {
  return {
    vertebra: Int32Array.from(touches, (touch) => touch.vertebra),
    body: Int32Array.from(touches, (touch) => touch.body),
    force: Float64Array.from(touches.flatMap((touch) => touch.force)),
    place: Float64Array.from(touches.flatMap((touch) => touch.place)),
  };
}

/** What was found on the way to a depth and at it, the touches those of the depth. */
export function joinContacts(here: DepthContact | undefined, between: DepthContact | undefined): DepthContact | undefined {
  if (here === undefined || between === undefined) {
    return here ?? (between === undefined ? undefined : { ...between, ...listTouches([]) });
  }
  return {
    ...here,
    state: ["not-found", "jammed", "held"].find((state) => state === here.state || state === between.state) as DepthContact["state"],
    pressed: here.pressed.map((force, body) => Math.max(force, between.pressed[body] as number)),
  };
}

/** Cubes that the boxes may hold. */
const mostCubes = 5e6;

/** Edge of a cube with which they do, m. */
function finestStep(boxes: Float64Array): number {
  let volume = 0;
  for (let k = 0; k < boxes.length; k += 6)
    volume += [0, 1, 2].reduce((size, r) => size * ((boxes[k + 3 + r] as number) - (boxes[k + r] as number)), 1);
  return Math.cbrt(volume / mostCubes);
}

/** Boxes about the route, and the route itself, which is free. */
function around(model: InsertionModel, room: number): { boxes: Float64Array; free: Float64Array } {
  const { curve, arm } = model;
  const { sections, tool } = arm.description;
  const reach = Math.max(tool.diameter, ...sections.map((section) => section.outerDiameter)) / 2 + room;
  const boxes: number[] = [];
  const free: number[] = [];
  let from = 0;
  for (let k = 0; k < curve.count; k++) {
    const point = pointAt(curve, k);
    free.push(...point);
    if ((curve.arc[k] as number) - (curve.arc[from] as number) < reach && k < curve.count - 1) continue;
    const low = [Infinity, Infinity, Infinity];
    const high = [-Infinity, -Infinity, -Infinity];
    for (let j = from; j <= k; j++) {
      pointAt(curve, j).forEach((value, r) => {
        low[r] = Math.min(low[r] as number, value - reach);
        high[r] = Math.max(high[r] as number, value + reach);
      });
    }
    boxes.push(...low, ...high);
    from = k;
  }
  return { boxes: Float64Array.from(boxes), free: Float64Array.from(free) };
}

function pointAt(curve: RouteCurve, k: number): number[] {
  return [0, 1, 2].map((r) => curve.point[3 * k + r] as number);
}
