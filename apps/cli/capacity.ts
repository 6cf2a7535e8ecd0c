/** `withy capacity`: payload map of one arm, its first swing, and what it does when a cable breaks. */
import { type ArmModel, createArm } from "../../src/arm/index.ts";
import {
  createCapacityWork,
  createLockState,
  createMapState,
  createMapWork,
  createPayloadMap,
  createRetention,
  createRetentionState,
  createRetentionWork,
  createSwingState,
  holdAt,
  type MapModel,
  type MapPoint,
  type RetentionCase,
  type RetentionState,
  readSwing,
  type Swing,
  stepLock,
  stepPayloadMap,
  stepRetention,
  stepSwing,
} from "../../src/capacity/index.ts";
import { createRodWork } from "../../src/rod/index.ts";
import { type CommonOptions, type Console, stopIfCancelled } from "./console.ts";
import { exitCodes } from "./exit-codes.ts";
import { type CapacityArguments, type CapacityRequest, readCapacity } from "./read-capacity.ts";
import { openArm } from "./read-files.ts";
import { sayCapacity } from "./say-capacity.ts";
import { createProgressBar, type ProgressBar } from "./show-progress.ts";
import { lengthOf, refuseInGuide } from "./solve.ts";

/** SI, with the unit in every name; infinite and unknown numbers are null. */
export type CapacityAnswer = ReturnType<typeof describe>;

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
    const swings = await findSwings(model, options.damping, pace);
    const faults = options.broken === true ? await findFaults(arm, model, longest, options.damping, pace) : undefined;
    const answer = describe(arm, request, points, swings, faults, options.damping);
    bar.end();
    console.out(options.json ? `${JSON.stringify(answer, null, 2)}\n` : sayCapacity(answer, options));
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

interface SwingAt extends Swing {
  readonly length: number;
  readonly pretension: number;
}

/** One a length and pretension, in the order of the map. */
async function findSwings(model: MapModel, damping: number, pace: Pace): Promise<SwingAt[]> {
  const swings: SwingAt[] = [];
  const work = createCapacityWork(model.arms[0] as ArmModel);
  for (const length of model.request.lengths) {
    for (const [k, arm] of model.arms.entries()) {
      const hold = holdAt(arm, model.request, length);
      const lock = createLockState(arm, hold);
      while (lock.stage === "bending" || lock.stage === "loading") stepLock(arm, hold, lock, work);
      const state = createSwingState(arm);
      while (lock.stage === "locked" && state.stage !== "done") {
        stepSwing(arm, hold, lock, state, work);
        await pace(0.9, "swings");
      }
      swings.push({ ...readSwing(state, damping), length, pretension: model.request.pretensions?.[k] ?? Number.NaN });
    }
  }
  return swings;
}

async function findFaults(arm: ArmModel, model: MapModel, length: number, damping: number, pace: Pace): Promise<RetentionState> {
  const first = model.arms[0] ?? arm;
  const retention = createRetention(first, holdAt(first, model.request, length), damping);
  const state = createRetentionState();
  const work = createRetentionWork(retention);
  while (!state.done) {
    stepRetention(retention, state, work);
    await pace(0.9 + 0.1 * state.progress, "broken cables");
  }
  return state;
}

function describe(
  arm: ArmModel,
  { map, names }: CapacityRequest,
  points: readonly MapPoint[],
  swings: readonly SwingAt[],
  faults: RetentionState | undefined,
  damping: number,
) {
  return {
    arm: arm.description.name,
    simulated: true,
    lockedAt: map.lockedAt,
    sagToleranceM: map.limits.sag ?? null,
    offsetM: map.offset,
    tolerance: 1e-3,
    damping,
    points: points.map((p, k) => describePoint(arm, p, names[k % names.length] as string)),
    swings: swings.map((s) => ({
      lengthM: s.length,
      pretensionN: known(s.pretension),
      found: s.found,
      firstHz: known(s.frequency),
      secondHz: known(s.second),
      settlingS: known(s.settling),
    })),
    ...(faults === undefined ? {} : { faults: describeFaults(arm, faults, Math.max(...map.lengths)) }),
  };
}

function describePoint(arm: ArmModel, p: MapPoint, name: string) {
  const span = p.end === "stop" || p.end === "strain" ? p.at : -1;
  return {
    lengthM: p.length,
    pretensionN: known(p.pretension),
    direction: name,
    alongXYZ: p.direction,
    found: p.found,
    payloadN: p.load,
    boundN: known(p.bound),
    endsAt: p.end,
    cable: p.end === "cable" ? p.at + 1 : null,
    joint: span < 0 ? null : span + 1,
    section: span < 0 ? (p.end === "cable" ? (arm.sectionOfCable[p.at] as number) + 1 : null) : (arm.sectionOfSpan[span] as number) + 1,
    movedM: p.uses.moved,
    cableUse: p.uses.cable,
    stopUse: p.uses.stop,
    strainUse: p.uses.strain,
    slackCables: p.slack.map((c) => c + 1),
    slackFromN: known(p.slackFrom),
  };
}

function describeFaults(arm: ArmModel, state: RetentionState, length: number) {
  return { lengthM: length, status: state.status, storedJ: known(state.stored), cases: state.cases.map((c) => describeCase(arm, c)) };
}

function describeCase(arm: ArmModel, c: RetentionCase) {
  return {
    what: c.kind,
    cable: c.cable < 0 ? null : c.cable + 1,
    section: c.cable < 0 ? null : (arm.sectionOfCable[c.cable] as number) + 1,
    status: c.status,
    leapt: c.leapt,
    looseCables: c.tension.flatMap((t, k) => (t <= 0 && k !== c.cable && c.kind === "broken" ? [k + 1] : [])),
    movedM: known(c.moved),
    swingM: known(c.swing),
    dropM: known(c.drop),
    cableUse: known(c.uses.cable),
    swingCableUse: known(c.swingCable),
    stopUse: known(c.uses.stop),
    strainUse: known(c.uses.strain),
    storedJ: known(c.stored),
    lostJ: c.lost,
  };
}

function known(x: number): number | null {
  return Number.isFinite(x) ? x : null;
}
