/** What a person can do on this page, and what the page does by itself on the way. Writes the signals of `store.ts`. */
import { batch } from "@preact/signals";
import type { PlanResult } from "../../../src/plan/index.ts";
import {
  type ArmField,
  createPlanner,
  type DrawSource,
  type JobPicture,
  type OpenAnswer,
  type PlanAnswer,
  type PlanNews,
  type Planner,
  type RackAnswer,
} from "../../worker/index.ts";
import { createChanges } from "./changes.ts";
import { setDepth } from "./cursor.ts";
import { forgetChanges, keepChanges, recallChanges } from "./kept-changes.ts";
import {
  depth,
  diskFields,
  diskVersion,
  faulting,
  fieldFaults,
  files,
  isChanged,
  isStale,
  keptFiles,
  picture,
  plan,
  planFaults,
  plannedFor,
  planning,
  pointedPlace,
  rackFiles,
  recordsIn,
  room,
  standing,
  undoDepth,
  version,
  visitAt,
  workerLost,
} from "./store.ts";

let planner: Planner | undefined;
let main = "";
/** the files as the server gave them */
let disk: ReadonlyMap<string, Uint8Array> = new Map();
/** counts the plans begun and ended, so that late news of an old one is not taken for the new one's */
let run = 0;
/** depth the cursor was taken to by a first plan, m */
let head = 0;
/** the arm as it is on the disk, to know it again */
let diskArm = "";
const changes = createChanges();
let changing: Promise<void> = Promise.resolve();
/** plans made so far, by the version of the files they were made for: undoing a change brings its plan back */
const made = new Map<string, PlanResult>();

export const startWorker = () => new Worker(new URL("../../worker/worker.ts", import.meta.url), { type: "module", name: "withy" });

const cad = {
  start: () => new Worker(new URL("../../cad/cad-worker.ts", import.meta.url), { type: "module", name: "withy-cad" }),
  kernel: new URL("/cad-kernel/", location.href).href,
};

/** Reads the job from the server, shows it, and shows its plan or makes one. */
export async function openPage(): Promise<void> {
  try {
    standing.value = { kind: "loading", says: "Reading the job" };
    const response = await fetch("/api/job");
    if (response.status === 404) {
      standing.value = { kind: "empty" };
      return;
    }
    const job = (await answered(response).json()) as { main: string; files: readonly string[]; rack: readonly string[] };
    main = job.main;
    rackFiles.value = job.rack;
    const read = new Map<string, Uint8Array>();
    await Promise.all(job.files.map(async (file) => read.set(file, await fetchFile(file))));
    startPlanner();
    const opened = await openFiles(read);
    if (opened.kind === "faults") {
      standing.value = { kind: "failed", says: "The job cannot be read.", faults: opened.faults };
      return;
    }
    takePicture(opened, read);
    disk = read;
    diskVersion.value = version.value;
    diskFields.value = [...opened.picture.fields, ...opened.picture.sectionFields.flat()];
    diskArm = JSON.stringify(opened.picture.arm.description);
    keptFiles.value = recallChanges(main, diskVersion.value, disk);
    standing.value = { kind: "ready" };
    const saved = await fetch("/api/plan");
    if (saved.ok) {
      const answer = await (planner as Planner).readPlan(await saved.text());
      if (answer.kind === "result" && isFor(answer.result, opened.picture)) {
        takePlan(answer.result);
        return;
      }
    }
    await makePlan();
  } catch (error) {
    standing.value = { kind: "failed", says: saysWhy(error), faults: [] };
  }
}

/** Plans the files as they stand. The former plan stays on the page, marked as of the old numbers. */
export function makePlan(): Promise<void> {
  return work("Starting", (owner, news) => owner.plan(news));
}

/** Plans the likely changes of the arm, and adds to the plan what they would gain. */
export async function tryChanges(): Promise<void> {
  const base = plan.value;
  if (base === undefined || isStale.value) return;
  await work("Changing the arm", (owner, news) => owner.tryChanges(base, changesTried, news));
}

/** Looks for the smallest allowed change that makes it a go, and adds what was tried to the plan. */
export async function seekTurn(): Promise<void> {
  const base = plan.value;
  if (base === undefined || isStale.value) return;
  await work("Looking for the smallest change", (owner, news) => owner.seekTurn(base, news));
}

/** How many changes are planned at a time. */
const changesTried = 3;

async function work(begins: string, begin: (owner: Planner, news: (news: PlanNews) => void) => Promise<PlanAnswer>): Promise<void> {
  if (planner === undefined) return;
  await cancelPlan();
  const mine = ++run;
  const goal = version.value;
  planFaults.value = [];
  const since = performance.now();
  planning.value = { progress: { stage: "space", done: 0, says: begins }, since, now: since, wayIn: [], wayOut: [] };
  try {
    const answer = await begin(planner, (news) => {
      if (run === mine) takeNews(news);
    });
    if (run !== mine) return;
    planning.value = undefined;
    if (answer.kind === "faults") planFaults.value = answer.faults;
    if (answer.kind === "result" && version.value === goal) takePlan(answer.result);
  } catch (error) {
    if (run === mine) planning.value = undefined;
    workerLost.value ??= saysWhy(error);
  }
}

/** Ends a plan that is being made, or the look at what may fail on one. */
export async function cancelPlan(): Promise<void> {
  if (planning.value === undefined && faulting.value === undefined) return;
  run++;
  planning.value = undefined;
  faulting.value = undefined;
  await planner?.cancel();
}

/** Looks at what may fail on the plan that is shown, where the arm got in and out; what is found is added to it. */
export async function findFaults(): Promise<void> {
  const base = plan.value;
  if (planner === undefined || base === undefined || isStale.value || !mayFail(base)) return;
  await cancelPlan();
  const mine = ++run;
  const goal = version.value;
  faulting.value = { done: 0, says: "" };
  try {
    const answer = await planner.findFaults(base, ({ progress }) => {
      if (run === mine) faulting.value = progress;
    });
    if (run !== mine) return;
    faulting.value = undefined;
    if (answer.kind === "result" && version.value === goal) showPlan(answer.result);
  } catch (error) {
    if (run === mine) faulting.value = undefined;
    workerLost.value ??= saysWhy(error);
  }
}

/** Whether there is a way out to fail on that was not looked at yet. */
export function mayFail({ faults, wayIn, wayOut }: PlanResult): boolean {
  return faults === undefined && wayIn.length > 1 && wayOut.length === wayIn.length;
}

/** A new worker after the old one was lost; what was shown stays. */
export async function restartWorker(): Promise<void> {
  workerLost.value = undefined;
  planner?.close();
  startPlanner();
  const opened = await openFiles(files.value);
  if (opened.kind === "job" && room.value === "way-in" && (isStale.value || plan.value === undefined)) await makePlan();
}

/**
 * Writes a number into the text of its file that this page holds; the file itself stays as it is. In the room of the way the way is
 * planned again. A number that cannot be is refused in words and nothing changes.
 */
export function changeField(field: ArmField, text: string): Promise<void> {
  // one after another: each starts from the files that the one before has left
  // a worker that is lost on the way is told of by itself
  changing = changing.then(() => change(field, text)).catch(() => undefined);
  return changing;
}

async function change({ file, path: key, also, alone }: ArmField, text: string): Promise<void> {
  if (planner === undefined) return;
  const before = files.value;
  await cancelPlan();
  const edited = await planner.edit(file, new TextDecoder().decode(before.get(file)), [key, ...also], text, alone === true);
  if (edited.kind === "faults") {
    fieldFaults.value = { ...fieldFaults.value, [key]: { text, faults: edited.faults } };
    return;
  }
  let after = new Map(before).set(file, new TextEncoder().encode(edited.text));
  let opened = await openFiles(after);
  if (opened.kind === "faults") {
    fieldFaults.value = { ...fieldFaults.value, [key]: { text, faults: opened.faults } };
    await openFiles(before);
    return;
  }
  // written in other words it is the file's arm again: then the file's own words are kept
  const own = disk.get(file);
  if (own !== undefined && after.get(file) !== own && JSON.stringify(opened.picture.arm.description) === diskArm) {
    after = new Map(before).set(file, own);
    const again = await openFiles(after);
    if (again.kind === "job") opened = again;
  }
  changes.push(before);
  clearFault(key);
  // the next change does not wait for the plan
  void show(opened, after);
}

/** Takes up the changes of an earlier visit, as one change that can be undone. */
export async function bringBackChanges(): Promise<void> {
  const kept = keptFiles.value;
  keptFiles.value = undefined;
  if (kept === undefined) return;
  const before = files.value;
  await cancelPlan();
  const opened = await openFiles(kept);
  if (opened.kind === "faults") {
    planFaults.value = opened.faults;
    await openFiles(before);
    return;
  }
  changes.push(before);
  fieldFaults.value = {};
  await show(opened, kept);
}

export function declineChanges(): void {
  keptFiles.value = undefined;
  forgetChanges(main);
}

/** Everything as it stands in the files, as one change that can be undone. */
export async function backToFiles(): Promise<void> {
  if (planner === undefined || !isChanged.value) return;
  const before = files.value;
  await cancelPlan();
  const opened = await openFiles(disk);
  if (opened.kind !== "job") return;
  changes.push(before);
  fieldFaults.value = {};
  await show(opened, disk);
}

export async function undo(): Promise<void> {
  await stepTo(changes.back(files.value));
}

export async function redo(): Promise<void> {
  await stepTo(changes.forth(files.value));
}

/** Takes away the words at a field, when its number is put back. */
export function clearFault(key: string): void {
  const { [key]: _, ...others } = fieldFaults.value;
  fieldFaults.value = others;
}

/** Hands a changed file to the person: the page never writes to the disk by itself. */
export function saveFile(file: string): void {
  const bytes = files.value.get(file);
  if (bytes === undefined) return;
  hand(new Blob([bytes as BlobPart], { type: "application/yaml" }), file.split("/").at(-1) as string);
}

/** Hands the operator's sheet of the plan to the person, to be printed. */
export async function saveRunSheet(): Promise<void> {
  if (planner === undefined || plan.value === undefined) return;
  hand(new Blob([await planner.runSheet(plan.value)], { type: "text/html" }), "runsheet.html");
}

function hand(content: Blob, name: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(content);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}

async function stepTo(to: ReadonlyMap<string, Uint8Array> | undefined): Promise<void> {
  if (to === undefined) return;
  await cancelPlan();
  const opened = await openFiles(to);
  if (opened.kind !== "job") return;
  fieldFaults.value = {};
  await show(opened, to);
}

async function show(opened: Opened, now: ReadonlyMap<string, Uint8Array>): Promise<void> {
  takePicture(opened, now);
  keepChanges(main, diskVersion.value, disk, now);
  const known = made.get(version.value);
  if (known !== undefined) takePlan(known);
  else if (room.value === "way-in") await makePlan();
}

type Opened = Extract<OpenAnswer, { kind: "job" }>;

/** Opens the files; a path the job names and the map lacks is asked of the server, once each. */
async function openFiles(read: ReadonlyMap<string, Uint8Array>): Promise<Exclude<OpenAnswer, { kind: "needs" }>> {
  const all = new Map(read);
  for (;;) {
    const answer = await (planner as Planner).open(main, all);
    if (answer.kind !== "needs") return answer;
    await Promise.all(answer.paths.map(async (path) => all.set(path, await fetchFile(path))));
  }
}

function takePicture(opened: Opened, now: ReadonlyMap<string, Uint8Array>): void {
  batch(() => {
    picture.value = opened.picture;
    files.value = now;
    version.value = versionOf(opened.picture);
    undoDepth.value = changes.depths();
  });
}

function versionOf(of: JobPicture): string {
  return of.inputs.map((input) => `${input.file} ${input.hash}`).join("\n");
}

function takeNews(news: PlanNews): void {
  const before = planning.value;
  if (before === undefined) return;
  const known = news.route ?? before.route;
  // a first plan is watched at its head, unless the person has gone to a depth
  if (plan.value === undefined && depth.value === head && news.wayIn.length > 0) {
    head = news.wayIn.at(-1)?.depth ?? 0;
    depth.value = head;
  }
  planning.value = {
    progress: news.progress,
    since: before.since,
    now: performance.now(),
    ...(known === undefined ? {} : { route: known }),
    wayIn: news.wayIn.length > 0 ? [...before.wayIn, ...news.wayIn] : before.wayIn,
    wayOut: news.wayOut.length > 0 ? [...before.wayOut, ...news.wayOut] : before.wayOut,
  };
}

/** Shows a plan, and looks on at what may fail. */
function takePlan(result: PlanResult): void {
  showPlan(result);
  void findFaults();
}

function showPlan(result: PlanResult): void {
  made.set(version.value, result);
  batch(() => {
    const first = plan.value === undefined;
    plan.value = result;
    visitAt.value = 0;
    plannedFor.value = version.value;
    pointedPlace.value = undefined;
    if (first && depth.value === head) depth.value = recordsIn.value.at(-1)?.depth ?? 0;
    setDepth(depth.value);
  });
}

function isFor(result: PlanResult, shown: JobPicture): boolean {
  const hashes = new Map(result.inputs.map((input) => [input.file, input.hash]));
  return shown.inputs.every((input) => hashes.get(input.file) === input.hash);
}

function startPlanner(): void {
  planner = createPlanner(startWorker, cad, (says) => {
    workerLost.value = says;
    planning.value = undefined;
    faulting.value = undefined;
  });
}

async function fetchFile(file: string, under = "files"): Promise<Uint8Array> {
  const path = file.split("/").map(encodeURIComponent).join("/");
  return new Uint8Array(await answered(await fetch(`/${under}/${path}`)).arrayBuffer());
}

/** The arms of the rack, as they can be planned, with the job they are held against. */
export async function readRack(): Promise<RackAnswer | undefined> {
  const texts = await Promise.all(rackFiles.value.map(async (file) => [file, await fetchFile(file, "rack")] as const));
  return planner?.readRack(new Map(texts));
}

/** What truths are drawn from, of the files as they stand. */
export async function readDrawSource(): Promise<DrawSource | undefined> {
  return planner?.drawSource();
}

/** Puts an arm of the rack in the place of the job's own, with the plan that was made of it; it can be undone. */
export async function openRackArm(file: string, result: PlanResult): Promise<void> {
  const own = picture.value?.inputs[1]?.file;
  if (own === undefined) return;
  const before = files.value;
  await cancelPlan();
  const after = new Map(before).set(own, await fetchFile(file, "rack"));
  const opened = await openFiles(after);
  if (opened.kind !== "job") {
    planFaults.value = opened.faults;
    await openFiles(before);
    return;
  }
  changes.push(before);
  fieldFaults.value = {};
  made.set(versionOf(opened.picture), result);
  await show(opened, after);
  // another arm ends elsewhere: it is seen at its target first
  setDepth(recordsIn.value.at(-1)?.depth ?? 0);
}

function answered(response: Response): Response {
  if (!response.ok)
    throw new Error(`The server answered ${response.status} to ${new URL(response.url).pathname}. Start it again with npm start.`);
  return response;
}

function saysWhy(error: unknown): string {
  if (error instanceof TypeError && /fetch/i.test(error.message))
    return "The server cannot be reached. Start it again with npm start, then reload this page.";
  return error instanceof Error ? error.message : String(error);
}
