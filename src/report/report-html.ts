/**
 * A plan as one HTML file for the engineer and the owner of the machine: the verdict first, then what it rests on.
 * Nothing is fetched and nothing runs; it prints on A4.
 */
import { type ArmModel, createArm } from "../arm/index.ts";
import type { UnitSystem } from "../base/index.ts";
import type { Job } from "../job/index.ts";
import type { PlanResult, Visit } from "../plan/index.ts";
import { headNotChecked, otherConditions } from "../verdict/index.ts";
import { depthFigures } from "./depth-figures.ts";
import { depthTables } from "./depth-tables.ts";
import { crossSectionFigures } from "./draw-cross-section.ts";
import { drawSection } from "./draw-section.ts";
import { signKey, viewFigures } from "./draw-views.ts";
import { keepUnits, type Measures, measuresOf } from "./measure.ts";
import { bullets, createPage, facts, figure, type Page, part, table, tag, writePage } from "./page.ts";
import { style } from "./style.ts";
import { tellArm } from "./tell-arm.ts";
import { type ComparedBackbones, tellBackbones } from "./tell-backbones.ts";
import { tellFaults } from "./tell-faults.ts";
import { tellConditions, tellJob, tellOwner } from "./tell-job.ts";
import { tellMargins, tellTurns } from "./tell-margins.ts";
import { listSigns, tellRoute } from "./tell-route.ts";
import { type FilledSheet, tellSheet } from "./tell-sheet.ts";
import { nameTargets, tellSights, tellVisits, visitAlone } from "./tell-visits.ts";
import { tensionMap } from "./tension-map.ts";

export interface ReportOptions {
  /** printed as it is, as `2031-04-17`; a report without one states no date */
  readonly date?: string;
  readonly units?: UnitSystem;
  /** one backbone against two; left out of the report when absent */
  readonly backbones?: ComparedBackbones;
  /** stiffness, payload and faults in the deepest shape; left out of the report when absent */
  readonly sheet?: FilledSheet;
}

/** The same job, result and options give the same text. */
export function reportHtml(whole: Job, result: PlanResult, options: ReportOptions = {}): string {
  const [first, ...others] = (result.visits ?? []).map((visit) => ({ visit, ...visitAlone(whole, result, visit) }));
  // pictures and tables are of the first target that is visited; the others follow in parts of their own
  const job = first?.job ?? whole;
  const measures = measuresOf(options.units ?? "metric");
  const arm = createArm(job.arm);
  const page = createPage(`${result.job}: ${result.verdict.answer}`, style);
  const signs = listSigns(job, result, measures);
  const figures = depthFigures(page, job, arm, result, measures);
  const main = tag(
    page,
    "main",
    {},
    head(page, whole, result, options),
    ...tellConditions(page, result),
    part(page, "For the owner of the machine", ...tellOwner(page, job, result)),
    result.visits !== undefined && part(page, "The targets", ...tellVisits(page, result, measures)),
    part(page, "Margins, worst first", ...tellMargins(page, result, measures), ...tellTurns(page, result)),
    ...sightPart(page, whole, result, measures),
    result.faults !== undefined && part(page, "What may fail", ...tellFaults(page, job, arm, result)),
    part(
      page,
      "The route",
      ...tellRoute(page, job, result, measures),
      ...viewFigures(page, job, arm, result, signs, measures),
      signKey(page, job, signs),
      figure(
        page,
        drawSection(page, job, result, { units: options.units ?? "metric" }),
        "Section through port and target. section.svg is the same drawing, to scale when it is printed on A4.",
      ),
    ),
    part(page, "The job", ...tellJob(page, job, measures)),
    part(page, "The arm", ...tellArm(page, job, arm, measures), crossSectionFigures(page, arm, measures)),
    options.sheet !== undefined && tellSheet(page, options.sheet, measures, options.units ?? "metric"),
    ...(options.backbones === undefined ? [] : tellBackbones(page, job, options.backbones, measures)),
    figures.length > 0 &&
      part(page, "By depth", tag(page, "div", { class: "pair" }, ...figures, tensionMap(page, arm, result.wayIn, measures))),
    figures.length > 0 && part(page, "Table by depth", ...depthTables(page, job, arm, result, measures)),
    ...others.flatMap((other) => tellOther(page, arm, other, measures)),
    part(page, "What this rests on", ...basis(page, job, result, measures)),
  );
  page.document.body.append(main);
  return writePage(page);
}

function sightPart(page: Page, job: Job, result: PlanResult, measures: Measures): HTMLElement[] {
  const told = tellSights(page, job, result, measures);
  return told.length === 0 ? [] : [part(page, "What the tool sees", ...told)];
}

/** Route, pictures and depths of a further target. */
function tellOther(
  page: Page,
  arm: ArmModel,
  { visit, job, result }: { visit: Visit; job: Job; result: PlanResult },
  measures: Measures,
): HTMLElement[] {
  const signs = listSigns(job, result, measures);
  const figures = depthFigures(page, job, arm, result, measures);
  return [
    part(
      page,
      `Target ${visit.target}`,
      ...tellRoute(page, job, result, measures),
      ...viewFigures(page, job, arm, result, signs, measures),
      signKey(page, job, signs),
      ...(figures.length > 0
        ? [
            tag(page, "div", { class: "pair" }, ...figures, tensionMap(page, arm, result.wayIn, measures)),
            ...depthTables(page, job, arm, result, measures),
          ]
        : []),
    ),
  ];
}

const answers = {
  go: { title: "Go", kind: "go" },
  "go with conditions": { title: "Go, with conditions", kind: "go" },
  "no go": { title: "No go", kind: "no" },
  undecided: { title: "Undecided", kind: "undecided" },
} as const;

function head(page: Page, job: Job, result: PlanResult, options: ReportOptions): HTMLElement {
  const { verdict } = result;
  const answer = answers[verdict.answer];
  const question = `Can the arm \u201c${result.arm}\u201d get from ${job.port.name} to ${nameTargets(job, result)} with its load, and back?`;
  return tag(
    page,
    "header",
    {},
    tag(page, "h1", {}, result.job),
    tag(page, "p", { class: "soft" }, `Plan of a way in and out${options.date === undefined ? "" : `, ${options.date}`}`),
    tag(page, "p", {}, question),
    tag(
      page,
      "div",
      { class: `verdict ${answer.kind}` },
      tag(page, "p", { class: "answer" }, answer.title),
      tag(page, "p", { class: "says" }, keepUnits(verdict.says)),
      verdict.reasons.length > 0 && bullets(page, verdict.reasons.map(keepUnits)),
    ),
    tag(
      page,
      "p",
      { class: "simulated" },
      "Every number here is simulated: computed from the job's description, not measured. The plan advises; the owner's engineer decides.",
    ),
  );
}

function basis(page: Page, job: Job, result: PlanResult, measures: Measures): HTMLElement[] {
  const { verdict, sweep } = result;
  const ranges = Object.entries(job.ranges);
  const { length } = measures;
  const worst = [...result.wayIn, ...result.wayOut].reduce((most, record) => Math.max(most, record.residual), 0);
  return [
    tag(page, "h3", {}, "Assumed"),
    bullets(page, verdict.assumptions),
    // said among the conditions when it is one of them
    ...(otherConditions(verdict).length === verdict.conditions.length
      ? [tag(page, "h3", {}, headNotChecked(verdict)), bullets(page, verdict.notChecked.map(keepUnits))]
      : []),
    ...(job.remarks.length > 0 ? [tag(page, "h3", {}, "To be confirmed in the job"), bullets(page, job.remarks)] : []),
    ...(ranges.length > 0
      ? [table(page, "Numbers written with a range (SI units); the plan used the nominal ones", ["Field", "Least", "Nominal", "Greatest"], ranges.map(([path, value]) => [path, value.low, value.nominal, value.high].map(sayShort)), [1, 2, 3])]
      : []),
    ...(result.wayIn.length > 0
      ? [
          facts(page, "How it was computed", [
            ["Depths solved, way in and way out", `${result.wayIn.length} and ${result.wayOut.length}`],
            ["Depths solved in between to confirm the clearance", String(sweep.confirmed)],
            ["Greatest sideways motion between depths, taken off the clearance", `${(sweep.allowance / length.size).toPrecision(3)}\u00a0${length.name}`],
            ["Greatest moment out of balance at a joint, computed apart from the solver", `${worst.toExponential(1)}\u00a0N\u00a0m`],
            ["Smallest cells of the search for a route", `${Number((result.route.resolution / length.size).toPrecision(3))}\u00a0${length.name}`],
          ]),
        ]
      : []),
    table(page, "Input files, with the hash of their content (fnv-1a, 64 bit)", ["File", "Hash"], result.inputs.map(({ file, hash }) => [file, tag(page, "span", { class: "hash" }, hash)])),
    tag(page, "p", { class: "soft" }, `Planned with withy ${result.withy}.`),
  ]; // biome-ignore format: one fact a row
}

function sayShort(value: string | number): string {
  return typeof value === "number" ? String(Number(value.toPrecision(6))) : value;
}
