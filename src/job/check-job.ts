/** What no single value of a job can show: faults between values, found without any solver. */
import type { ArmDescription } from "../arm/index.ts";
import { type Fault, formatQuantity } from "../base/index.ts";
import { checkBodies, type Target } from "../space/index.ts";
import { checkLaunch, lengthOfTube } from "./check-launch.ts";
import type { OpenFault } from "./convert-arm.ts";
import type { ConvertedJob } from "./convert-job.ts";
import { pathsOf } from "./convert-target.ts";
import type { JobFile } from "./schema-job.ts";
import { type PathStep, parsePath } from "./yaml-text.ts";

type Vector = readonly [number, number, number];

type Machine = Omit<ConvertedJob, "entries" | "leftOut">;

/**
 * @param entries [body] which entry of the file it is of
 * @returns every fault, with its place in the job file
 */
export function checkJob(job: Machine, entries: readonly number[], file: JobFile, arm: ArmDescription): OpenFault[] {
  const faults: OpenFault[] = [];
  faults.push(...checkArmInJob(job, file["guide-length"], arm));
  const paths = pathsOf(file);
  (job.visits?.flat() ?? [job.target]).forEach((target, k) => {
    checkTarget(job.port, target, paths[k] ?? ["target"], faults);
  });
  faults.push(...checkBodies(job.bodies).map((fault) => placeBodyFault(fault, entries, file)));
  return faults;
}

/** What depends on the arm: another one can be held against the same job. */
export function checkArmInJob(job: Pick<Machine, "port" | "launch">, guideLength: number, arm: ArmDescription): OpenFault[] {
  const faults: OpenFault[] = [];
  checkPort(job, arm, faults);
  checkGrip(guideLength, arm, faults);
  const launch = checkLaunch(job, arm);
  faults.push(...launch);
  if (launch.length === 0) checkReach(job, guideLength, arm, faults);
  return faults;
}

/** What guide and tube hold of an arm does not come out of them. */
function checkReach({ launch }: Pick<Machine, "launch">, guideLength: number, arm: ArmDescription, faults: OpenFault[]): void {
  const whole = arm.sections.reduce((sum, section) => sum + section.spans * section.pitch, arm.tool.length);
  const tube = launch?.tube === undefined ? 0 : lengthOfTube(launch.tube);
  // passes too where something is not finite: that is told where it stands
  if (!(whole <= guideLength + tube)) return;
  const ofTube = tube > guideLength;
  faults.push({
    code: ofTube ? "job.launch" : "job.guide",
    at: ofTube ? ["launch", "tube", "points"] : ["guide-length"],
    received: length(ofTube ? tube : guideLength),
    problem:
      tube === 0
        ? `is ${length(guideLength)}, and the arm with its tool ${length(whole)}: nothing of it comes out.`
        : `${ofTube ? "make" : "makes"} guide and tube ${length(guideLength + tube)} long, and the arm with its tool is ${length(whole)}: nothing of it comes out.`,
    hint: "Take a longer arm or a shorter guide; check the units.",
  });
}

function checkPort({ port }: Pick<Machine, "port">, arm: ArmDescription, faults: OpenFault[]): void {
  const thickest = Math.max(0, ...arm.sections.map((section) => section.outerDiameter));
  const through: readonly (readonly [string, number])[] = [
    ["arm", thickest],
    ["tool", arm.tool.diameter],
  ];
  for (const [what, diameter] of through) {
    if (diameter < port.bore) continue;
    faults.push({
      code: "job.port",
      at: ["port", "bore"],
      received: length(port.bore),
      problem: `is ${length(port.bore)}, and the ${what} is ${length(diameter)} thick.`,
      hint: `Take a thinner ${what} or a wider port.`,
    });
  }
}

/** A guide grips an arm over no more than its own length: a longer grip would tell too little tilt. */
function checkGrip(guideLength: number, { base }: ArmDescription, faults: OpenFault[]): void {
  if (base?.guideGrip === undefined || base.guideGrip <= guideLength * (1 + 1e-9)) return;
  faults.push({
    code: "job.guide",
    at: ["guide-length"],
    received: length(guideLength),
    problem: `is ${length(guideLength)}, and the arm's base.guide-grip is ${length(base.guideGrip)}.`,
    hint: "Give a guide as long as the grip, or the length over which this guide grips the arm.",
  });
}

function checkTarget(port: ConvertedJob["port"], target: Target, at: readonly PathStep[], faults: OpenFault[]): void {
  const apart = distance(port.centre, target.place);
  if (apart < 1e-3) {
    faults.push({
      code: "job.target",
      at: [...at, "place"],
      problem: `is ${length(apart)} from the port's own centre.`,
      hint: "Give the place inside the machine that the tool has to come to.",
    });
  }
}

/** What the space finds in its bodies, at the keys of the file. */
function placeBodyFault({ path, ...fault }: Fault, entries: readonly number[], file: JobFile): OpenFault {
  const [, index = "", field = ""] = /^bodies\[(\d+)\]\.(.*)$/.exec(path) ?? [];
  const k = entries[Number(index)] ?? 0;
  const keys: Record<string, PathStep> = {
    "placement.at": "at",
    "placement.rotation": "turn",
    "touch.standOff": "stand-off",
    "touch.force": "touch-force",
    corners: "file",
    holeRadius: "hole",
    bendRadius: "bend-radius",
    boreRadius: "bore",
    innerRadius: "shaft",
    outerRadius: "casing",
  };
  const body = file.bodies[k];
  if (body === undefined) return { ...fault, at: placeZoneFault(field, k - file.bodies.length, file) };
  const inTee = {
    runRadius: ["run", "bore"],
    runLength: ["run", "length"],
    branchRadius: ["branch", "bore"],
    branchLength: ["branch", "length"],
  };
  if (body?.shape === "tee" && Object.hasOwn(inTee, field)) return { ...fault, at: ["bodies", k, ...inTee[field as keyof typeof inTee]] };
  if (body?.shape === "tee" && field === "angle") return { ...fault, at: ["bodies", k, "branch", "angle"] };
  if (body?.shape === "vanes" && field === "radius") return { ...fault, at: ["bodies", k, "ring"] };
  if (field.startsWith("radii")) return { ...fault, at: ["bodies", k, ...(parsePath(field.replace("radii", "diameters")) ?? [])] };
  if (field === "radius") return { ...fault, at: ["bodies", k, "diameter"] };
  if (field.startsWith("places") && body?.shape === "tubes" && body.places === undefined) return { ...fault, at: ["bodies", k, "rows"] };
  return { ...fault, at: ["bodies", k, ...(keys[field] === undefined ? (parsePath(field) ?? []) : [keys[field]])] };
}

/** A keep-out zone is a body after those of the file. */
function placeZoneFault(field: string, keepOut: number, { zones = [] }: JobFile): PathStep[] {
  const index = zones.flatMap((zone, k) => (zone.kind === "keep-out" ? [k] : []))[keepOut] as number;
  const keys: Record<string, string> = {
    "placement.at": "at",
    "placement.rotation": "turn",
    "touch.standOff": "stand-off",
    radius: "diameter",
  };
  return ["zones", index, ...(keys[field] === undefined ? (parsePath(field) ?? []) : [keys[field]])];
}

function length(value: number): string {
  return formatQuantity(value, "length", "metric");
}

function distance(a: Vector, b: Vector): number {
  return Math.sqrt((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2);
}
