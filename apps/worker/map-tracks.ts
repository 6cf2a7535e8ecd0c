/** One map after another as something that is stepped: a solve a step, points as they are found. */
import type { ArmModel } from "../../src/arm/index.ts";
import {
  type CapacityWork,
  createLockState,
  createMapState,
  createPayloadMap,
  createRetention,
  createRetentionState,
  createSwingState,
  dampingOf,
  type Hold,
  holdAt,
  type Limits,
  type LockState,
  type MapPoint,
  type MapRequest,
  readRest,
  readSwing,
  type SwingState,
  stepLock,
  stepPayloadMap,
  stepRetention,
  stepSwing,
} from "../../src/capacity/index.ts";
import { type Laid, wayAcross } from "./lay-arm.ts";
import type { ArmAsk, BrokenCase, LimitPlace, LoadWay, PayloadPoint, RestPoint, SwingPoint } from "./protocol-maps.ts";

/** All that the maps of one arm share. */
export interface Question {
  readonly arm: ArmModel;
  readonly ask: ArmAsk;
  readonly laid: Laid;
  readonly limits: Limits;
  /** m: the whole arm out */
  readonly length: number;
  readonly work: CapacityWork;
}

export interface Track {
  step(): void;
  isDone(): boolean;
  /** 0 to 1 */
  progress(): number;
  /** as they were found */
  points(): readonly { readonly at: number }[];
  problem?(): string | undefined;
}

/** The order in which places evenly apart are gone through: the ends, the middle, then what lies between. */
const coarseFirst = [0, 8, 4, 12, 2, 6, 10, 14, 1, 3, 5, 7, 9, 11, 13, 15];

/** Shares of the length out, from the whole arm down to a quarter. */
const shares = [16, 8, 12, 4, 6, 10, 14, 5, 7, 9, 11, 13, 15].map((k) => k / 16);

export function createPayloadTrack(question: Question, over: "direction" | "length" | "pretension"): Track {
  const { arm, ask, laid, limits, length, work } = question;
  const common = {
    exit: laid.exit,
    bend: new Float64Array(2 * arm.sections),
    gravity: ask.gravity,
    lockedAt: ask.lockedAt,
    limits,
    directions: [laid.ways[ask.load]],
    lengths: [length],
  };
  const angles = coarseFirst.map((k) => (k * Math.PI) / 8);
  const along: readonly LoadWay[] = ["outwards", "inwards"];
  const tensions = pretensionsOf(arm);
  const requests: Readonly<Record<typeof over, MapRequest>> = {
    direction: { ...common, directions: [...angles.map((angle) => wayAcross(laid, angle)), ...along.map((way) => laid.ways[way])] },
    length: { ...common, lengths: lengthsOf(question) },
    pretension: { ...common, pretensions: tensions },
  };
  const placeOf = (point: MapPoint, k: number): Pick<PayloadPoint, "at" | "way"> => {
    if (over === "length") return { at: point.length };
    if (over === "pretension") return { at: point.pretension };
    const way = along[k - angles.length];
    return way === undefined ? { at: angles[k] as number } : { at: Number.NaN, way };
  };
  const model = createPayloadMap(arm, requests[over]);
  const state = createMapState();
  return {
    step: () => stepPayloadMap(model, state, work),
    isDone: () => state.done,
    progress: () => state.progress,
    points: () => state.points.map((point, k): PayloadPoint => ({ ...point, ...placeOf(point, k), ...limitPlace(arm, point) })),
  };
}

/** From none to six tenths of the weakest cable's working load; the arm's own lies among them. */
function pretensionsOf(arm: ArmModel): number[] {
  const most = 0.6 * arm.workingLoad.reduce((least, load) => Math.min(least, load), Number.POSITIVE_INFINITY);
  const own = arm.pretension[0] as number;
  const even = [0, 8, 4, 2, 6, 1, 3, 5, 7].map((k) => (k / 8) * most);
  return [own, ...even.filter((tension) => Math.abs(tension - own) > 0.02 * most)];
}

function lengthsOf({ arm, length }: Question): number[] {
  const last = arm.spans - 1;
  const least = arm.description.tool.length + (arm.tail[last] as number) + (arm.flexible[last] as number);
  return shares.map((share) => Math.max(least, share * length));
}

function limitPlace(arm: ArmModel, { end, at }: MapPoint): { readonly place: LimitPlace } | Record<string, never> {
  if (at < 0) return {};
  if (end === "cable") {
    const section = arm.sectionOfCable[at] as number;
    return { place: { section: section + 1, cable: at - (arm.firstCable[section] as number) + 1 } };
  }
  return { place: { section: (arm.sectionOfSpan[at] as number) + 1, joint: at + 1 } };
}

/** Where the arm comes to rest by its own weight, its drives locked straight before weight and tool come on. */
export function createRestTrack(question: Question): Track {
  const { arm, work } = question;
  const found: RestPoint[] = [];
  return createLengthTrack(question, "unloaded", found, (hold, lock, at) => {
    found.push({ ...readRest(arm, hold, lock, work), at });
    return true;
  });
}

/** The two lowest natural frequencies. */
export function createSwingTrack(question: Question): Track {
  const { arm, ask, work } = question;
  const found: SwingPoint[] = [];
  let swing: SwingState | undefined;
  return createLengthTrack(question, ask.lockedAt, found, (hold, lock, at) => {
    swing ??= createSwingState(arm);
    if (lock.stage === "locked" && swing.stage !== "done") {
      stepSwing(arm, hold, lock, swing, work);
      return false;
    }
    found.push({ ...readSwing(swing, dampingOf(arm)), at });
    swing = undefined;
    return true;
  });
}

/** @param ask asked once a step when the drives are locked, or could not be; true when that length is done with */
function createLengthTrack(
  question: Question,
  lockedAt: Hold["lockedAt"],
  found: readonly { readonly at: number }[],
  ask: (hold: Hold, lock: LockState, length: number) => boolean,
): Track {
  const { arm, laid, work } = question;
  const lengths = lengthsOf(question);
  let lock: LockState | undefined;
  return {
    step() {
      const length = lengths[found.length];
      if (length === undefined) return;
      const { gravity } = question.ask;
      const hold = holdAt(arm, { exit: laid.exit, bend: new Float64Array(2 * arm.sections), gravity, lockedAt }, length);
      lock ??= createLockState(arm, hold);
      if (lock.stage !== "locked" && lock.stage !== "failed") {
        stepLock(arm, hold, lock, work);
        if ((lock.stage as string) !== "locked" && (lock.stage as string) !== "failed") return;
      }
      if (ask(hold, lock, length)) lock = undefined;
    },
    isDone: () => found.length === lengths.length,
    progress: () => found.length / lengths.length,
    points: () => found,
  };
}

/** With the whole arm out. */
export function createBrokenTrack({ arm, ask, laid, length, work }: Question): Track {
  const bend = new Float64Array(2 * arm.sections);
  const model = createRetention(arm, holdAt(arm, { exit: laid.exit, bend, gravity: ask.gravity, lockedAt: ask.lockedAt }, length));
  const state = createRetentionState();
  return {
    step: () => stepRetention(model, state, work),
    isDone: () => state.done,
    progress: () => state.progress,
    points: () => state.cases.map((one, at): BrokenCase => ({ ...one, at, ...cablePlace(arm, one.cable) })),
    problem: () =>
      !state.done || state.cases.length > 0
        ? undefined
        : `The arm does not carry itself with all of it out (${state.status === "buckled" ? "it would buckle" : "no balance was found"}): nothing is said of broken cables.`,
  };
}

function cablePlace(arm: ArmModel, cable: number): Pick<BrokenCase, "section" | "ownCable" | "angle"> {
  if (cable < 0) return {};
  const section = arm.sectionOfCable[cable] as number;
  return {
    section: section + 1,
    ownCable: cable - (arm.firstCable[section] as number) + 1,
    angle: Math.atan2(arm.cableY[cable] as number, arm.cableX[cable] as number),
  };
}
