/** How near the guide tube comes to the bodies it passes, and the room that the arm has in it. */
import { frameBehind, leastTubeRadius, tubeLength } from "../insertion/index.ts";
import { createSpaceAnswer, createSpaceWork, sampleSpace } from "../space/index.ts";
import type { TubeFact } from "../verdict/index.ts";
import type { PlanModel } from "./model.ts";

/** Between two samples of the tube's line its distance falls by half a step at the most; that is taken off. m */
const step = 0.5e-3;

/** @returns undefined where there is no tube */
export function measureTube({ job, launch, port, space, need }: PlanModel): TubeFact | undefined {
  const tube = job.launch?.tube;
  if (launch === undefined || tube === undefined) return undefined;
  const length = tubeLength(launch.tube);
  const count = Math.ceil(length / step) + 1;
  const frame = new Float64Array(12);
  const points = new Float64Array(3 * count);
  for (let k = 0; k < count; k++) {
    frameBehind(launch, port, (k * length) / (count - 1), frame);
    points.set(frame.subarray(9, 12), 3 * k);
  }
  const answer = createSpaceAnswer(count);
  sampleSpace(space, points, count, Number.POSITIVE_INFINITY, answer, createSpaceWork(space));
  let nearest = 0;
  for (let k = 1; k < count; k++) if ((answer.distance[k] as number) < (answer.distance[nearest] as number)) nearest = k;
  const body = answer.body[nearest] as number;
  const { sections, tool } = job.arm;
  const radius = leastTubeRadius(launch.tube);
  const rooms = [
    { what: tool.name, diameter: tool.diameter, length: tool.length },
    ...sections.map((section, j) => ({
      what: `a vertebra of section ${j + 1}`,
      diameter: section.outerDiameter,
      length: section.pitch - section.flexible,
    })),
  ];
  const tightest = rooms
    .map((part) => ({ ...part, takes: takenBy(part.diameter, part.length, radius) }))
    .reduce((most, part) => (part.takes > most.takes ? part : most));
  return {
    bore: tube.bore,
    radius,
    takes: tightest.takes,
    by: tightest.what,
    clearance: (answer.distance[nearest] as number) - tube.outside / 2 - step / 2 + (body < 0 ? 0 : (need[body] as number)),
    body,
    place: [points[3 * nearest] as number, points[3 * nearest + 1] as number, points[3 * nearest + 2] as number],
  };
}

/**
 * Bore of a round bend through which a stiff cylinder passes: it leans on the inner wall in its middle and on the outer wall with its ends,
 * (R + D/2)^2 = (R - D/2 + d)^2 + (l/2)^2. @see docs/sources.md#coil
 *
 * @param radius of the bend's centre line, m
 */
export function takenBy(diameter: number, length: number, radius: number): number {
  return diameter + length ** 2 / (4 * (2 * radius + diameter));
}
