/** `withy solve`: the loaded shape of one arm, for given bends or tensions. */
import { type ArmModel, createArm } from "../../src/arm/index.ts";
import { type Fault, formatQuantity, type QuantityKind, refuse } from "../../src/base/index.ts";
import { createFrameAlong, pointOf } from "../../src/math/index.ts";
import {
  checkBalance,
  copyRodState,
  createDeadBand,
  createInspection,
  createRodState,
  createRodWork,
  type DeadBand,
  driveTension,
  findDeadBand,
  firstHeld,
  type Inspection,
  inspectShape,
  type Load,
  type RodState,
  type RodWork,
  readFreeLengths,
  type SolveReport,
  type Stance,
  setStance,
  settleGrips,
  solveHeld,
  solveLocked,
  solveTensions,
  tipCompliance,
} from "../../src/rod/index.ts";
import { sayFitted, untoldExpansions } from "../../src/verdict/index.ts";
import type { CommonOptions, Console } from "./console.ts";
import { exitCodes } from "./exit-codes.ts";
import { layTable } from "./lay-table.ts";
import { openArm } from "./read-files.ts";
import { readSolve, type SolveArguments, type SolveRequest } from "./read-solve.ts";
import { sayWarmShapes, type WarmAnswer, warmShapes } from "./warm-shape.ts";

/** Ends with 0 when a shape was found (its cables may be slack), with 3 when not. */
export async function solve(path: string, options: CommonOptions & SolveArguments, console: Console): Promise<number> {
  const arm = createArm(openArm(path).arm);
  const request = readSolve(options, arm, lengthOf(arm));
  const shape = findShape(arm, request);
  const found = shape.report.status === "stable" || shape.report.status === "slack";
  const warm = found && request.temperature !== undefined ? warmShapes(arm, shape, request.temperature) : undefined;
  const answer = found
    ? { ...describe(arm, shape), ...(warm === undefined ? {} : { warm, expansionNotGiven: untoldExpansions(arm.description) }) }
    : undefined;
  if (options.json)
    console.out(
      `${JSON.stringify({ arm: arm.description.name, status: shape.report.status, iterations: shape.report.iterations, ...answer }, null, 2)}\n`,
    );
  else console.out(answer === undefined ? sayFailure(shape.report) : sayShape(arm, shape.report, answer, options));
  return found ? exitCodes.go : exitCodes.undecided;
}

interface Solved {
  readonly state: RodState;
  readonly work: RodWork;
  readonly load: Load;
  readonly stance: Stance;
  readonly report: SolveReport;
}

export function lengthOf(arm: ArmModel): number {
  return (arm.along[arm.spans] as number) + arm.description.tool.length;
}

/** Bends are raised in steps that Newton follows from one to the next. */
const bendStep = 0.2;

function findShape(arm: ArmModel, request: SolveRequest): Solved {
  const state = createRodState(arm);
  const work = createRodWork(arm);
  const exit = lengthOf(arm) - request.reach;
  const base = createFrameAlong(
    request.axis.map((x) => -exit * x),
    request.axis,
  );
  const stance = { base, exit };
  const load = {
    gravity: request.gravity,
    forces: [{ vertebra: arm.spans, force: request.force, at: [0, 0, arm.description.tool.length] as const }],
  };
  const { bend } = request;
  if (bend !== undefined) refuseInGuide(arm, stance, bend, work);
  if (bend === undefined) {
    state.tension.set(request.tension);
    return { state, work, load, stance, report: solveTensions(arm, load, stance, state, work) };
  }
  const steps = Math.max(1, Math.ceil(Math.max(...bend.map(Math.abs)) / bendStep));
  // bent there from straight, each cable slides as the bends grow
  const goTo = (share: number): SolveReport => {
    const wanted = bend.map((x) => share * x);
    let report: SolveReport | undefined;
    const solve = () => {
      report = solveHeld(arm, load, stance, wanted, state, work);
      return report.status;
    };
    const { status, settled } = settleGrips(arm, state, work, solve);
    const last = report as unknown as SolveReport;
    return settled || (status !== "stable" && status !== "slack") ? last : { ...last, status: "not-converged" };
  };
  let report = goTo(1 / steps);
  for (let k = 2; k <= steps && report.status !== "not-converged" && report.status !== "jammed"; k++) report = goTo(k / steps);
  return { state, work, load, stance, report };
}

/** A bend that cannot be held would be left out in silence. */
export function refuseInGuide(arm: ArmModel, stance: Stance, bend: Float64Array, work: RodWork): void {
  setStance(arm, stance, work);
  const faults: Fault[] = [];
  for (let j = 0; j < firstHeld(arm, work); j++) {
    if (bend[2 * j] === 0 && bend[2 * j + 1] === 0) continue;
    const problem = `section ${j + 1} has less than two whole spans out of the guide and cannot be bent.`;
    faults.push({ code: "command.option", path: "--bend", problem, hint: "Give a longer --reach, or leave this bend out." });
  }
  refuse(faults);
}

/** SI, with the unit in every name. */
function describe(arm: ArmModel, { state, work, load, stance }: Solved) {
  const inspection = createInspection(arm);
  inspectShape(arm, state, work, inspection);
  const compliance = new Float64Array(36);
  tipCompliance(arm, state, "locked", work, compliance);
  const tool = toolPoint(arm, work);
  const tip = work.frame.slice(12 * arm.spans, 12 * arm.spans + 9);
  const sections = describeSections(arm, work, inspection);
  const band = createDeadBand(arm);
  const banded = findDeadBand(arm, state, work, band);
  const cables = describeCables(arm, state, work, band, inspection);
  const twist = inspection.twist[arm.spans] as number;
  return {
    residualNm: checkBalance(arm, load, stance, state),
    toolPointM: [...tool],
    aim: [tip[2], tip[5], tip[8]] as number[],
    armX: [0, 3, 6].map((k) => stance.base[k] as number),
    armY: [1, 4, 7].map((k) => stance.base[k] as number),
    twistRad: twist,
    ...(banded ? { frictionRangeM: reachOf(arm, band.known), deadBandM: reachOf(arm, band.full) } : {}),
    softnessMPerN: [21, 28, 35].map((k) => compliance[k] as number),
    ...findSag(arm, { state, work, stance }, tool),
    sections,
    cables,
  };
}

type Answer = ReturnType<typeof describe> & { readonly warm?: readonly WarmAnswer[]; readonly expansionNotGiven?: readonly string[] };

function toolPoint(arm: ArmModel, work: RodWork): Float64Array {
  const point = new Float64Array(3);
  pointOf(work.frame, arm.spans, 0, 0, arm.description.tool.length, point);
  return point;
}

/** How far the tool point comes away when weight, tool and force are taken off and the drives stay where they are. */
function findSag(
  arm: ArmModel,
  { state, work, stance }: Pick<Solved, "state" | "work" | "stance">,
  loaded: Float64Array,
): { sagM?: number } {
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work, free);
  const bare = copyRodState(state);
  const report = solveLocked(arm, { gravity: [0, 0, 0], forces: [], toolShare: 0 }, stance, free, bare, work);
  if (report.status !== "stable" && report.status !== "slack") return {};
  const [x, y, z] = toolPoint(arm, work).map((v, k) => v - (loaded[k] as number));
  return { sagM: Math.hypot(x as number, y as number, z as number) };
}

function describeSections(arm: ArmModel, work: RodWork, { jointAngle, strain, stress }: Inspection) {
  return arm.description.sections.map((section, j) => {
    const spans = [arm.firstSpan[j] as number, arm.firstSpan[j + 1] as number] as const;
    const greatest = (values: Float64Array): number => Math.max(...values.subarray(...spans));
    const x = work.bend[2 * j] as number;
    const y = work.bend[2 * j + 1] as number;
    return {
      name: section.name,
      bendRad: Math.hypot(x, y),
      directionRad: Math.hypot(x, y) < 1e-9 ? 0 : Math.atan2(-x, y),
      greatestJointAngleRad: greatest(jointAngle),
      jointLimitRad: section.jointLimit,
      greatestStrain: greatest(strain),
      allowedStrain: Math.min(...section.rods.map((rod) => rod.material.allowedStrain)),
      greatestStressPa: greatest(stress),
    };
  });
}

/** How far the tool point may be within a band, m. */
function reachOf(arm: ArmModel, { shift, turn }: DeadBand["known"]): number {
  return (shift[arm.spans] as number) + (turn[arm.spans] as number) * arm.description.tool.length;
}

function describeCables(arm: ArmModel, state: RodState, work: RodWork, { most }: DeadBand, { drawn }: Inspection) {
  const shareAtEnd = (c: number): number => {
    const last = (arm.firstSpan[(arm.sectionOfCable[c] as number) + 1] as number) - 1;
    return last < work.firstFree ? 1 : (work.share[last * arm.cables + c] as number);
  };
  return Array.from({ length: arm.cables }, (_, c) => ({
    cable: c + 1,
    section: (arm.sectionOfCable[c] as number) + 1,
    driveN: driveTension(arm, state, c),
    tensionN: state.tension[c] as number,
    endN: (state.tension[c] as number) * shareAtEnd(c),
    mostN: most[c] as number,
    workingLoadN: arm.workingLoad[c] as number,
    drawnInM: drawn[c] as number,
  }));
}

function sayShape(arm: ArmModel, report: SolveReport, answer: Answer, options: CommonOptions): string {
  // what is left of a zero after rounding is not worth its digits
  const say = (value: number, kind: QuantityKind): string => formatQuantity(Math.abs(value) < 1e-9 ? 0 : value, kind, options.units, 4);
  const percent = (use: number, limit: number): string => `${Math.round((100 * use) / limit)} %`;
  const [sx, sy, sz] = answer.softnessMPerN as [number, number, number];
  const lines = [
    `${arm.description.name}: ${report.status === "slack" ? "balanced, with slack cables" : "balanced and stable"}, simulated.`,
    sayFitted(arm.description),
    `Residual ${answer.residualNm.toExponential(1)} N m, re-computed apart from the solver; ${report.iterations} steps.`,
    `Tool point ${answer.toolPointM.map((x) => say(x, "length")).join(", ")} from the guide's exit; aims along ${answer.aim.map((x) => x.toFixed(3)).join(", ")}.`,
    `At the guide the arm's x points along ${answer.armX.map((x) => x.toFixed(3)).join(", ")}, its y along ${answer.armY.map((x) => x.toFixed(3)).join(", ")}.`,
    `Twist at the tip ${say(answer.twistRad, "angle")}. Sag under weight, tool and force, drives locked: ${answer.sagM === undefined ? "not found" : say(answer.sagM, "length")}.`,
    `The tip gives ${say(sx, "length")}, ${say(sy, "length")}, ${say(sz, "length")} a newton along its own x, y, z, drives locked.`,
    ...(answer.deadBandM === undefined || answer.deadBandM === 0
      ? []
      : [
          `Friction: anywhere in its range it moves the tool point by up to ${say(answer.frictionRangeM ?? 0, "length")}; with nobody knowing which way each cable slid last, by up to ${say(answer.deadBandM, "length")}.`,
        ]),
    "",
    layTable(
      [
        ["section", "bend", "towards", "worst joint", "of limit", "worst strain", "of allowed", "worst stress"],
        ...answer.sections.map((s) => [
          s.name,
          say(s.bendRad, "angle"),
          say(s.directionRad, "angle"),
          say(s.greatestJointAngleRad, "angle"),
          percent(s.greatestJointAngleRad, s.jointLimitRad),
          `${(100 * s.greatestStrain).toFixed(2)} %`,
          percent(s.greatestStrain, s.allowedStrain),
          say(s.greatestStressPa, "pressure"),
        ]),
      ],
      [1, 2, 3, 4, 5, 6, 7],
    ),
    "",
    layTable(
      [
        ["cable", "section", "at the drive", "at the guide", "at its end", "at most", "of working load", "drawn in"],
        ...answer.cables.map((c) => [
          String(c.cable),
          String(c.section),
          say(c.driveN, "force"),
          say(c.tensionN, "force"),
          say(c.endN, "force"),
          say(c.mostN, "force"),
          percent(c.mostN, c.workingLoadN),
          say(c.drawnInM, "length"),
        ]),
      ],
      [0, 1, 2, 3, 4, 5, 6, 7],
    ),
    ...(answer.deadBandM === undefined || answer.deadBandM === 0
      ? []
      : [
          "Cables as they slid while the bends grew, coefficients at the middle of their ranges; at most: friction at its highest, whichever way each slid.",
        ]),
    ...(answer.warm === undefined ? [] : sayWarmShapes(answer.warm, answer.expansionNotGiven ?? [], options.units)),
  ];
  return `${lines.join("\n")}\n`;
}

function sayFailure(report: SolveReport): string {
  if (report.status === "jammed" && report.slidesTo === undefined)
    return "The arm jams: walls hold it against the bends asked for, and a cable would break first. No shape is shown. Try smaller bends.\n";
  if (report.status === "jammed")
    return `The arm jams: on walls of this friction it does not slide; up to a coefficient of ${(report.slidesTo as number).toFixed(2)} it does. No shape is shown.\n`;
  return report.status === "buckled"
    ? "A balance was found, but it is not stable: the arm would leave it by itself. No shape is shown. Lower the tensions or the load.\n"
    : `No balance was found in ${report.iterations} steps. No shape is shown. Try smaller bends, tensions or loads.\n`;
}
