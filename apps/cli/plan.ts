/** `withy plan`: the verdict, and the files of the record. */
import type { UnitSystem } from "../../src/base/index.ts";
import {
  type BackboneModel,
  compareBackbones,
  createBackboneState,
  createBackboneWork,
  createSheetState,
  createSheetWork,
  readSheet,
  type SheetModel,
  stepSheet,
} from "../../src/capacity/index.ts";
import type { Job } from "../../src/job/index.ts";
import type { PlanResult } from "../../src/plan/index.ts";
import { type CommonOptions, type Console, hearOn, stopIfCancelled } from "./console.ts";
import { exitCodeOf, exitCodes } from "./exit-codes.ts";
import { pickRoute, planJob, routesSought, seekRoutes } from "./plan-job.ts";
import { openJob } from "./read-files.ts";
import { routesData, sayRoutes } from "./say-routes.ts";
import { sayVerdict, verdictData } from "./say-verdict.ts";
import { checkPlace, type WholeFile, writeWhole } from "./write-whole.ts";

export interface PlanOptions extends CommonOptions {
  readonly out?: string;
  readonly turn: number;
  readonly seek?: boolean;
  /** only list the routes there are */
  readonly routes?: boolean;
  /** number of the route to plan by */
  readonly route?: number;
  /** false with --no-faults */
  readonly faults: boolean;
}

export async function plan(path: string, options: PlanOptions, console: Console): Promise<number> {
  const { job } = await openJob(path, console.signal, hearOn(console));
  if (options.out !== undefined) checkPlace(options.out);
  for (const remark of job.remarks) console.err(`Note: ${remark}\n`);
  if (options.routes === true) return listRoutes(job, options, console);
  const routes = options.route === undefined ? undefined : await seekRoutes(job, Math.max(routesSought, options.route), console);
  const given = routes === undefined ? undefined : { route: pickRoute(routes, options.route ?? 1), routes };
  const result = await planJob(job, { turns: options.turn, faults: options.faults, seek: options.seek === true }, console, given);
  const written =
    options.out === undefined ? [] : await writeWhole(options.out, await makeRecord(job, result, options.units, console), console);
  if (options.json) console.out(`${JSON.stringify(verdictData(result, written), null, 2)}\n`);
  else {
    console.out(sayVerdict(result, options.units));
    if (written.length > 0) console.out(`\nWritten: ${written.join(", ")}\n`);
  }
  return exitCodeOf(result.verdict.answer);
}

async function listRoutes(job: Job, options: PlanOptions, console: Console): Promise<number> {
  const routes = await seekRoutes(job, routesSought, console);
  if (options.json) console.out(`${JSON.stringify(routesData(routes), null, 2)}\n`);
  else console.out(sayRoutes(job, routes, options.units));
  return routes.some(({ route }) => route.status === "found") ? exitCodes.go : exitCodes.undecided;
}

/** The report's libraries are loaded only when there is something to write. */
async function makeRecord(job: Job, result: PlanResult, units: UnitSystem, console: Console): Promise<WholeFile[]> {
  const { createPlanBackbones, createPlanSheet, driveTableCsv, driveTableJson, planJson, reportHtml, runSheetHtml, sceneGlb, sectionSvg } =
    await import("../../src/report/index.ts");
  const backbones = await compare(createPlanBackbones(job, result), console);
  const sheet = await fillSheet(createPlanSheet(job, result), console);
  const date = new Date().toISOString().slice(0, 10);
  const filled = sheet === undefined ? {} : { sheet };
  return [
    { name: "plan.json", content: planJson(result) },
    {
      name: "report.html",
      content: reportHtml(job, result, { date, units, backbones, ...filled }),
    },
    { name: "runsheet.html", content: runSheetHtml(job, result, { date, units, ...filled }) },
    { name: "section.svg", content: sectionSvg(job, result, { units }) },
    { name: "drives.csv", content: driveTableCsv(job, result) },
    { name: "drives.json", content: driveTableJson(job, result) },
    { name: "arm.glb", content: await sceneGlb(job, result, chooseDepths(result)) },
  ];
}

/** One backbone against two. */
async function compare(model: BackboneModel, console: Console) {
  const state = createBackboneState();
  const work = createBackboneWork(model);
  await stepToEnd(() => {
    compareBackbones(model, state, work);
    return state.done;
  }, console);
  return { model, rows: state.rows };
}

/** Stiffness, payload and faults in the deepest shape. */
async function fillSheet(model: SheetModel | undefined, console: Console) {
  if (model === undefined) return undefined;
  const state = createSheetState(model);
  const work = createSheetWork(model);
  await stepToEnd(() => {
    stepSheet(model, state, work);
    return state.stage === "done";
  }, console);
  return { model, sheet: readSheet(model, state) };
}

/** A cancel is let in every few solves. */
async function stepToEnd(step: () => boolean, console: Console): Promise<void> {
  for (let k = 0; !step(); k++) {
    if (k % 8 !== 7) continue;
    await new Promise((resolve) => setImmediate(resolve));
    stopIfCancelled(console);
  }
}

/** Depths drawn in arm.glb: the last, and each time that another quarter of the arm is out. */
function chooseDepths(result: PlanResult): number[] {
  const depths = result.wayIn.map(({ depth }) => depth);
  const deepest = depths.at(-1);
  if (deepest === undefined) return [];
  const nearest = (wanted: number): number =>
    depths.reduce((best, depth) => (Math.abs(depth - wanted) < Math.abs(best - wanted) ? depth : best));
  return [...new Set([0.25, 0.5, 0.75, 1].map((share) => nearest(share * deepest)))];
}
