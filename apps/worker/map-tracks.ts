/** One map after another as something that is stepped: a solve a step, points as they are found. */
import type { ArmModel } from "../../src/arm/index.ts";
import {
  type CapacityWork,
  compareBackbones,
  createBackboneModel,
  createBackboneState,
  createBackboneWork,
  createLockState,
  createMapState,
  createPayloadMap,
  createRetention,
  createRetentionState,
  createSwingState,
  dampingOf,
  type Hold,
  holdAt,
  type LimitKind,
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
import type { Fluid } from "../../src/rod/index.ts";
import { type Laid, wayAcross } from "./lay-arm.ts";
import type {
  ArmAsk,
  BackbonePoint,
  BrokenCase,
  LimitPlace,
  LoadWay,
  PayloadPoint,
  RestPoint,
  SentSection,
  StalledCase,
  SwingPoint,
} from "./protocol-maps.ts";

/** All that the maps of one arm share. */
export interface Question {
  readonly arm: ArmModel;
  readonly ask: ArmAsk;
  /** the arm at each length out that is looked at, and with all of it out that goes out */
  readonly laid: readonly Laid[];
  readonly all: Laid;
  readonly limits: Limits;
  /** N on the tool point where sag and twist are asked for */
  readonly pull: number;
  /** what a section is sent by while a drive stalls, rad */
  readonly sentBy: number;
  /** what the arm is in; air when absent */
  readonly fluid?: Fluid;
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

/** The order in which 16 directions evenly apart are gone through: the opposite ones first. */
const coarseFirst = [0, 8, 4, 12, 2, 6, 10, 14, 1, 3, 5, 7, 9, 11, 13, 15];
const alongArm: readonly LoadWay[] = ["outwards", "inwards"];

/** Across the arm and along it, with all of it out. */
export function createDirectionTrack(question: Question): Track {
  const { arm, all } = question;
  const angles = coarseFirst.map((k) => (k * Math.PI) / 8);
  const directions = [...angles.map((angle) => wayAcross(all, angle)), ...alongArm.map((way) => all.ways[way])];
  return createPayloadTrack(question, [{ ...requestOf(question, all), directions }], (point, k): PayloadPoint => {
    const way = alongArm[k - angles.length];
    return { ...point, ...limitPlace(arm, point), ...(way === undefined ? { at: angles[k] as number } : { at: Number.NaN, way }) };
  });
}

export function createLengthTrack(question: Question): Track {
  const requests = question.laid.map((laid) => requestOf(question, laid));
  return createPayloadTrack(question, requests, (point) => ({ ...point, ...limitPlace(question.arm, point), at: point.length }));
}

export function createPretensionTrack(question: Question): Track {
  const request = { ...requestOf(question, question.all), pretensions: pretensionsOf(question.arm) };
  return createPayloadTrack(question, [request], (point) => ({ ...point, ...limitPlace(question.arm, point), at: point.pretension }));
}

function requestOf({ ask, limits, fluid }: Question, laid: Laid): MapRequest {
  const { exit, bend, length } = laid;
  const { gravity, lockedAt } = ask;
  return { exit, bend, gravity, lockedAt, limits, directions: [laid.ways[ask.load]], lengths: [length], ...inFluid(fluid) };
}

/** One request after another. */
function createPayloadTrack(
  { arm, work }: Question,
  requests: readonly MapRequest[],
  describe: (point: MapPoint, index: number) => PayloadPoint,
): Track {
  const models = requests.map((request) => createPayloadMap(arm, request));
  const total = models.reduce((sum, model) => sum + model.points, 0);
  const found: PayloadPoint[] = [];
  let at = 0;
  let state = createMapState();
  let told = 0;
  return {
    step() {
      const model = models[at];
      if (model === undefined) return;
      stepPayloadMap(model, state, work);
      for (const point of state.points.slice(told)) found.push(describe(point, told++));
      if (!state.done) return;
      at++;
      told = 0;
      state = createMapState();
    },
    isDone: () => at === models.length,
    progress: () => found.length / total,
    points: () => found,
  };
}

/** From none to six tenths of the weakest cable's working load; the arm's own lies among them. */
function pretensionsOf(arm: ArmModel): number[] {
  const most = 0.6 * arm.workingLoad.reduce((least, load) => Math.min(least, load), Number.POSITIVE_INFINITY);
  const own = arm.pretension[0] as number;
  const even = [0, 8, 4, 2, 6, 1, 3, 5, 7].map((k) => (k / 8) * most);
  return [own, ...even.filter((tension) => Math.abs(tension - own) > 0.02 * most)];
}

function limitPlace(arm: ArmModel, { end, at }: MapPoint): { readonly place: LimitPlace } | Record<string, never> {
  if (at < 0) return {};
  if (end === "cable") {
    const section = arm.sectionOfCable[at] as number;
    return { place: { section: section + 1, cable: at + 1 } };
  }
  return { place: { section: (arm.sectionOfSpan[at] as number) + 1, joint: at + 1 } };
}

/** Where the arm comes to rest by its own weight, its drives locked straight before weight and tool come on. */
export function createRestTrack(question: Question): Track {
  const { arm, work } = question;
  const found: RestPoint[] = [];
  return createLockedTrack(question, "unloaded", found, (hold, lock, at) => {
    found.push({ ...readRest(arm, hold, lock, work), at });
    return true;
  });
}

/** The two lowest natural frequencies. */
export function createSwingTrack(question: Question): Track {
  const { arm, ask, work } = question;
  const found: SwingPoint[] = [];
  let swing: SwingState | undefined;
  return createLockedTrack(question, ask.lockedAt, found, (hold, lock, at) => {
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
function createLockedTrack(
  question: Question,
  lockedAt: Hold["lockedAt"],
  found: readonly { readonly at: number }[],
  ask: (hold: Hold, lock: LockState, length: number) => boolean,
): Track {
  const { arm, laid, work } = question;
  let lock: LockState | undefined;
  return {
    step() {
      const now = laid[found.length];
      if (now === undefined) return;
      const hold = holdOf(question, now, lockedAt);
      lock ??= createLockState(arm, hold);
      if (lock.stage !== "locked" && lock.stage !== "failed") {
        stepLock(arm, hold, lock, work);
        if ((lock.stage as string) !== "locked" && (lock.stage as string) !== "failed") return;
      }
      if (ask(hold, lock, now.length)) lock = undefined;
    },
    isDone: () => found.length === laid.length,
    progress: () => found.length / laid.length,
    points: () => found,
  };
}

/** `unloaded`: with the load that is asked for on the tool point, beside weight and tool. */
function holdOf({ arm, ask, pull, fluid }: Question, { exit, bend, length, ways }: Laid, lockedAt: Hold["lockedAt"]): Hold {
  const [x, y, z] = ways[ask.load];
  const load = { vertebra: arm.spans, force: [pull * x, pull * y, pull * z], at: [0, 0, arm.description.tool.length] } as const;
  const forces = pull === 0 || lockedAt === "carrying" ? [] : [load];
  return holdAt(arm, { exit, bend, gravity: ask.gravity, forces, lockedAt, ...inFluid(fluid) }, length);
}

function inFluid(fluid: Fluid | undefined): { readonly fluid: Fluid } | Record<string, never> {
  return fluid === undefined ? {} : { fluid };
}

/** Sag and twist of the arm as it is and with every other backbone that fits, under the same load. */
export function createBackboneTrack(question: Question): Track {
  const { arm, laid } = question;
  const model = createBackboneModel(
    arm.description,
    laid.map((one) => holdOf(question, one, "unloaded")),
  );
  const state = createBackboneState();
  const work = createBackboneWork(model);
  const kinds = model.backbones.length;
  return {
    step: () => compareBackbones(model, state, work),
    isDone: () => state.done,
    progress: () => state.progress,
    points: () =>
      laid
        .slice(0, Math.floor(state.rows.length / kinds))
        .map(({ length }, k): BackbonePoint => ({ at: length, rows: state.rows.slice(k * kinds, (k + 1) * kinds) })),
  };
}

/** With all of it out. */
export function createBrokenTrack(question: Question): Track {
  const { arm, ask, all, work } = question;
  const { exit, bend, length } = all;
  const { gravity, lockedAt } = ask;
  const model = createRetention(arm, holdAt(arm, { exit, bend, gravity, lockedAt, ...inFluid(question.fluid) }, length));
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

/** Where a section is sent when nobody said. */
export function usualSent(sections: number): SentSection {
  return { section: sections - 1, by: "20 deg", way: "down" };
}

/** rad from down towards left */
const angles: Readonly<Record<SentSection["way"], number>> = { down: 0, left: Math.PI / 2, up: Math.PI, right: 1.5 * Math.PI };

/** With all of it out, every drive in turn stays where it is while a section is sent elsewhere. */
export function createStalledTrack(question: Question): Track {
  const { arm, ask, all, work, sentBy } = question;
  const { exit, bend, length, turn } = all;
  const { gravity, lockedAt } = ask;
  const { section, way } = ask.sent ?? usualSent(arm.sections);
  // the end's own x is `turn` from down towards left: a turn about its y bends towards x, one about its x away from y
  const sentTo = bend.slice();
  const towards = angles[way] - turn;
  sentTo[2 * section] = (sentTo[2 * section] as number) - sentBy * Math.sin(towards);
  sentTo[2 * section + 1] = (sentTo[2 * section + 1] as number) + sentBy * Math.cos(towards);
  const hold = holdAt(arm, { exit, bend, gravity, lockedAt, ...inFluid(question.fluid) }, length);
  const model = createRetention(arm, hold, 0, sentTo, true);
  const state = createRetentionState();
  return {
    step: () => stepRetention(model, state, work),
    isDone: () => state.done,
    progress: () => state.progress,
    points: () =>
      state.cases.map(
        (one, at): StalledCase => ({
          ...one,
          at,
          ...cablePlace(arm, one.cable),
          startShape: state.startShape,
          goalShape: state.goalShape,
          ...(one.stall?.limit === undefined || one.stall.at < 0 ? {} : placeOfLimit(arm, one.stall.limit, one.stall.at)),
        }),
      ),
    problem: () =>
      !state.done || state.cases.length > 0
        ? undefined
        : `The arm does not carry itself with all of it out (${state.status === "buckled" ? "it would buckle" : "no balance was found"}): nothing is said of stalled drives.`,
  };
}

function placeOfLimit(arm: ArmModel, limit: LimitKind, at: number): { readonly place: LimitPlace } {
  if (limit !== "cable") return { place: { section: (arm.sectionOfSpan[at] as number) + 1, joint: at + 1 } };
  const section = arm.sectionOfCable[at] as number;
  return { place: { section: section + 1, cable: at + 1 } };
}

function cablePlace(arm: ArmModel, cable: number): Pick<BrokenCase, "section" | "angle"> {
  if (cable < 0) return {};
  const section = arm.sectionOfCable[cable] as number;
  return {
    section: section + 1,
    angle: Math.atan2(arm.cableY[cable] as number, arm.cableX[cable] as number),
  };
}
