/** Several targets, or one of several; and what the tool sees of each. */
import type { Job } from "../job/index.ts";
import type { PlanResult, Visit } from "../plan/index.ts";
import type { SightFact } from "../verdict/index.ts";
import { keepUnits, type Measures, say, sayPlace, sayRough } from "./measure.ts";
import { bullets, type Child, facts, type Page, table, tag } from "./page.ts";

/** The job and the result of one visit alone, for pictures and tables that are of one target. */
export function visitAlone(job: Job, result: PlanResult, visit: Visit): { job: Job; result: PlanResult } {
  const target = (job.visits ?? [[job.target]])[visit.written]?.[visit.choice] ?? job.target;
  const { place } = visit.route;
  const { route, wayIn, wayOut, sweep, verdict } = visit;
  return {
    job: { ...job, target: place === undefined ? target : { ...target, place } },
    result: { ...result, route, wayIn, wayOut, sweep, verdict },
  };
}

/** The targets by name, as a sentence takes them. */
export function nameTargets(job: Job, result: PlanResult): string {
  const names = result.visits?.map((visit) => visit.target) ?? [job.target.name];
  return names.length < 2 ? (names[0] ?? job.target.name) : `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}

/** Nothing where the plan is of one target alone. */
export function tellVisits(page: Page, result: PlanResult, measures: Measures): HTMLElement[] {
  const { visits } = result;
  if (visits === undefined) return [];
  const rows = visits.map((visit, k): Child[] => [
    `${k + 1} ${visit.target}`,
    visit.verdict.answer,
    visit.wayIn.length === 0
      ? "not reached"
      : visit.from === undefined
        ? "from the port"
        : `gone on to from ${sayRough(visit.from, measures.length)} of depth`,
    sayRough(visit.cost.feed, measures.length),
    say(visit.cost.turning, measures.angle),
    keepUnits(visit.verdict.says),
  ]);
  const heads = ["Target", "Answer", "How it is come to", "Feed", "Turning of bends and base", "Says"];
  const open = visits.filter((visit) => visit.choices.length > 1);
  return [
    table(page, "Targets in the order visited (simulated)", heads, rows, [3, 4]),
    ...open.flatMap((visit) => [
      tag(page, "h3", {}, `Instead of ${visit.target}`),
      bullets(
        page,
        visit.choices.map((choice) => `${choice.target}${choice.taken ? " (taken)" : ""}: ${keepUnits(choice.says)}`),
      ),
    ]),
  ];
}

/** What the tool sees of its target, or of each of them. */
export function tellSights(page: Page, job: Job, result: PlanResult, measures: Measures): HTMLElement[] {
  const all: readonly Pick<Visit, "target" | "sight">[] = result.visits ?? [
    { target: job.target.name, ...(result.sight === undefined ? {} : { sight: result.sight }) },
  ];
  return all.flatMap(({ target, sight }) => (sight === undefined ? [] : [tellSight(page, target, sight, measures)]));
}

function tellSight(page: Page, target: string, sight: SightFact, measures: Measures): HTMLElement {
  const { look } = sight;
  const { length, angle } = measures;
  const fine = (value: number): string =>
    Number.isFinite(value) ? `${Number((value / length.size).toPrecision(3))}\u00a0${length.name}` : "seen edge on";
  const lines: [string, string][] = [
    ["What is looked at (world)", sayPlace(sight.place, measures)],
    ["Distance of the tool point, and along its axis", `${say(sight.distance, length)}, ${say(sight.depth, length)}`],
    [
      look === undefined ? "Angle of the tool to the surface\u2019s normal" : "Angle of the line of sight to the surface\u2019s normal",
      Number.isNaN(sight.tilt) ? "no surface near" : say(sight.tilt, angle),
    ],
  ];
  if (look !== undefined) {
    lines.push(["Angle of the place from the camera\u2019s axis", say(sight.offAxis, angle)]);
    lines.push([
      "How far the camera may shift with the line of sight free, and is taken to be off",
      `${look.cutBy === undefined ? say(look.room, length) : "the line is cut"}, ${say(look.shift, length)}`,
    ]);
    if (look.pixel !== undefined && look.footprint !== undefined && look.worstFootprint !== undefined) {
      const [square, along, worst] = [look.pixel, look.footprint, look.worstFootprint].map(fine);
      lines.push(["A pixel square on, along the tilt, and there with the camera off", `${square}, ${along}, ${worst}`]);
    }
  }
  return facts(page, `At ${target} (simulated)`, lines);
}
