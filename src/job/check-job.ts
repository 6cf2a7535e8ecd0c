/** What no single value of a job can show: faults between values, found without any solver. */
import type { ArmDescription } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import type { Body } from "../space/index.ts";
import type { OpenFault } from "./convert-arm.ts";
import type { ConvertedJob } from "./convert-job.ts";

type Vector = readonly [number, number, number];

/** @returns every fault, with its place in the job file */
export function checkJob(job: ConvertedJob, arm: ArmDescription): OpenFault[] {
  const faults: OpenFault[] = [];
  checkPort(job, arm, faults);
  checkTarget(job, faults);
  checkNames(job.bodies, faults);
  job.bodies.forEach((body, k) => {
    checkBody(body, k, faults);
  });
  return faults;
}

function checkPort({ port }: ConvertedJob, arm: ArmDescription, faults: OpenFault[]): void {
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

function checkTarget({ port, target }: ConvertedJob, faults: OpenFault[]): void {
  const apart = distance(port.centre, target.place);
  if (apart < 1e-3) {
    faults.push({
      code: "job.target",
      at: ["target", "place"],
      problem: `is ${length(apart)} from the port's own centre.`,
      hint: "Give the place inside the machine that the tool has to come to.",
    });
  }
}

function checkNames(bodies: readonly Body[], faults: OpenFault[]): void {
  bodies.forEach((body, k) => {
    const first = bodies.findIndex((other) => other.name === body.name);
    if (first === k) return;
    faults.push({
      code: "job.body",
      at: ["bodies", k, "name"],
      problem: `is ${body.name}, as that of body ${first + 1}.`,
      hint: "Give each body a name of its own.",
    });
  });
}

function checkBody({ shape }: Body, k: number, faults: OpenFault[]): void {
  const add = (key: string, problem: string, hint: string, ...more: (string | number)[]): void => {
    faults.push({ code: "job.body", at: ["bodies", k, key, ...more], problem, hint });
  };
  if (shape.kind === "ring" && shape.bar >= shape.radius) {
    add("bar", `is ${length(2 * shape.bar)}, which closes a ring of ${length(2 * shape.radius)}.`, "Give a thinner bar or a wider ring.");
  }
  if (shape.kind === "plate" && 2 * shape.holeRadius >= Math.min(...shape.size)) {
    add("hole", `is ${length(2 * shape.holeRadius)}, as wide as the plate.`, "Give a smaller hole or a wider plate.");
  }
  if (shape.kind === "bore") {
    const { points } = shape;
    points.forEach((point, j) => {
      const end = j === 0 || j === points.length - 1;
      if (end && point.bend > 0)
        add("points", `is ${length(point.bend)} at an end of the line.`, "Only corners between two others are rounded.", j, "bend");
      const next = points[j + 1];
      if (next !== undefined && distance(point.at, next.at) < 1e-9) {
        add("points", "is where the point before it is.", "Move it or leave it away.", j + 1, "at");
      }
    });
    checkCorners(
      points.map((p) => p.at),
      points.map((p) => p.bend),
      k,
      faults,
    );
  }
}

/** The tangents of two rounded corners must not overlap on the straight between them. */
function checkCorners(at: readonly Vector[], bend: readonly number[], k: number, faults: OpenFault[]): void {
  const tangent = at.map((corner, j) => {
    const before = at[j - 1];
    const after = at[j + 1];
    if (before === undefined || after === undefined) return 0;
    const cosine = -dot(minus(before, corner), minus(after, corner)) / (distance(before, corner) * distance(after, corner));
    return (bend[j] as number) * Math.sqrt((1 - cosine) / (1 + cosine));
  });
  for (let j = 0; j + 1 < at.length; j++) {
    const there = distance(at[j] as Vector, at[j + 1] as Vector);
    const needed = (tangent[j] as number) + (tangent[j + 1] as number);
    if (!(needed > there * (1 + 1e-9))) continue;
    const corner = (tangent[j] as number) > (tangent[j + 1] as number) ? j : j + 1;
    faults.push({
      code: "job.body",
      at: ["bodies", k, "points", corner, "bend"],
      problem: `is ${length(bend[corner] as number)}, which needs ${length(needed)} of the ${length(there)} between points ${j + 1} and ${j + 2}.`,
      hint: "Give a smaller bend or move the points apart.",
    });
  }
}

function length(value: number): string {
  return formatQuantity(value, "length", "metric");
}

function minus(a: Vector, b: Vector): Vector {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function dot(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function distance(a: Vector, b: Vector): number {
  return Math.sqrt(dot(minus(a, b), minus(a, b)));
}
