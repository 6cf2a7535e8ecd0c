/** A job file in SI -> the machine's side of a Job: bodies, port, target, conditions, limits. */
import type { MeshData } from "../formats/index.ts";
import type { RollRule } from "../insertion/index.ts";
import type { Outside } from "../outside/index.ts";
import type { Fluid, Temperature } from "../rod/index.ts";
import type { Body, Port, Shape, Target, VanesShape, Zone } from "../space/index.ts";
import type { OpenFault } from "./convert-arm.ts";
import { convertMesh } from "./convert-mesh.ts";
import { convertOutside } from "./convert-outside.ts";
import { convertPlacement } from "./convert-placement.ts";
import { convertTargets } from "./convert-target.ts";
import { convertTouch } from "./convert-touch.ts";
import { convertKeepOuts, convertZones } from "./convert-zones.ts";
import type { ChangeKind, Conditions, JobLaunch, Limits } from "./model.ts";
import type { BodyFile, JobFile } from "./schema-job.ts";
import { unit } from "./unit-direction.ts";
import type { PathStep } from "./yaml-text.ts";

type FluidFile = Exclude<JobFile["conditions"]["fluid"], undefined | "dry">;
type Vector = readonly [number, number, number];

/** What stands for the target of a file that gives none; it is refused. */
const nowhere: Target = { name: "", kind: "look", place: [0, 0, 0], direction: [0, 0, 1], cone: 0, standOff: [0, 0], tolerance: 1 };

/** m/s^2, the conventional value (CGPM 1901) */
const standardGravity = 9.80665;

export interface ConvertedJob {
  readonly bodies: readonly Body[];
  /** [body] which entry of the file it is of: an entry whose file has several parts is several bodies */
  readonly entries: readonly number[];
  /** what was left out, in words */
  readonly leftOut: readonly string[];
  readonly port: Port;
  readonly target: Target;
  readonly visits?: readonly (readonly Target[])[];
  readonly conditions: Conditions;
  readonly limits: Limits;
  readonly zones?: readonly Zone[];
  readonly outside?: Outside;
  readonly launch?: JobLaunch;
  readonly roll?: RollRule;
  readonly mayChange?: readonly ChangeKind[];
  readonly otherPorts?: readonly Port[];
}

/**
 * @param meshOf  the mesh that body k names
 * @param faults  every direction without length and every key at odds with another is added
 */
export function convertJob(file: JobFile, meshOf: (body: number) => MeshData, faults: OpenFault[]): ConvertedJob {
  const { port, limits } = file;
  const visits = convertTargets(file, faults);
  const bodies: Body[] = [];
  const entries: number[] = [];
  const leftOut: string[] = [];
  file.bodies.forEach((body, k) => {
    const placed = { placement: convertPlacement(body), touch: convertTouch(body, ["bodies", k], faults) };
    const made =
      body.shape === "mesh"
        ? convertMesh(body, k, meshOf(k), placed, faults, leftOut)
        : [{ name: body.name, shape: convertShape(body, k, faults), ...placed, ...joinsOf(body) }];
    bodies.push(...made);
    entries.push(...made.map(() => k));
  });
  const keepOuts = convertKeepOuts(file, faults);
  return {
    bodies: [...bodies, ...keepOuts],
    entries: [...entries, ...keepOuts.map((_, k) => file.bodies.length + k)],
    leftOut,
    target: visits[0]?.[0] ?? nowhere,
    ...(visits.flat().length > 1 ? { visits } : {}),
    port: convertPort(port, ["port"], faults),
    ...(file["may-change"] === undefined ? {} : { mayChange: file["may-change"] }),
    ...(file["other-ports"] === undefined
      ? {}
      : { otherPorts: file["other-ports"].map((other, k) => convertPort(other, ["other-ports", k], faults)) }),
    conditions: convertConditions(file, faults),
    limits: {
      clearance: limits.clearance,
      sag: limits.sag,
      twist: limits.twist,
      ...(limits["dead-band"] === undefined ? {} : { deadBand: limits["dead-band"] }),
    },
    ...convertZones(file, faults),
    ...convertOutside(file, faults),
    ...(file.launch === undefined ? {} : { launch: convertLaunch(file.launch, port) }),
    ...(file.roll === undefined ? {} : { roll: convertRoll(file.roll, faults) }),
  };
}

function convertPort(port: JobFile["port"], at: readonly PathStep[], faults: OpenFault[]): Port {
  return {
    name: port.name,
    centre: port.centre,
    axis: unit(port.axis, [...at, "axis"], faults),
    bore: port.bore,
    wall: port.wall,
    placeTolerance: port["place-tolerance"],
    tiltTolerance: port["tilt-tolerance"],
  };
}

function convertLaunch({ from, tube }: NonNullable<JobFile["launch"]>, port: JobFile["port"]): JobLaunch {
  const drum = from === "drum";
  if (tube === undefined) return { drum };
  const exit = (tube.points[tube.points.length - 1] as (typeof tube.points)[number]).at;
  const away = Math.sqrt(exit.reduce((sum, value, k) => sum + (value - (port.centre[k] as number)) ** 2, 0));
  const tilt = port["tilt-tolerance"];
  return {
    drum,
    tube: {
      points: tube.points,
      bore: tube.bore,
      outside: tube.outside,
      placeTolerance: tube["place-tolerance"] ?? port["place-tolerance"] + tilt * away,
      tiltTolerance: tube["tilt-tolerance"] ?? tilt,
    },
  };
}

function joinsOf(body: BodyFile): Pick<Body, "joins"> {
  return "joins" in body && body.joins !== undefined ? { joins: body.joins } : {};
}

function convertRoll(roll: NonNullable<JobFile["roll"]>, faults: OpenFault[]): RollRule {
  const { carries, "winding-length": windingLength, "most-turns": mostTurns } = roll;
  if (carries === "cables" && windingLength === undefined) {
    faults.push({
      code: "shape.missing-key",
      at: ["roll", "winding-length"],
      problem: "is missing.",
      hint: "Say over which length the cables wind, from the pack that stands still to the arm's base.",
    });
  }
  if (carries === "pack" && windingLength !== undefined) {
    faults.push({
      code: "shape.count",
      at: ["roll", "winding-length"],
      problem: "is given where the pack rolls with the arm.",
      hint: "Take it away, or say carries: cables.",
    });
  }
  return {
    carries,
    ...(windingLength === undefined ? {} : { windingLength }),
    ...(mostTurns === undefined ? {} : { mostTurns }),
  };
}

function convertShape(body: Exclude<BodyFile, { shape: "mesh" }>, k: number, faults: OpenFault[]): Shape {
  switch (body.shape) {
    case "bore":
      return { kind: "bore", points: body.points.map((point) => ({ at: point.at, radius: point.radius, bend: point.bend })) };
    case "bend":
      return { kind: "bend", bendRadius: body["bend-radius"], boreRadius: body.bore / 2, angle: body.angle };
    case "reducer":
      return { kind: "reducer", radii: [body.diameters[0] / 2, body.diameters[1] / 2], length: body.length };
    case "tee": {
      const { run, branch } = body;
      const sizes = { runRadius: run.bore / 2, runLength: run.length, branchRadius: branch.bore / 2, branchLength: branch.length };
      return { kind: "tee", ...sizes, angle: branch.angle };
    }
    case "annulus":
      return { kind: "annulus", innerRadius: body.shaft / 2, outerRadius: body.casing / 2, length: body.length };
    case "sphere":
      return { kind: "sphere", radius: body.diameter / 2 };
    case "vanes":
      return convertVanes(body, k, faults);
    case "box":
      return { kind: "box", size: body.size };
    case "cylinder":
      return { kind: "cylinder", radius: body.diameter / 2, length: body.length };
    case "ring":
      return { kind: "ring", radius: body.diameter / 2, bar: body.bar / 2 };
    case "plate":
      return { kind: "plate", size: body.size, thickness: body.thickness, holeRadius: body.hole / 2 };
    case "tubes":
      return { kind: "tubes", radius: body.diameter / 2, length: body.length, places: tubePlaces(body, k, faults) };
  }
}

type VanesFile = Extract<BodyFile, { shape: "vanes" }>;

function convertVanes(body: VanesFile, k: number, faults: OpenFault[]): VanesShape {
  const { row, ring, count, chord, thickness, span, stagger, camber, pitch } = body;
  const add = (key: PathStep, problem: string, hint: string): void => {
    faults.push({ code: "job.body", at: ["bodies", k, key], problem, hint });
  };
  if (row === "straight" && ring !== undefined)
    add("ring", "is given with row: straight.", "Take it away, or say row: radial or row: axial.");
  if (row !== "straight" && ring === undefined)
    add("ring", `is missing with row: ${row}.`, "Give the diameter of the circle the vanes stand on.");
  if (row === "straight" && pitch === undefined && count > 1)
    add("pitch", "is missing.", "Give the distance between neighbours of a straight row.");
  const radius = row === "straight" ? 0 : (ring ?? 1) / 2;
  return {
    kind: "vanes",
    row,
    count,
    chord,
    thickness,
    span,
    stagger,
    camber,
    // a fault stands for whatever is missing: any sound number will do
    pitch: pitch ?? (row === "straight" ? 2 * (chord + thickness) : (2 * Math.PI * radius) / count),
    radius,
  };
}

type TubesFile = Extract<BodyFile, { shape: "tubes" }>;

/** Places given one by one, or rows about the origin. */
function tubePlaces(body: TubesFile, k: number, faults: OpenFault[]): readonly (readonly [number, number])[] {
  const { places, rows } = body;
  if ((places === undefined) === (rows === undefined)) {
    faults.push({
      code: "job.body",
      at: ["bodies", k, "rows"],
      problem: places === undefined ? "is missing, and so is places." : "is given beside places.",
      hint: "Give the tubes either as rows or place by place.",
    });
  }
  if (rows === undefined) return places ?? [];
  const rise = rows.staggered ? (rows.pitch * Math.sqrt(3)) / 2 : rows.pitch;
  const made: [number, number][] = [];
  for (let row = 0; row < rows.count; row++) {
    const aside = rows.staggered && row % 2 === 1 ? rows.pitch / 2 : 0;
    for (let tube = 0; tube < rows.tubes; tube++) {
      made.push([(tube - (rows.tubes - 1) / 2) * rows.pitch + aside, (row - (rows.count - 1) / 2) * rise]);
    }
  }
  return made;
}

function convertConditions(file: JobFile, faults: OpenFault[]): Conditions {
  const gravity = convertGravity(file, faults);
  const { fluid } = file.conditions;
  const temperature = convertTemperature(file, faults);
  return {
    gravity,
    ...(fluid === undefined ? {} : { fluid: fluid === "dry" ? "dry" : convertFluid(fluid, gravity, faults) }),
    ...(temperature === undefined ? {} : { temperature }),
    ...(file.conditions["wall-friction"] === undefined ? {} : { wallFriction: file.conditions["wall-friction"] }),
    ...(file.conditions["feed-rate"] === undefined ? {} : { feedRate: file.conditions["feed-rate"] }),
    ...(file.conditions.stay === undefined ? {} : { stay: file.conditions.stay }),
  };
}

function convertTemperature({ conditions }: JobFile, faults: OpenFault[]): Temperature | undefined {
  const { temperature: arm, "outside-temperature": conduit, "set-up-temperature": setUp } = conditions;
  if (arm !== undefined) return { setUp, arm, ...(conduit === undefined ? {} : { conduit }) };
  if (conduit !== undefined) {
    faults.push({
      code: "job.temperature",
      at: ["conditions", "outside-temperature"],
      problem: "is given without temperature.",
      hint: "Give the temperature in the machine too, or take this one away.",
    });
  }
  return undefined;
}

/** A surface lies across gravity. A current of nothing is none. */
function convertFluid(fluid: FluidFile, gravity: Vector, faults: OpenFault[]): Fluid {
  const { density, surface, within, current, "drag-coefficient": dragCoefficient } = fluid;
  const size = Math.sqrt(gravity.reduce((sum, value) => sum + value * value, 0));
  if (surface !== undefined && !(size > 0)) {
    faults.push({
      code: "job.fluid",
      at: ["conditions", "fluid", "surface"],
      problem: "is given where gravity is 0, and nothing says which way is up.",
      hint: "Take the surface away, or give a gravity.",
    });
  }
  return {
    density,
    ...(surface === undefined ? {} : { surface: { at: surface, up: gravity.map((value) => -value / size) as unknown as Vector } }),
    ...(within === undefined ? {} : { within: { ...convertPlacement(within), size: within.size } }),
    ...(current === undefined || current.every((value) => value === 0) ? {} : { current: { velocity: current, dragCoefficient } }),
  };
}

function convertGravity(file: JobFile, faults: OpenFault[]): Vector {
  const { gravity, "gravity-direction": direction } = file.conditions;
  if (gravity !== undefined && direction !== undefined) {
    faults.push({
      code: "job.direction",
      at: ["conditions", "gravity-direction"],
      problem: "is given beside gravity.",
      hint: "Keep the direction alone (with standard gravity) or the vector alone.",
    });
  }
  if (gravity !== undefined) return gravity;
  const down = direction === undefined ? ([0, 0, -1] as const) : unit(direction, ["conditions", "gravity-direction"], faults);
  return [down[0] * standardGravity, down[1] * standardGravity, down[2] * standardGravity];
}
