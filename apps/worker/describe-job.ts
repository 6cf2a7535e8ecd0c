/** A job as the page draws it: every body as triangles near the origin, the arm as sizes and places. */
import type { Job } from "../../src/job/index.ts";
import { tubeLine } from "../../src/plan/index.ts";
import { type Body, drawBody, isPipe } from "../../src/space/index.ts";
import { describeArm } from "./describe-arm.ts";
import type { ArmField, BodyPicture, JobPicture } from "./protocol.ts";

/** @param armFile the input that the bodies do not depend on */
export function describeJob(
  job: Job,
  armFile: string,
  fields: readonly ArmField[],
  sectionFields: readonly (readonly ArmField[])[],
): JobPicture {
  const drawn = job.bodies.map((body) => drawBody(body, job.bodies));
  const bounds = boundsOf(drawn, job.port.centre, ...targetsOf(job).flatMap((choices) => choices.map((target) => target.place)));
  const origin = [0, 1, 2].map((k) => 0.5 * ((bounds[k] as number) + (bounds[k + 3] as number))) as unknown as JobPicture["origin"];
  return {
    name: job.name,
    origin,
    bounds,
    bodies: job.bodies.map((body, i) => describeBody(body, drawn[i] as Float64Array, origin)),
    space: job.inputs.flatMap((input) => (input.file === armFile ? [] : [`${input.file} ${input.hash}`])).join("\n"),
    port: job.port,
    target: job.target,
    targets: targetsOf(job),
    limits: job.limits,
    guideLength: job.guideLength,
    ...(job.launch?.tube === undefined ? {} : { tube: { points: tubeLine(job.launch.tube), bore: job.launch.tube.bore } }),
    gravity: job.conditions.gravity,
    ...(typeof job.conditions.fluid === "object" ? { fluid: job.conditions.fluid } : {}),
    arm: describeArm(job.arm),
    fields,
    sectionFields,
    remarks: job.remarks,
    inputs: job.inputs,
  };
}

function targetsOf(job: Job): JobPicture["targets"] {
  return job.visits ?? [[job.target]];
}

/** The buffers of a picture that can be handed over instead of copied. */
export function buffersOf(picture: JobPicture): ArrayBuffer[] {
  return picture.bodies.map((body) => body.corners.buffer as ArrayBuffer);
}

function describeBody(body: Body, corners: Float64Array, origin: readonly number[]): BodyPicture {
  const near = new Float32Array(corners.length);
  for (let i = 0; i < corners.length; i++) near[i] = (corners[i] as number) - (origin[i % 3] as number);
  return {
    name: body.name,
    corners: near,
    solid: body.shape.kind !== "mesh" && !isPipe(body.shape),
    ...(body.zone === undefined ? {} : { unseen: true }),
    touch: body.touch.kind,
    keep: body.touch.kind === "never" ? body.touch.standOff : 0,
  };
}

function boundsOf(drawn: readonly Float64Array[], ...points: readonly (readonly number[])[]): Float64Array {
  const bounds = Float64Array.of(Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity);
  for (const corners of [...drawn, ...points]) {
    for (let i = 0; i < corners.length; i++) {
      const k = i % 3;
      const value = corners[i] as number;
      if (value < (bounds[k] as number)) bounds[k] = value;
      if (value > (bounds[k + 3] as number)) bounds[k + 3] = value;
    }
  }
  return bounds;
}
