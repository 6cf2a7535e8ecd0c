/** The page's worker: reads a job's files, changes them, plans. One at a time; a plan pauses so that a cancel gets in. */
import * as comlink from "comlink";
import { InputError } from "../../src/base/index.ts";
import { type Job, loadArm, loadJob, openJobSource, splitSections } from "../../src/job/index.ts";
import type { PlanResult, PlanState } from "../../src/plan/index.ts";
import { readPlanJson, runSheetHtml } from "../../src/report/index.ts";
import { listUnknowns, type RackArm, type RackEntry } from "../../src/study/index.ts";
import { listArmFields, listSectionFields } from "./arm-fields.ts";
import { changeText } from "./change-text.ts";
import { buffersOf, describeJob } from "./describe-job.ts";
import type { DrawSource, EditAnswer, JobFiles, OpenAnswer, PlanAnswer, PlanNews, RackAnswer, WorkerVerbs } from "./protocol.ts";
import type { ArmAsk, MapId, MapNews, MapsAnswer } from "./protocol-maps.ts";
import { type RunAnswer, runFaults, runPlan, runSeek, runTurns } from "./run.ts";
import { runMaps } from "./run-maps.ts";

let job: Job | undefined;
let opened: { readonly main: string; readonly files: JobFiles } | undefined;
let cancelled = false;
/** counts the maps asked for: only the last go on */
let asked = 0;
const caller = { now: () => performance.now(), isCancelled: () => cancelled };

const verbs: WorkerVerbs = {
  open(main: string, files: JobFiles, missing: ReadonlyMap<string, string>): OpenAnswer {
    return guarded(() => {
      const loaded = loadJob(main, files, missing);
      if (loaded.kind === "needs") return loaded;
      job = loaded.job;
      opened = { main, files };
      const armFile = job.inputs[1]?.file ?? "";
      const text = new TextDecoder().decode(files.get(armFile));
      const picture = describeJob(job, armFile, listArmFields(armFile, text), listSectionFields(armFile, text));
      return comlink.transfer({ kind: "job", picture } as const, buffersOf(picture));
    });
  },
  readPlan(text: string): PlanAnswer {
    return guarded(() => ({ kind: "result", result: readPlanJson(text) }) as const);
  },
  edit(file: string, text: string, paths: readonly string[], value: string, alone: boolean): EditAnswer {
    void file;
    return guarded(() => {
      const start = alone ? splitSections(text) : text;
      return { kind: "text", text: paths.reduce((done, path) => changeText(done, path, value), start) } as const;
    });
  },
  readRack(texts: JobFiles): RackAnswer {
    if (job === undefined) throw new Error("bug: no job is open");
    const arms: RackArm[] = [];
    const faulty: RackEntry[] = [];
    for (const [file, bytes] of texts) {
      const read = guarded(() => loadArm(file, new Map([[file, bytes]])));
      if (read.kind === "faults") faulty.push({ kind: "faulty", file, faults: read.faults });
      else if (read.kind === "arm") arms.push({ file, loaded: { arm: read.arm, ranges: read.ranges, inputs: read.inputs } });
    }
    return { job, arms, faulty };
  },
  drawSource(): DrawSource {
    if (job === undefined || opened === undefined) throw new Error("bug: no job is open");
    return { ...opened, unknowns: listUnknowns(job, openJobSource(opened.main, opened.files)).list };
  },
  async plan(news: (news: PlanNews) => void): Promise<PlanAnswer> {
    const told = { route: false, wayIn: 0, wayOut: 0 };
    return run((open) => runPlan(open, { ...caller, report: (state) => news(newsOf(state, told)) }));
  },
  async tryChanges(result: PlanResult, count: number, news: (news: PlanNews) => void): Promise<PlanAnswer> {
    const report = (done: number, says: string) => news({ progress: { stage: "checks", done, says }, wayIn: [], wayOut: [] });
    return run((open) => runTurns(open, result, count, { ...caller, report }));
  },
  async findFaults(result: PlanResult, news: (news: PlanNews) => void): Promise<PlanAnswer> {
    const report = (done: number, says: string) => news({ progress: { stage: "checks", done, says }, wayIn: [], wayOut: [] });
    return run((open) => runFaults(open, result, { ...caller, report }));
  },
  async runSheet(result: PlanResult): Promise<string> {
    if (job === undefined) throw new Error("bug: no job is open");
    return runSheetHtml(job, result);
  },
  async seekTurn(result: PlanResult, news: (news: PlanNews) => void): Promise<PlanAnswer> {
    const report = (done: number, says: string) => news({ progress: { stage: "checks", done, says }, wayIn: [], wayOut: [] });
    return run((open) => runSeek(open, result, { ...caller, report }));
  },
  cancel() {
    cancelled = true;
  },
  async drawMaps(ask: ArmAsk, which: readonly MapId[], news: (news: MapNews) => void): Promise<MapsAnswer> {
    const mine = ++asked;
    try {
      const ended = await runMaps(ask, which, { now: caller.now, isCancelled: () => mine !== asked, report: news });
      return { kind: ended ? "done" : "cancelled" };
    } catch (error) {
      if (error instanceof InputError) return { kind: "faults", faults: error.faults };
      throw error;
    }
  },
  stopMaps() {
    asked++;
  },
};

comlink.expose(verbs);

async function run(work: (job: Job) => Promise<RunAnswer>): Promise<PlanAnswer> {
  if (job === undefined) throw new Error("bug: no job is open");
  cancelled = false;
  try {
    return await work(job);
  } catch (error) {
    if (error instanceof InputError) return { kind: "faults", faults: error.faults };
    throw error;
  }
}

/** What the page has not been told yet. */
function newsOf(state: PlanState, told: { route: boolean; wayIn: number; wayOut: number }): PlanNews {
  const wayIn = state.insertion?.wayIn.slice(told.wayIn) ?? [];
  const wayOut = state.insertion?.wayOut.slice(told.wayOut) ?? [];
  const route = told.route ? undefined : state.route;
  told.wayIn += wayIn.length;
  told.wayOut += wayOut.length;
  told.route ||= route?.status === "found";
  return { progress: state.progress, ...(route === undefined ? {} : { route }), wayIn, wayOut };
}

function guarded<T>(verb: () => T): T | { readonly kind: "faults"; readonly faults: InputError["faults"] } {
  try {
    return verb();
  } catch (error) {
    if (error instanceof InputError) return { kind: "faults", faults: error.faults };
    throw error;
  }
}
