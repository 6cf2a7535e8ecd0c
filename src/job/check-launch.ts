/** Faults of a guide tube and of an arm that is to come off a drum. */
import type { ArmDescription } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import type { OpenFault } from "./convert-arm.ts";
import type { ConvertedJob } from "./convert-job.ts";
import type { GuideTube } from "./model.ts";
import type { PathStep } from "./yaml-text.ts";

type AddFault = (at: readonly PathStep[], received: string, problem: string, hint: string) => void;

export function checkLaunch({ launch, port }: Pick<ConvertedJob, "launch" | "port">, arm: ArmDescription): OpenFault[] {
  if (launch === undefined) return [];
  const faults: OpenFault[] = [];
  const add: AddFault = (at, received, problem, hint) => {
    faults.push({ code: "job.launch", at: ["launch", ...at], received, problem, hint });
  };
  if (launch.drum && arm.drum === undefined)
    add(["from"], "drum", `is drum, and ${arm.name} has none.`, "Give the arm file a drum, or say from: straight.");
  const { tube } = launch;
  if (tube === undefined) return faults;
  if (tube.outside <= tube.bore)
    add(
      ["tube", "outside"],
      length(tube.outside),
      `is ${length(tube.outside)}, no more than its bore of ${length(tube.bore)}.`,
      "Give the tube a wall.",
    );
  if (tube.outside > port.bore)
    add(
      ["tube", "outside"],
      length(tube.outside),
      `is ${length(tube.outside)}, and the port's bore ${length(port.bore)}.`,
      "Take a thinner tube or a wider port.",
    );
  const thickest = Math.max(arm.tool.diameter, ...arm.sections.map((section) => section.outerDiameter));
  if (thickest >= tube.bore)
    add(
      ["tube", "bore"],
      length(tube.bore),
      `is ${length(tube.bore)}, and the arm or its tool is ${length(thickest)} thick.`,
      "Take a wider tube or a thinner arm.",
    );
  checkLine(tube, add);
  if (faults.length === 0) checkPassage(tube, port, add);
  return faults;
}

/** The tube, or the straight guide before it, comes in by the port: its centre line goes through the bore, from outside, and ends inside. */
function checkPassage({ points }: GuideTube, { centre, axis, bore, wall }: ConvertedJob["port"], add: AddFault): void {
  const along = axis.map((value) => value / Math.hypot(...axis));
  const depths = points.map(({ at }) => at.reduce((sum, value, r) => sum + (value - (centre[r] as number)) * (along[r] as number), 0));
  const last = points.length - 1;
  const end = depths[last] as number;
  if (end < -wall - 1e-9) {
    add(
      ["tube", "points", last],
      `point ${last + 1}`,
      `ends the tube ${length(-end)} outside the port.`,
      "Begin with the end where the arm enters, and let the tube end in the port or inside.",
    );
    return;
  }
  let nearest = Number.POSITIVE_INFINITY;
  let nearestRoom = 0;
  for (let k = 0; k < last; k++) {
    const [a, b] = [points[k] as Points[number], points[k + 1] as Points[number]];
    const [from, to] = [depths[k] as number, depths[k + 1] as number];
    // what ends within the wall goes on straight through it; the guide before the first point is straight
    const share = Math.abs(to - from) < 1e-12 ? Number.NaN : -from / (to - from);
    const low = k === 0 ? Number.NEGATIVE_INFINITY : -1e-9;
    const high = k + 1 === last ? Number.POSITIVE_INFINITY : 1 + 1e-9;
    if (!(to > from && share >= low && share <= high)) continue;
    const off = distance(
      a.at.map((value, r) => value + share * ((b.at[r] as number) - value)),
      centre,
    );
    // a rounded corner leaves the straight line by so much at the most
    const room = bore / 2 + Math.max(roundedBy(points, k), roundedBy(points, k + 1));
    if (off - room < nearest - nearestRoom) [nearest, nearestRoom] = [off, room];
  }
  if (nearest <= nearestRoom + 1e-9) return;
  add(
    ["tube", "points"],
    `${points.length} points`,
    Number.isFinite(nearest)
      ? `lead the tube in ${length(nearest)} beside the port's centre, and its bore is ${length(bore)}.`
      : "lead nowhere from outside through the port.",
    "Let the centre line go through the port from outside; check the order and the units of the points.",
  );
}

/** Corners must be apart, round, and leave each other room. */
function checkLine(tube: GuideTube, add: AddFault): void {
  const { points } = tube;
  const cuts = points.map((_, k) => cutAt(points, k));
  points.forEach((point, k) => {
    if (!Number.isFinite(cuts[k] as number)) {
      add(["tube", "points", k], `point ${k + 1}`, "turns the tube straight back.", "Leave the corner out, or put it elsewhere.");
    } else if (turnAt(points, k) > 1e-9 && point.bend < tube.outside / 2) {
      add(
        ["tube", "points", k, "bend"],
        length(point.bend),
        `is ${length(point.bend)}, less than half the tube.`,
        "Give the radius of the centre line round this corner.",
      );
    }
    const next = points[k + 1];
    if (next === undefined) return;
    const apart = distance(point.at, next.at);
    const taken = (cuts[k] as number) + (cuts[k + 1] as number);
    if (taken === Number.POSITIVE_INFINITY) return; // told at the corner
    if (apart === 0 || taken > apart * (1 + 1e-9))
      add(
        ["tube", "points", k + 1],
        `point ${k + 2}`,
        apart === 0
          ? "lies on the point before it."
          : `is ${length(apart)} from the point before it, and their bends take ${length(taken)} of that.`,
        "Move the points apart, or make the bends tighter.",
      );
  });
}

type Points = GuideTube["points"];

function turnAt(points: Points, k: number): number {
  const [before, here, after] = [points[k - 1], points[k], points[k + 1]];
  if (before === undefined || here === undefined || after === undefined) return 0;
  const u = here.at.map((value, r) => value - (before.at[r] as number));
  const v = after.at.map((value, r) => value - (here.at[r] as number));
  if (Math.hypot(...u) === 0 || Math.hypot(...v) === 0) return 0; // told as points on each other
  const dot = u.reduce((sum, value, r) => sum + value * (v[r] as number), 0);
  return Math.acos(Math.max(-1, Math.min(1, dot / (Math.hypot(...u) * Math.hypot(...v)))));
}

/** Length of a tube's centre line with its corners rounded, m. */
export function lengthOfTube({ points }: GuideTube): number {
  return points.reduce((sum, point, k) => {
    const before = points[k - 1];
    const turn = turnAt(points, k);
    const saved = turn < 1e-9 ? 0 : point.bend * (2 * Math.tan(turn / 2) - turn);
    return sum + (before === undefined ? 0 : distance(before.at, point.at)) - saved;
  }, 0);
}

/** How far a rounded corner is from its point at the most, m. */
function roundedBy(points: Points, k: number): number {
  const turn = turnAt(points, k);
  return turn < 1e-9 ? 0 : (points[k] as Points[number]).bend * (1 / Math.cos(turn / 2) - 1);
}

/** Length that rounding takes off either side of a corner, m; Infinity where the line turns straight back. */
function cutAt(points: Points, k: number): number {
  const turn = turnAt(points, k);
  if (turn > Math.PI - 1e-6) return Number.POSITIVE_INFINITY;
  return turn < 1e-9 ? 0 : (points[k] as Points[number]).bend * Math.tan(turn / 2);
}

function distance(a: readonly number[], b: readonly number[]): number {
  return Math.hypot(...a.map((value, r) => value - (b[r] as number)));
}

function length(value: number): string {
  return formatQuantity(value, "length", "metric");
}
