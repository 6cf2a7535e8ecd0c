/** The options of `withy drum` and the arm file's own drum -> a request, with every fault found at once. */
import type { ArmModel, Drum } from "../../src/arm/index.ts";
import { type Fault, type Quantity, readQuantity, refuse } from "../../src/base/index.ts";
import type { DrumRequest } from "../../src/drum/index.ts";
import { faultOf, takeQuantity } from "./read-solve.ts";

export interface DrumArguments {
  readonly radius?: string;
  readonly lay?: "helix" | "spiral";
  readonly pitch?: string;
  readonly width?: string;
  readonly flange?: string;
  readonly cover?: string;
  readonly bentBy?: "sections" | "drum";
  readonly start?: string;
  readonly roll?: string;
  readonly friction?: string;
  readonly pull?: string;
  readonly insert?: string;
  readonly every?: number;
}

/** What an arm on a dry core of metal or plastic rubs with: common practice, no source. */
const usualFriction: Quantity = { nominal: 0.2, low: 0.1, high: 0.3 };

/** @throws InputError `command.option` */
export function readDrumOptions(args: DrumArguments, arm: ArmModel): DrumRequest {
  const faults: Fault[] = [];
  const own = arm.description.drum;
  const take = (option: string, text: string | undefined, kind: "length" | "angle" | "force"): number | undefined =>
    text === undefined ? undefined : takeQuantity(option, text, kind, faults);
  const radius = take("--radius", args.radius, "length") ?? own?.radius;
  if (radius === undefined) {
    faults.push({
      code: "command.option",
      path: "--radius",
      problem: "is missing, and the arm file has no drum.",
      hint: "Give the radius of the core, as 150mm, or a drum in the arm file.",
    });
  }
  const widest = Math.max(...arm.description.sections.map((section) => section.outerDiameter));
  const drum: Drum = {
    radius: radius ?? Number.NaN,
    lay: args.lay ?? own?.lay ?? "helix",
    pitch: take("--pitch", args.pitch, "length") ?? own?.pitch ?? 1.05 * widest,
    ...given("width", take("--width", args.width, "length") ?? own?.width),
    ...given("flange", take("--flange", args.flange, "length") ?? own?.flange),
    ...given("cover", take("--cover", args.cover, "length") ?? own?.cover),
    bentBy: args.bentBy ?? own?.bentBy ?? "sections",
    start: take("--start", args.start, "angle") ?? own?.start ?? 0,
    ...given("roll", take("--roll", args.roll, "angle") ?? own?.roll),
    friction: takeFriction(args.friction, faults) ?? own?.friction ?? usualFriction,
    pull: take("--pull", args.pull, "force") ?? own?.pull ?? 0,
  };
  const insert = takeInsert(args.insert, faults);
  refuse(faults);
  return { drum, ...(insert === undefined ? {} : { insert }), ...(args.every === undefined ? {} : { step: args.every }) };
}

function given<K extends string>(key: K, value: number | undefined): { readonly [k in K]?: number } {
  return value === undefined ? {} : ({ [key]: value } as { readonly [k in K]?: number });
}

function takeFriction(text: string | undefined, faults: Fault[]): Quantity | undefined {
  if (text === undefined) return undefined;
  const read = readQuantity(text.trim(), "ratio");
  if (!("code" in read)) return read;
  faults.push({ ...read, path: "--friction" });
  return undefined;
}

function takeInsert(text: string | undefined, faults: Fault[]): DrumRequest["insert"] {
  if (text === undefined) return undefined;
  const parts = text.split(",");
  if (parts.length !== 2) {
    faults.push(faultOf("--insert", text, "has not two parts.", "Give diameter and length with a comma, as 4mm,60mm."));
    return undefined;
  }
  const [diameter, length] = parts.map((part) => takeQuantity("--insert", part, "length", faults)) as [number, number];
  return { diameter, length };
}
