/** What a run sheet says around its holds: the machine's state, limits, times. */
import type { ArmModel } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import type { DriveTable } from "../drive/index.ts";
import type { Job } from "../job/index.ts";
import type { PlanResult } from "../plan/index.ts";
import type { Hold } from "./list-holds.ts";
import { keepUnits, type Measures, say } from "./measure.ts";
import { type Page, table, tag } from "./page.ts";
import { sayTime } from "./tell-hold.ts";
import type { FilledSheet } from "./tell-sheet.ts";

/** What the plan took for granted of the machine, to be seen with one's own eyes. */
export function machineState(job: Job): string[] {
  const { fluid, temperature } = job.conditions;
  return [
    "Isolated and locked out; every key with the person named on the permit.",
    fluid === undefined
      ? "Drained, or as full as the owner's engineer allows: the plan does not say what is in it."
      : fluid === "dry"
        ? "Drained and dry: the plan counts on it."
        : `Filled with a fluid of ${formatQuantity(fluid.density, "density", "metric", 4)}${fluid.current === undefined ? ", standing still" : ""}, as the plan counts on; nothing can move it.`,
    temperature === undefined
      ? "Cold: the plan says nothing of temperature, and takes the arm as it was set up."
      : `Between ${formatQuantity(temperature.arm[0], "temperature", "metric", 3)} and ${formatQuantity(temperature.arm[1], "temperature", "metric", 3)} where the arm goes.`,
    "No stored pressure, nothing above that can fall; atmosphere measured; nothing turns.",
    `Port open and clean: ${job.port.name}, bore ${formatQuantity(job.port.bore, "length", "metric", 3)}.`,
  ];
}

/** Each limit once, with what to do. */
export function tellTurnBack(
  page: Page,
  job: Job,
  arm: ArmModel,
  result: PlanResult,
  drives: DriveTable,
  { length, force }: Measures,
): HTMLElement {
  const load = Math.min(...arm.workingLoad.filter((value) => value > 0));
  const feeds = drives.rows.map((row) => Math.abs(row.feedForce));
  const feed = Math.max(0, ...feeds);
  const limit = job.arm.drives?.feed?.force;
  const tight = result.verdict.rows.find((row) => row.id === "clearance");
  const allowed = Math.min(limit ?? Number.POSITIVE_INFINITY, 2 * feed + 5);
  const may = job.bodies.filter(({ touch }) => touch.kind !== "never").map(({ name }) => name);
  const rows: [string, string][] = [
    [`A pull outside its band at a hold`, "Stop. Wait and read again. Still outside: back one hold, the way you came."],
    [`A pull above ${say(load, force)} anywhere (the weakest cable's working load)`, "Stop at once. Back one hold. If it does not fall: out."],
    ["A pull that falls to nothing where the plan has one (a cable slack or broken)", "Stop. Do not feed on. Draw out slowly, watching the other cables."],
    [`Touch of anything${may.length === 0 ? "" : ` but ${may.join(", ")}`}`, "Stop. Back until it is free; compare picture and roll with the hold before. Twice at one place: out."],
    [`Feed force above ${say(allowed, force)} (the plan never takes more than ${say(feed, force)})`, "Stop. Never push on: something holds the arm."],
    ["The picture is not the expected one, or is lost", "Stop. No picture for a minute: out, by the plan's own steps."],
    [
      tight === undefined || !Number.isFinite(tight.limit) ? "Nearer to a wall than the plan says" : `Nearer to a wall than the plan's least clearance (${say(tight.limit, length)}, ${keepUnits(tight.whereSays)})`,
      "Stop. Trim by the camera; if that does not help, back one hold.",
    ],
    ["Power, link or a drive lost", "Brakes hold. Nobody pulls by hand. Say so, wait for the engineer."],
    ...ifItFails(result, length, force),
  ]; // biome-ignore format: one limit a line
  return table(page, "", ["What is seen", "What to do"], rows, [], "stop");
}

/** Time of the first swing after a stop, s: middle, and the most its damping may make of it; undefined where it is not known. */
export function settlingOf(filled: FilledSheet | undefined): { readonly usual: number; readonly most: number } | undefined {
  const swing = filled?.sheet.stands === true ? filled.sheet.swing : undefined;
  return swing?.found === true && Number.isFinite(swing.settling) ? { usual: swing.settling, most: swing.settlingMost } : undefined;
}

/** A look at a hold, and setting up and packing away, when the job does not say (common practice, no source), s. */
const usual = { look: 60, setUp: 1800, pack: 900 } as const;

export function tellTimes(
  page: Page,
  job: Job,
  { ways }: DriveTable,
  holds: readonly Hold[],
  settling: { readonly usual: number; readonly most: number } | undefined,
): HTMLElement[] {
  const moving = ways.map(({ way, time, timeAsked }): [string, number, string] => [
    `Moving, way ${way}`,
    time,
    Number.isNaN(time)
      ? "the job gives no feed-rate"
      : time > 1.005 * timeAsked
        ? `at the rate asked for it would be ${sayTime(timeAsked)}: a drive holds it up`
        : "at the feed rate of the plan",
  ]);
  const rows: [string, number, string][] = [
    ["Setting up, straightening, counting", usual.setUp, "usual; write your own"],
    ...moving,
    [`Settling at ${holds.length} holds`, holds.length * (settling?.most ?? Number.NaN), settling === undefined ? "the first swing was not found" : `first swing within 2 %: ${seconds(settling.usual)} a stop, ${seconds(settling.most)} at most`],
    [`Looking and signing at ${holds.length} holds`, holds.length * usual.look, `${sayTime(usual.look)} each, usual`],
    ["Tool changes", 0, `none: the job has one tool (${job.arm.tool.name}); a change is a whole way out and in again`],
    ["Drawing out the tool, counting, packing away", usual.pack, "usual; write your own"],
  ]; // biome-ignore format: one part a line
  const known = rows.filter(([, value]) => !Number.isNaN(value));
  const sum = known.reduce((all, [, value]) => all + value, 0);
  const more = known.length < rows.length ? " and what is not known" : "";
  return [
    table(
      page,
      "",
      ["What", "Time", "From"],
      [...rows.map(([what, value, from]) => [what, Number.isNaN(value) ? "not known" : sayTime(value), from]), ["In all, without the work at the target", `${sayTime(sum)}${more}`, ""]],
      [1],
    ),
    tag(page, "p", { class: "soft" }, "\u201cUsual\u201d is common practice, not computed. The work at the target comes on top."),
  ]; // biome-ignore format: one table
}

function seconds(value: number): string {
  return Number.isFinite(value) ? `${Number(value.toPrecision(2))} s` : "not known";
}

/** What the plan found of failures, where it looked. */
function ifItFails({ verdict }: PlanResult, length: Measures["length"], force: Measures["force"]): [string, string][] {
  const failures = { "cable-broken": "A cable breaks", "drive-stalled": "A drive stalls", "power-lost": "All power is lost" };
  const told = Object.entries(failures).flatMap(([id, what]): [string, string][] => {
    const row = verdict.rows.find((one) => one.id === id);
    if (row === undefined || Number.isNaN(row.limit)) return [];
    const how = Number.isFinite(row.limit)
      ? `The plan draws it out from depths down to ${say(row.limit, length, 0)}. Deeper: stop, hold all drives, call the engineer.`
      : "The plan draws it out from every depth: slowly, by the plan's own steps, watching pulls and picture.";
    return [[what, how]];
  });
  const pull = verdict.rows.find((row) => row.id === "pull-out");
  if (pull !== undefined && Number.isFinite(pull.limit))
    told.push([
      "It has to be pulled out",
      `The plan needs ${say(pull.demand, force)} at its weakest part, which gives way at ${say(pull.limit, force)}. Never pull by hand alone.`,
    ]);
  return told;
}
