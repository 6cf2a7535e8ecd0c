/** `withy drum`: an arm wound up on its drum and paid out again. */
import { type ArmModel, createArm } from "../../src/arm/index.ts";
import {
  createDrum,
  createDrumState,
  createDrumWork,
  type DrumModel,
  type DrumResult,
  type DrumRow,
  drumProgress,
  type Pull,
  readDrum,
  stepDrum,
  type Worst,
} from "../../src/drum/index.ts";
import { type CommonOptions, type Console, stopIfCancelled } from "./console.ts";
import { exitCodes } from "./exit-codes.ts";
import { type DrumArguments, readDrumOptions } from "./read-drum.ts";
import { openArm } from "./read-files.ts";
import { sayDrum } from "./say-drum.ts";
import { createProgressBar } from "./show-progress.ts";

/** SI, with the unit in every name; infinite and unknown numbers are null. */
export type DrumAnswer = ReturnType<typeof describe>;

/** Ends with 0 when the arm goes on the drum, with 2 when not, with 3 when only no balance was found. */
export async function drum(path: string, options: CommonOptions & DrumArguments, console: Console): Promise<number> {
  const arm = createArm(openArm(path).arm);
  const model = createDrum(arm, readDrumOptions(options, arm));
  const state = createDrumState(model);
  const work = createDrumWork(model);
  const bar = createProgressBar(console);
  try {
    let paused = performance.now();
    while (state.stage !== "done") {
      stepDrum(model, state, work);
      if (performance.now() - paused < 30) continue;
      bar.show(
        drumProgress(model, state),
        { winding: "winding up", hanging: "the last turn", paying: "paying out", done: "" }[state.stage],
      );
      await new Promise((resolve) => setImmediate(resolve));
      stopIfCancelled(console);
      paused = performance.now();
    }
    const result = readDrum(model, state);
    bar.end();
    const answer = describe(arm, model, result);
    console.out(options.json ? `${JSON.stringify(answer, null, 2)}\n` : sayDrum(answer, options));
    if (result.faults.length === 0) return exitCodes.go;
    // what was found without a balance stands
    return result.faults.every((fault) => fault.kind === "balance") ? exitCodes.undecided : exitCodes.noGo;
  } finally {
    bar.end();
  }
}

function describe(arm: ArmModel, { request }: DrumModel, result: DrumResult) {
  const { drum } = request;
  return {
    arm: arm.description.name,
    simulated: true,
    fits: result.faults.length === 0,
    faults: result.faults,
    coreRadiusM: drum.radius,
    lay: drum.lay,
    bentBy: drum.bentBy,
    pitchM: drum.lay === "helix" ? drum.pitch : null,
    rollRad: result.roll,
    startRad: drum.start,
    friction: drum.friction,
    cablesRub: arm.description.friction !== undefined,
    pullN: drum.pull,
    coilWidthM: result.width,
    coilDiameterM: result.diameter,
    longestInsertM: result.longest ?? null,
    hang:
      result.hang === undefined
        ? null
        : {
            offM: known(result.hang.off),
            allowedM: known(result.hang.allowed),
            vertebra: result.hang.vertebra,
            fromJoint: result.hang.from + 1,
            down: result.hang.down,
          },
    // as it is paid out: from all of it on the drum to nothing
    rows: [...result.rows].reverse().map((row) => describeRow(arm, row, drum.pull)),
  };
}

function describeRow(arm: ArmModel, row: DrumRow, pull: number) {
  return {
    paidOutM: row.paidOut,
    onDrum: row.spans,
    turns: row.turns,
    wrapRad: row.wrap,
    joint: { angleRad: known(row.joint.value), ...placed(row.joint) },
    strain: { strain: known(row.strain.value), ...placed(row.strain) },
    straightLineUse: known(row.line.use),
    bends: Array.from({ length: arm.sections }, (_, j) => {
      const [x, y] = [row.bend[2 * j] as number, row.bend[2 * j + 1] as number];
      return { section: j + 1, bendRad: Math.sqrt(x * x + y * y), aboutRad: Math.atan2(y, x) };
    }),
    windingUp: describePull(row.winding),
    payingOut: row.paying === undefined ? null : describePull(row.paying),
    capstan: {
      cable: row.capstan.cable + 1,
      turnedRad: known(row.capstan.turned),
      factor: known(row.capstan.factor),
      most: known(row.capstan.most),
    },
    bowOutM: known(row.gap),
    bowInM: known(row.press),
    anchorLeastN: row.anchor[0] * pull,
    anchorMostN: row.anchor[1] * pull,
    anchorLeast: row.anchor[0],
    anchorMost: row.anchor[1],
    slideLeastN: row.slide[0],
    slideMostN: row.slide[1],
    liftPerPushPerM: row.lift,
  };
}

function placed({ limit, use, span }: Worst) {
  return { limit, use: known(use), joint: span + 1 };
}

function describePull({ status, entry, drive, cable, use, most, least }: Pull) {
  return {
    status,
    strongest: cable + 1,
    mostN: known(most),
    use: known(use),
    leastN: known(least),
    entryN: [...entry].map(known),
    driveN: [...drive].map(known),
  };
}

function known(x: number): number | null {
  return Number.isFinite(x) ? x : null;
}
