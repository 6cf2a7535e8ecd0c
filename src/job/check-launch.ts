/** Faults of a guide tube and of an arm that is to come off a drum. */
import type { ArmDescription } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import type { OpenFault } from "./convert-arm.ts";
import type { ConvertedJob } from "./convert-job.ts";
import type { GuideTube } from "./model.ts";
import type { PathStep } from "./yaml-text.ts";

export function checkLaunch({ launch, port }: Pick<ConvertedJob, "launch" | "port">, arm: ArmDescription): OpenFault[] {
  if (launch === undefined) return [];
  const faults: OpenFault[] = [];
  const add = (at: readonly PathStep[], received: string, problem: string, hint: string): void => {
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
  return faults;
}

/** Corners must be apart, round, and leave each other room. */
function checkLine(tube: GuideTube, add: (at: readonly PathStep[], received: string, problem: string, hint: string) => void): void {
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
