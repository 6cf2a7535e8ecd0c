/** Everything that may fail, and the depths it is looked at. */
import type { DepthRecord, InsertionModel } from "../insertion/index.ts";
import type { SpaceModel } from "../space/index.ts";
import type { Fault, FaultsModel, FaultsState } from "./model.ts";

export interface FaultsRequest {
  readonly insertion: InsertionModel;
  readonly space: SpaceModel;
  /** from the port inwards, as planned */
  readonly wayIn: readonly DepthRecord[];
  /** length of the straight guide, m; how far it grips when the arm does not say */
  readonly guideLength: number;
  /** 1 + overshoot of a sudden change */
  readonly sudden: number;
}

/** Depths at which faults are begun first. */
const firstStarts = 6;
/** Shapes on the way out are this many records apart where nothing asks for more. */
const stride = 2;
/** A guide of no length grips at a point: so short a length is taken instead, m. */
const leastGuide = 1e-3;

export function createFaults({ insertion, space, wayIn, guideLength, sudden }: FaultsRequest): FaultsModel {
  const { arm } = insertion;
  const cables = Array.from({ length: arm.cables }, (_, cable) => cable);
  const faults: Fault[] = [
    { kind: "locked", cable: -1 },
    { kind: "released", cable: -1 },
    ...cables.map((cable): Fault => ({ kind: "broken", cable })),
    ...cables.map((cable): Fault => ({ kind: "stalled", cable })),
  ];
  const last = wayIn.length - 1;
  const starts = Array.from({ length: firstStarts }, (_, k) => Math.round((last * (k + 1)) / firstStarts));
  const grip = arm.description.base?.guideGrip ?? guideLength;
  return {
    insertion,
    wayIn,
    mostForce: Float64Array.from(space.bodies, ({ touch }) =>
      touch.kind === "never" ? 0 : touch.kind === "light" ? touch.force : Number.POSITIVE_INFINITY,
    ),
    friction: insertion.wallFriction ?? Number.NaN,
    guideLength: Math.max(grip, leastGuide),
    sudden,
    faults,
    starts: [...new Set(starts)].filter((k) => k > 0),
    stride,
  };
}

/** @param which of the model's faults are looked at, by index; all when absent. Parts of one model may be done apart, and put together. */
export function createFaultsState(model: FaultsModel, which?: readonly number[]): FaultsState {
  return {
    planned: [],
    rod: undefined,
    which: which ?? Array.from(model.faults.keys()),
    at: 0,
    task: "throughout",
    recipe: "plan",
    walk: undefined,
    queue: undefined,
    parted: 0,
    tried: [],
    holding: [],
    helping: [],
    locked: undefined,
    limp: undefined,
    findings: [],
    done: false,
    progress: 0,
    says: "Solving the planned shapes without friction of the cables.",
  };
}
