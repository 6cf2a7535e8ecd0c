/** The options of `withy solve` -> numbers in SI, with every fault found at once. */
import type { ArmModel } from "../../src/arm/index.ts";
import { type Fault, type QuantityKind, readQuantity, refuse } from "../../src/base/index.ts";
import type { Temperature } from "../../src/rod/index.ts";

export interface SolveArguments {
  readonly bend: readonly string[];
  readonly tension: readonly string[];
  readonly force?: string;
  readonly axis: string;
  readonly gravity: string;
  readonly reach?: string;
  readonly temperature?: string;
  readonly outsideTemperature?: string;
  readonly setUpTemperature?: string;
}

export interface SolveRequest {
  /** [section, 2] turn about the arm's x and y, rad; absent when tensions are given */
  readonly bend?: Float64Array;
  /** [cable] N */
  readonly tension: Float64Array;
  /** [3] N, world */
  readonly force: readonly [number, number, number];
  /** [3] unit, world */
  readonly axis: readonly [number, number, number];
  /** [3] m/s^2, world */
  readonly gravity: readonly [number, number, number];
  /** out of the guide, to the tool point, m */
  readonly reach: number;
  /** what the shape is warmed and cooled to, drives locked */
  readonly temperature?: Temperature;
}

/** m/s^2, the conventional value (NIST SP 811, docs/sources.md) */
export const standardGravity = 9.80665;

export type Vector = readonly [number, number, number];

/** @param length of the straight arm to the tool point, m @throws InputError `command.option` */
export function readSolve(args: SolveArguments, arm: ArmModel, length: number): SolveRequest {
  const faults: Fault[] = [];
  if (args.bend.length > 0 && args.tension.length > 0) {
    faults.push(
      faultOf("--tension", args.tension.join(" "), "stands beside --bend.", "Give bends or tensions: one follows from the other."),
    );
  }
  const bend = new Float64Array(2 * arm.sections);
  for (const text of args.bend) takeBend(text, arm.sections, bend, faults);
  const tension = arm.pretension.slice();
  for (const text of args.tension) takeTension(text, tension, faults);
  const force = args.force === undefined ? zero : takeVector("--force", args.force, "force", faults);
  const axis = takeDirection("--axis", args.axis, faults);
  const down = takeDirection("--gravity", args.gravity, faults);
  const reach = takeReach(args.reach, length, faults);
  if (axis !== undefined && length2(axis) === 0) faults.push(faultOf("--axis", args.axis, "has no direction.", "Give one, as 1,0,0."));
  const temperature = takeTemperature(args, faults);
  refuse(faults);
  const gravity = (down as Vector).map((x) => x * standardGravity) as unknown as Vector;
  const request = {
    tension,
    force: force as Vector,
    axis: axis as Vector,
    gravity,
    reach,
    ...(temperature === undefined ? {} : { temperature }),
  };
  return args.tension.length > 0 ? request : { ...request, bend };
}

const zero: Vector = [0, 0, 0];

/** `2=20deg@90deg`: the section leans by the angle towards the direction, counted from x towards y. */
export function takeBend(text: string, sections: number, bend: Float64Array, faults: Fault[], option = "--bend"): void {
  const [, which = "", angle = "", direction = "0 deg"] = /^([^=]+)=([^@]+)(?:@(.+))?$/.exec(text) ?? [];
  const chosen = choose(option, "section", text, which, sections, "2=20deg@90deg", faults);
  const size = takeQuantity(option, angle, "angle", faults);
  const towards = takeQuantity(option, direction, "angle", faults);
  if (Math.abs(size) >= Math.PI) faults.push(faultOf(option, text, "is half a turn or more.", "Give a bend under 180 deg a section."));
  for (const section of chosen) {
    bend[2 * section] = -size * Math.sin(towards);
    bend[2 * section + 1] = size * Math.cos(towards);
  }
}

function takeTension(text: string, tension: Float64Array, faults: Fault[]): void {
  const [, which = "", force = ""] = /^([^=]+)=(.+)$/.exec(text) ?? [];
  const chosen = choose("--tension", "cable", text, which, tension.length, "4=30N", faults);
  const pull = takeQuantity("--tension", force, "force", faults);
  if (pull < 0) faults.push(faultOf("--tension", text, "pushes.", "A cable can only pull: give 0 N or more."));
  for (const cable of chosen) tension[cable] = pull;
}

/** @returns the indices meant; people count from 1 */
function choose(option: string, what: string, text: string, which: string, count: number, example: string, faults: Fault[]): number[] {
  if (which.trim() === "all") return Array.from({ length: count }, (_, k) => k);
  const number = Number(which);
  if (/^\d+$/.test(which.trim()) && number >= 1 && number <= count) return [number - 1];
  const hint = `Name a ${what} from 1 (at the base) to ${count}, or all, as ${example}.`;
  faults.push(faultOf(option, text, which === "" ? "is not understood." : `names no ${what} of this arm.`, hint));
  return [];
}

function takeReach(text: string | undefined, length: number, faults: Fault[]): number {
  if (text === undefined) return length;
  const reach = takeQuantity("--reach", text, "length", faults);
  if (reach > 0 && reach <= length) return reach;
  if (!Number.isNaN(reach))
    faults.push(faultOf("--reach", text, "is not within the arm.", `Give more than 0 and at most ${length.toPrecision(4)} m.`));
  return reach;
}

/** A unit vector, or 0,0,0. */
export function takeDirection(option: string, text: string, faults: Fault[]): Vector | undefined {
  const numbers = text.split(",").map(Number);
  if (numbers.length !== 3 || text.split(",").some((part) => part.trim() === "") || !numbers.every(Number.isFinite)) {
    faults.push(faultOf(option, text, "is not a direction.", "Give three numbers with commas, as 0,0,-1."));
    return undefined;
  }
  const size = length2(numbers as unknown as Vector);
  return numbers.map((x) => (size === 0 ? 0 : x / size)) as unknown as Vector;
}

export function takeVector(option: string, text: string, kind: QuantityKind, faults: Fault[]): Vector | undefined {
  const parts = text.split(",");
  if (parts.length !== 3) {
    faults.push(faultOf(option, text, "has not three parts.", "Give x, y and z with commas, as 0N,0N,-2N."));
    return undefined;
  }
  return parts.map((part) => takeQuantity(option, part, kind, faults)) as unknown as Vector;
}

/** 20 degC: where arms are set up when nobody says */
const usualSetUp = 293.15;

function takeTemperature(args: SolveArguments, faults: Fault[]): Temperature | undefined {
  const take = (option: string, text: string | undefined): readonly [number, number] | undefined => {
    if (text === undefined) return undefined;
    const read = readQuantity(text.trim(), "temperature");
    if ("code" in read) faults.push({ ...read, path: option });
    else if (read.low <= 0) faults.push(faultOf(option, text, "is below the absolute zero.", "Give a temperature, as 10degC..60degC."));
    else return [read.low, read.high];
    return undefined;
  };
  const arm = take("--temperature", args.temperature);
  const conduit = take("--outside-temperature", args.outsideTemperature);
  const setUp = take("--set-up-temperature", args.setUpTemperature)?.[0] ?? usualSetUp;
  if (args.temperature === undefined && (args.outsideTemperature ?? args.setUpTemperature) !== undefined) {
    const hint = "Give --temperature too, as 10degC..60degC.";
    faults.push({ code: "command.option", path: "--temperature", problem: "is missing beside another temperature.", hint });
  }
  return arm === undefined ? undefined : { setUp, arm, ...(conduit === undefined ? {} : { conduit }) };
}

/** @returns NaN when there was a fault */
export function takeQuantity(option: string, text: string, kind: QuantityKind, faults: Fault[]): number {
  if (text === "") return Number.NaN;
  const read = readQuantity(text.trim(), kind);
  if (!("code" in read)) return read.nominal;
  faults.push({ ...read, path: option });
  return Number.NaN;
}

export function faultOf(option: string, received: string, problem: string, hint: string): Fault {
  return { code: "command.option", path: option, received, problem: `${received} ${problem}`, hint };
}

function length2(v: Vector): number {
  return Math.sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2]);
}
