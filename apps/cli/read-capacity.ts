/** The options of `withy capacity` -> numbers in SI, with every fault found at once. */
import type { ArmModel } from "../../src/arm/index.ts";
import { type Fault, type Quantity, refuse } from "../../src/base/index.ts";
import { dampingOf, type MapRequest } from "../../src/capacity/index.ts";
import { createFrameAlong } from "../../src/math/index.ts";
import { faultOf, standardGravity, takeBend, takeDirection, takeQuantity, takeVector, type Vector } from "./read-solve.ts";

export interface CapacityArguments {
  readonly outLength: readonly string[];
  readonly direction: readonly string[];
  readonly offset: readonly string[];
  readonly pretension: readonly string[];
  readonly sag?: string;
  readonly bend: readonly string[];
  readonly axis: string;
  readonly gravity: string;
  readonly locked: "carrying" | "unloaded";
  readonly ramp: readonly string[];
  readonly couple?: string;
  readonly rows: number;
  readonly broken?: boolean;
  readonly sent: readonly string[];
  readonly damping?: number;
}

export interface CapacityRequest {
  readonly map: MapRequest;
  /** a name for each of the map's directions */
  readonly names: readonly string[];
  /** forces on the tool that are followed row by row, in the tip's axes; empty: pressing ahead, and dragging where the tip is softest */
  readonly ramps: readonly Vector[];
  /** couple that grows with them, m: N m a newton */
  readonly couple?: Vector;
  readonly rows: number;
  /** [section, 2] where the other drives go when one stalls, rad; absent when that is where they are */
  readonly sentTo?: Float64Array;
  /** share of critical, of the first swing: asked for, the arm's own, or usual */
  readonly damping: Quantity;
  /** of sudden faults: 0, the bound of all, unless it was asked for or the arm has its own */
  readonly suddenDamping: number;
}

/** @param length of the straight arm to the tool point, m @throws InputError `command.option` */
export function readCapacity(args: CapacityArguments, arm: ArmModel, length: number): CapacityRequest {
  const faults: Fault[] = [];
  const bend = new Float64Array(2 * arm.sections);
  for (const text of args.bend) takeBend(text, arm.sections, bend, faults);
  const sentTo = new Float64Array(2 * arm.sections);
  for (const text of args.sent) takeBend(text, arm.sections, sentTo, faults, "--sent");
  const axis = takeHeading("--axis", args.axis, faults);
  const down = takeDirection("--gravity", args.gravity, faults);
  const headings = args.direction.map((text) => takeHeading("--direction", text, faults));
  const offsets = (args.offset.length > 0 ? args.offset : ["0mm,0mm,0mm"]).map((text) => takeVector("--offset", text, "length", faults));
  const lengths = takeLengths(args.outLength, arm, length, faults);
  const pretensions = list(args.pretension).map((text) => {
    const pull = takeQuantity("--pretension", text, "force", faults);
    if (pull < 0) faults.push(faultOf("--pretension", text, "pushes.", "A cable can only pull: give 0 N or more."));
    return pull;
  });
  const sag = args.sag === undefined ? undefined : takeQuantity("--sag", args.sag, "length", faults);
  if (sag !== undefined && sag <= 0)
    faults.push(faultOf("--sag", args.sag as string, "leaves no way to give.", "Give more than 0 mm, or leave it out."));
  const ramps = args.ramp.map((text) => takeHeading("--ramp", text, faults));
  const couple = args.couple === undefined ? undefined : takeVector("--couple", args.couple, "length", faults);
  refuse(faults);
  const asked = args.damping;
  const exit = createFrameAlong([0, 0, 0], axis as Vector);
  const ways =
    headings.length > 0 ? (headings as Vector[]).map((way) => ({ name: way.map(round).join(","), way })) : sixWays(exit, down as Vector);
  return {
    map: {
      exit,
      bend,
      gravity: (down as Vector).map((x) => x * standardGravity) as unknown as Vector,
      lockedAt: args.locked,
      directions: ways.map(({ way }) => way),
      offsets: offsets as Vector[],
      lengths,
      limits: sag === undefined ? {} : { sag },
      ...(pretensions.length > 0 ? { pretensions } : {}),
    },
    names: ways.map(({ name }) => name),
    ramps: ramps as Vector[],
    ...(couple === undefined ? {} : { couple }),
    rows: args.rows,
    damping: asked === undefined ? dampingOf(arm) : { nominal: asked, low: asked, high: asked },
    ...(sentTo.every((x, k) => x === bend[k]) ? {} : { sentTo }),
    suddenDamping: asked ?? arm.description.damping?.low ?? 0,
  };
}

function list(texts: readonly string[]): string[] {
  return texts.flatMap((text) => text.split(","));
}

function round(x: number): string {
  return String(Number(x.toFixed(3)));
}

function takeHeading(option: string, text: string, faults: Fault[]): Vector | undefined {
  const heading = takeDirection(option, text, faults);
  if (heading?.every((x) => x === 0)) faults.push(faultOf(option, text, "has no direction.", "Give one, as 1,0,0."));
  return heading;
}

function takeLengths(texts: readonly string[], arm: ArmModel, length: number, faults: Fault[]): number[] {
  if (texts.length === 0) return [length, 0.75 * length, 0.5 * length];
  const last = arm.spans - 1;
  const least = arm.description.tool.length + (arm.tail[last] as number) + (arm.flexible[last] as number);
  return list(texts).map((text) => {
    if (text.trim() === "") {
      faults.push(
        faultOf("--out-length", texts.join(" "), "has an empty entry.", "Give lengths with one comma between them, as 400mm,600mm."),
      );
      return length;
    }
    const out = takeQuantity("--out-length", text, "length", faults);
    // what was written with a few digits may pass the end by rounding
    if (out > length && out < length * (1 + 1e-6)) return length;
    if (out < least || out > length) {
      const hint = `Give a length from ${least.toPrecision(4)} m (the last joint and the tool) to ${length.toPrecision(4)} m.`;
      faults.push(faultOf("--out-length", text, "is not within the arm.", hint));
    }
    return out;
  });
}

/** Down and up along gravity, aside, and along the arm; without gravity across it, the arm's own axes. */
function sixWays(exit: Float64Array, down: Vector): { name: string; way: Vector }[] {
  const column = (k: number): Vector => [exit[k] as number, exit[3 + k] as number, exit[6 + k] as number];
  const minus = (v: Vector): Vector => [-v[0], -v[1], -v[2]];
  const ahead = column(2);
  const side: Vector = [
    ahead[1] * down[2] - ahead[2] * down[1],
    ahead[2] * down[0] - ahead[0] * down[2],
    ahead[0] * down[1] - ahead[1] * down[0],
  ];
  const size = Math.sqrt(side[0] ** 2 + side[1] ** 2 + side[2] ** 2);
  const across =
    size < 1e-6
      ? ([
          ["arm's x", column(0)],
          ["arm's -x", minus(column(0))],
          ["arm's y", column(1)],
          ["arm's -y", minus(column(1))],
        ] as const)
      : ([
          ["down", down],
          ["up", minus(down)],
          ["left", side.map((x) => x / size) as unknown as Vector],
          ["right", side.map((x) => -x / size) as unknown as Vector],
        ] as const);
  return [...across, ["outwards", ahead] as const, ["inwards", minus(ahead)] as const].map(([name, way]) => ({ name, way }));
}
