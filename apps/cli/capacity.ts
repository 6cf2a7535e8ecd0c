/** `withy capacity`: payload map of one arm, its first swing, and what it does when a cable breaks. */
import { type ArmModel, createArm } from "../../src/arm/index.ts";
import type { Quantity } from "../../src/base/index.ts";
import {
  type BackboneRow,
  compareBackbones,
  createBackboneModel,
  createBackboneState,
  createBackboneWork,
  createCapacityWork,
  createLockState,
  createMapState,
  createMapWork,
  createPayloadMap,
  createRampState,
  createRetention,
  createRetentionState,
  createRetentionWork,
  createSwingState,
  holdAt,
  type MapModel,
  type MapPoint,
  type RetentionState,
  readRamp,
  readSwing,
  stepLock,
  stepPayloadMap,
  stepRamp,
  stepRetention,
  stepSwing,
  tipBand,
  tipStiffness,
  type Vector,
} from "../../src/capacity/index.ts";
import { createRodWork } from "../../src/rod/index.ts";
import { sayFitted } from "../../src/verdict/index.ts";
import { type CommonOptions, type Console, stopIfCancelled } from "./console.ts";
import { type AtStance, describeCapacity, type NamedRamp } from "./describe-capacity.ts";
import { exitCodes } from "./exit-codes.ts";
import { type CapacityArguments, type CapacityRequest, readCapacity } from "./read-capacity.ts";
import { openArm } from "./read-files.ts";
import { sayCapacity } from "./say-capacity.ts";
import { createProgressBar, type ProgressBar } from "./show-progress.ts";
import { lengthOf, refuseInGuide } from "./solve.ts";

/** Ends with 0 when every payload asked for was found, with 3 when not. */
export async function capacity(path: string, options: CommonOptions & CapacityArguments, console: Console): Promise<number> {
  const arm = createArm(openArm(path).arm);
  const request = readCapacity(options, arm, lengthOf(arm));
  const longest = Math.max(...request.map.lengths);
  const hold = holdAt(arm, request.map, longest);
  refuseInGuide(arm, hold.stance, request.map.bend, createRodWork(arm));
  const bar = createProgressBar(console);
  const pace = createPace(console, bar);
  try {
    const model = createPayloadMap(arm, request.map);
    const points = await findPoints(model, pace);
    const stances = await findStances(model, request.damping, pace);
    const ramps = await findRamps(model, request, longest, stances, pace);
    const backbones = await findBackbones(model, pace);
    const faults = options.broken === true ? await findFaults(arm, model, longest, request, pace) : undefined;
    const answer = describeCapacity(arm, request, points, stances, ramps, backbones, faults);
    bar.end();
    console.out(options.json ? `${JSON.stringify(answer, null, 2)}\n` : `${sayFitted(arm.description)}\n${sayCapacity(answer, options)}`);
    return answer.points.every((p) => p.found) ? exitCodes.go : exitCodes.undecided;
  } finally {
    bar.end();
  }
}

type Pace = (share: number, says: string) => Promise<void>;

/** Lets a cancel in, and the bar out, every 30 ms. */
function createPace(console: Console, bar: ProgressBar): Pace {
  let paused = performance.now();
  return async (share, says) => {
    if (performance.now() - paused < 30) return;
    bar.show(share, says);
    await new Promise((resolve) => setImmediate(resolve));
    stopIfCancelled(console);
    paused = performance.now();
  };
}

async function findPoints(model: MapModel, pace: Pace): Promise<readonly MapPoint[]> {
  const state = createMapState();
  const work = createMapWork(model);
  while (!state.done) {
    stepPayloadMap(model, state, work);
    await pace(0.8 * state.progress, "payloads");
  }
  return state.points;
}

/** Stiffness and first swing for each length and pretension, in the order of the map. */
async function findStances(model: MapModel, damping: Quantity, pace: Pace): Promise<AtStance[]> {
  const stances: AtStance[] = [];
  const work = createCapacityWork(model.arms[0] as ArmModel);
  for (const length of model.request.lengths) {
    for (const [k, arm] of model.arms.entries()) {
      const hold = holdAt(arm, model.request, length);
      const lock = createLockState(arm, hold);
      while (lock.stage === "bending" || lock.stage === "loading") stepLock(arm, hold, lock, work);
      const stiffness = tipStiffness(arm, hold, lock, work);
      const band = tipBand(arm, hold, lock, work);
      const swing = createSwingState(arm);
      while (lock.stage === "locked" && swing.stage !== "done") {
        stepSwing(arm, hold, lock, swing, work);
        await pace(0.9, "swings");
      }
      const pretension = model.request.pretensions?.[k] ?? Number.NaN;
      stances.push({ length, pretension, stiffness, band, swing: readSwing(swing, damping) });
    }
  }
  return stances;
}

/** Pressing and dragging, each with a force that turns with the tool and one that does not, at the longest length and first pretension. */
async function findRamps(
  model: MapModel,
  { ramps, rows, couple }: CapacityRequest,
  length: number,
  stances: readonly AtStance[],
  pace: Pace,
): Promise<NamedRamp[]> {
  const arm = model.arms[0] as ArmModel;
  const hold = holdAt(arm, model.request, length);
  const work = createCapacityWork(arm);
  const lock = createLockState(arm, hold);
  while (lock.stage === "bending" || lock.stage === "loading") stepLock(arm, hold, lock, work);
  const soft = stances.find((s) => s.length === length)?.stiffness?.acrossMost.inTip;
  const usual = [{ name: "pressing ahead", direction: [0, 0, -1] as Vector }];
  if (soft !== undefined) usual.push({ name: "dragged aside, where it is softest", direction: soft });
  const asked = ramps.map((direction) => ({
    name: `along ${direction.map((x) => Number(x.toFixed(3))).join(", ")} of the tool`,
    direction,
  }));
  const found: NamedRamp[] = [];
  for (const { name, direction } of asked.length > 0 ? asked : usual) {
    for (const follows of [false, true]) {
      const { limits, offsets: [offset = [0, 0, 0] as Vector] = [] } = model.request;
      const turning = couple === undefined ? {} : { couple };
      const state = createRampState(arm);
      while (state.stage !== "done") {
        stepRamp(arm, hold, { direction, follows, offset, ...turning, limits, tolerance: 1e-3, most: 1e6, rows }, lock, state, work);
        await pace(0.9, "pressing and dragging");
      }
      found.push({ name, direction, follows, ...turning, length, ...readRamp(state) });
    }
  }
  return found;
}

/** The same arm with one backbone rod and with two, at every length. */
async function findBackbones({ arms, request }: MapModel, pace: Pace): Promise<readonly BackboneRow[]> {
  const arm = arms[0] as ArmModel;
  const model = createBackboneModel(
    arm.description,
    request.lengths.map((length) => holdAt(arm, request, length)),
  );
  if (model.backbones.length < 2) return [];
  const state = createBackboneState();
  const work = createBackboneWork(model);
  while (!state.done) {
    compareBackbones(model, state, work);
    await pace(0.9, "one backbone against two");
  }
  return state.rows;
}

async function findFaults(arm: ArmModel, model: MapModel, length: number, request: CapacityRequest, pace: Pace): Promise<RetentionState> {
  const first = model.arms[0] ?? arm;
  const retention = createRetention(first, holdAt(first, model.request, length), request.suddenDamping, request.sentTo);
  const state = createRetentionState();
  const work = createRetentionWork(retention);
  while (!state.done) {
    stepRetention(retention, state, work);
    await pace(0.9 + 0.1 * state.progress, "broken cables");
  }
  return state;
}
