/** Margins of the guide tube that the arm comes through: room for what is stiff in its bends, and its own distance from the bodies. */
import { formatQuantity } from "../base/index.ts";
import type { Facts } from "./facts.ts";
import { mm } from "./places.ts";
import type { Draft } from "./rows.ts";

/** Plain data. */
export interface TubeFact {
  /** inside diameter and least radius of the centre line, m */
  readonly bore: number;
  readonly radius: number;
  /** bore that the stiffest and thickest part needs to pass, m, and what it is */
  readonly takes: number;
  readonly by: string;
  /** guaranteed least distance of its outer wall from anything, stand-off taken off, m; nearest body (-1: none) and place on its line, m, world */
  readonly clearance: number;
  readonly body: number;
  readonly place: readonly [number, number, number];
}

export function guideRows({ tube, bodies, need }: Facts): Draft[] {
  if (tube === undefined) return [];
  const asked = tube.body < 0 ? 0 : (need[tube.body] as number);
  return [
    {
      id: "guide-room",
      title: "Room in the guide tube",
      unit: "m",
      demand: tube.takes,
      limit: tube.bore,
      use: tube.takes / tube.bore,
      warnAbove: 0.97,
      where: {},
      whereSays: `${tube.by} in the tightest bend`,
      note: Number.isFinite(tube.radius)
        ? `Bore that a stiff cylinder of its length and diameter needs round a bend of ${formatQuantity(tube.radius, "length", "metric", 3)}; joints give more room, dirt and burrs less.`
        : "The tube is straight.",
      certain: true,
    },
    {
      id: "guide-clearance",
      title: "Clearance of the guide tube",
      unit: "m",
      demand: asked,
      limit: tube.clearance,
      use: tube.clearance > 0 ? asked / tube.clearance : Number.POSITIVE_INFINITY,
      where: { place: tube.place, ...(tube.body < 0 ? {} : { body: tube.body }) },
      whereSays: tube.body < 0 ? "nothing is near" : `to ${bodies[tube.body]?.name}, ${mm(tube.clearance)} from its outer wall`,
      note: "As it lies; how the tube itself is brought in and held there is not computed.",
      certain: true,
    },
  ];
}

export function assumeGuide({ tube }: Facts): string[] {
  if (tube === undefined) return [];
  return [
    "The guide tube stands still and keeps its shape; the arm lies on its centre line there, and turns in it as one piece when its base rolls.",
  ];
}
