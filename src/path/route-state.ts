/** What a search for a route remembers between two steps (plain data), and the memory it works in. */
import { type CellTree, type CellWork, createCellWork, type SpaceModel } from "../space/index.ts";
import type { CheckState } from "./check-curve.ts";
import type { Cut } from "./cut-way.ts";
import type { Obstacle, RouteCurve, RouteRequest } from "./model.ts";
import type { SmoothState, SmoothWork } from "./smooth-model.ts";
import type { SweepState } from "./sweep-ways.ts";
import { type CellWalk, createCellWalk } from "./walk-cells.ts";

/** An end that the target permits and the space leaves room for. */
export interface RouteEnd {
  /** [3] tool point, m */
  readonly tool: readonly [number, number, number];
  /** [3] unit vector, last direction */
  readonly direction: readonly [number, number, number];
  /** distance of the tool point from the target, m */
  readonly standOff: number;
  /** which of the request's `ends` it is of, where there are several */
  readonly region?: number;
}

/** A place from which the end can be reached: straight, or by an arc that the arm can follow. */
export interface RouteGoal {
  /** index of its end */
  readonly end: number;
  /** [3] m */
  readonly point: readonly [number, number, number];
  /** [3] unit vector, the direction to arrive in */
  readonly direction: readonly [number, number, number];
  /** cost of what follows, m */
  readonly extra: number;
  /** [k, 3] from the point to where the straight end begins, both included, m */
  readonly lead: readonly number[];
}

/** Best-first search over the leaves; one set of arrays serves the cheapest and the widest way. */
export interface SearchState {
  /** 0 not begun, 1 running, 2 a way was found, 3 exhausted */
  phase: number;
  heapKey: Float64Array;
  heapCell: Int32Array;
  heapCount: number;
  /** [cell] cost from the start (cheapest way), or least clearance on the way (widest way), m */
  cost: Float64Array;
  /** [cell] cost of a metre in it (cheapest way), 0 where not yet asked for */
  price: Float64Array;
  /** [cell] the cell it was reached from, -2 for the start */
  from: Int32Array;
  /** [cell] 0 unseen, 1 seen, 2 its cost is confirmed, 3 settled */
  mark: Uint8Array;
  /** [cell] 1 where a goal lies (cheapest way) */
  hasGoal: Uint8Array;
  /** [goal] leaf that holds it */
  goalLeaf: Int32Array;
  bestGoal: number;
  bestCost: number;
  bestFrom: number;
}

/** A ball in which the way was tried and could not be bent: costs more the next time. */
export interface Detour {
  readonly at: readonly [number, number, number];
  readonly radius: number;
}

/** Plain data: it can be cloned, saved and posted; a clone goes on to the same result. */
export interface RouteState {
  done: boolean;
  /** 0 to 1 */
  progress: number;
  /** what is being done, in words */
  says: string;
  stage: "begin" | "ends" | "search" | "prove" | "compare" | "smooth" | "check" | "taut" | "neck" | "done";
  /** what the running smoothing is for: all constraints, all but the length, or the gentlest bend there is */
  aim: "all" | "any length" | "any bend";
  /** straight run out of the port before the full room is there, m */
  throat: number;
  cells: CellTree | null;
  search: SearchState | null;
  /** candidate ends looked at so far */
  endsTried: number;
  ends: RouteEnd[];
  /** free radius at the best refused end and its place, for words */
  endRoom: { free: number; needed: number; at: [number, number, number]; body: number };
  goals: RouteGoal[];
  goalBall: { at: [number, number, number]; radius: number; extra: number; far: number };
  /** [k, 3] corners of the way found, from the start to where the straight end begins, m */
  way: number[];
  wayGoal: number;
  /** leg of `way` to be proven next; corners proven so far */
  proofLeg: number;
  proven: number[];
  /** cells shut for want of a proof */
  shut: number;
  /** place of the last of them, m */
  shutAt: [number, number, number] | null;
  rounds: number;
  /** a way through cells known to be fine enough has been seen; rounds since then */
  resolved: boolean;
  refinements: number;
  detours: Detour[];
  /** cuts across ways already known, that no way may go through, and those ways [k, 3]: it has to be another than each */
  cuts: readonly Cut[];
  others: readonly (readonly number[])[];
  /** which of them it is being compared with, and the comparison; whether it turned out to be one of them */
  compared: number;
  sweep: SweepState | null;
  same: boolean;
  /** how many times shorter than usual the spans of the curve are */
  fineness: number;
  smooth: SmoothState | null;
  check: CheckState | null;
  /** bend radius tried at present (any bend), the greatest that gave a curve (0: none yet), the least that gave none, m */
  easedRadius: number;
  easedGood: number;
  easedBad: number;
  easedCurve: CheckState | null;
  /** ways tried, and the best attempt among them */
  tries: number;
  attempt: SmoothState | null;
  attemptFault: number;
  attemptWay: number[];
  attemptGoal: number;
  /** [n, 3] the way while it is pulled taut, m, and sweeps done */
  line: number[];
  sweeps: number;
  /** [k, 3] the widest way where none is wide enough, up to its narrowest place and beyond it, m */
  reached: number[];
  beyond: number[];
  status: "found" | "no-passage" | "not-found";
  curve: RouteCurve | null;
  obstacles: Obstacle[];
  resolution: number;
}

export interface RouteWork {
  /** rebuilt when the shape of the problem changes */
  smooth: SmoothWork | null;
  readonly cells: CellWork;
  readonly walk: CellWalk;
}

/** A state in which nothing has been done yet. */
export function createRouteState(request: RouteRequest): RouteState {
  return {
    done: false,
    progress: 0,
    says: "looking at the port and the target",
    stage: "begin",
    aim: "all",
    throat: 0,
    cells: null,
    search: null,
    endsTried: 0,
    ends: [],
    endRoom: { free: Number.NEGATIVE_INFINITY, needed: 0, at: [...request.target], body: -1 },
    goals: [],
    goalBall: { at: [...request.target], radius: 0, extra: 0, far: 0 },
    way: [],
    wayGoal: -1,
    proofLeg: 0,
    proven: [],
    shut: 0,
    shutAt: null,
    rounds: 0,
    resolved: false,
    refinements: 0,
    detours: [],
    cuts: [],
    others: [],
    compared: 0,
    sweep: null,
    same: false,
    fineness: 1,
    smooth: null,
    check: null,
    easedRadius: request.bendRadius,
    easedGood: 0,
    easedBad: request.bendRadius,
    easedCurve: null,
    tries: 0,
    attempt: null,
    attemptFault: Number.POSITIVE_INFINITY,
    attemptWay: [],
    attemptGoal: -1,
    line: [],
    sweeps: 0,
    reached: [],
    beyond: [],
    status: "not-found",
    curve: null,
    obstacles: [],
    resolution: finestEdge(request),
  };
}

export function createRouteWork(space: SpaceModel): RouteWork {
  return { smooth: null, cells: createCellWork(space), walk: createCellWalk() };
}

/** The request with the region of ends that the way leads to in place of all of them. */
export function atEnd(request: RouteRequest, state: RouteState): RouteRequest {
  const goal = state.goals[state.wayGoal];
  const region = goal === undefined ? undefined : request.ends?.[state.ends[goal.end]?.region ?? -1];
  return region === undefined ? request : { ...request, ...region };
}

/** Edge of the finest cells, m: the margin, but neither above half nor below an eighth of the body's radius. */
export function finestEdge(request: RouteRequest): number {
  return Math.min(request.radius / 2, Math.max(request.margin, request.radius / 8));
}

/** Free radius that the axis of the body needs, m. */
export function neededRoom(request: RouteRequest): number {
  return request.radius + request.margin;
}

/** Cosine of the slant that is allowed for where the tool comes nearer to its target than the body's needed room. */
const slant = 0.7;

/**
 * Free radius asked for at a distance `away` of the axis from the target, on the straight end only: a tool that works
 * nearer to its target than the body's room cannot keep that room ahead of it.
 */
export function roomAtEnd(request: RouteRequest, away: number): number {
  return Math.min(neededRoom(request), slant * away);
}

/** Length of the straight end, m: the tool, and as much more as it takes for the full room to be there where it begins. */
export function straightLength(request: RouteRequest, standOff: number): number {
  return Math.max(request.endStraight, neededRoom(request) / slant - standOff);
}
