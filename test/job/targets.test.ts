/** Targets of a job file: one, several, others that would do, and what is refused. */
import { expect, test } from "vitest";
import { InputError } from "../../src/base/index.ts";
import { type Job, loadJob } from "../../src/job/index.ts";
import { exampleFile } from "./example.ts";

const files = new Map(["job.yaml", "arm.yaml"].map((file) => [file, exampleFile("water-box", file)]));
const text = new TextDecoder().decode(files.get("job.yaml"));
const start = text.indexOf("\ntarget:");
const end = text.indexOf("\nconditions:");

function load(targets: string): Job {
  const changed = new Map(files).set("job.yaml", new TextEncoder().encode(`${text.slice(0, start)}\n${targets}${text.slice(end)}`));
  const answer = loadJob("job.yaml", changed);
  if (answer.kind !== "job") throw new Error("all files are given");
  return answer.job;
}

function faultsOf(targets: string): string[] {
  try {
    load(targets);
  } catch (error) {
    if (error instanceof InputError) return error.faults.map((fault) => `${fault.code} ${fault.path}`);
    throw error;
  }
  return [];
}

const place = "place: [6 mm, 60 mm, -345 mm], aim: [-0.8, 0.15, -0.58], stand-off: 40 mm .. 80 mm";

test("one target is one target, and nothing else", () => {
  const job = load(`target: { task: look, ${place}, indication: 0.5 mm, most-tilt: 50 deg, normal: [2, 0, 0] }`);
  expect(job.visits).toBeUndefined();
  expect(job.target).toMatchObject({ indication: 5e-4, normal: [1, 0, 0] });
  expect(job.target.mostTilt).toBeCloseTo((50 * Math.PI) / 180, 12);
});

test("several, one with another that would do, and patches", () => {
  const job = load(`targets:
  - { name: a, task: look, ${place}, patch: { radius: 20 mm } }
  - { name: b, task: touch, ${place}, patch: { size: [10 mm, 20 mm], along: [0, 0, 3] }, or: [{ name: c, task: measure, ${place}, most-tilt: 10 deg }] }`);
  expect(job.visits?.map((choices) => choices.map((target) => target.name))).toEqual([["a"], ["b", "c"]]);
  expect(job.target).toBe(job.visits?.[0]?.[0]);
  expect(job.target.patch).toEqual({ radius: 0.02 });
  expect(job.visits?.[1]?.[0]?.patch).toEqual({ size: [0.01, 0.02], along: [0, 0, 1] });
});

test.each([
  ["no target", "", ["shape.missing-key target"]],
  ["target and targets", `target: { task: look, ${place} }\ntargets: [{ name: b, task: look, ${place} }]`, ["shape.count targets"]],
  ["two of one name", `targets: [{ name: b, task: look, ${place} }, { name: b, task: look, ${place} }]`, ["job.target targets[1].name"]],
  ["an indication to touch", `target: { task: touch, ${place}, indication: 1 mm }`, ["job.target target.indication"]],
  ["pixels of nothing", `target: { task: look, ${place}, indication-pixels: 4 }`, ["job.target target.indication-pixels"]],
  ["a normal to nowhere", `targets: [{ task: look, ${place}, normal: [0, 0, 0] }]`, ["job.direction targets[0].normal"]],
] as const)("%s", (_, targets, faults) => {
  expect(faultsOf(targets)).toEqual(faults);
});
