/** Everything the page shows, as signals. Written by `actions.ts`, read by every view. */
import { computed, signal } from "@preact/signals";
import type { Fault } from "../../../src/base/index.ts";
import type { DepthRecord } from "../../../src/insertion/index.ts";
import type { Route } from "../../../src/path/index.ts";
import type { PlanProgress, PlanResult, Visit } from "../../../src/plan/index.ts";
import type { MarginPlace } from "../../../src/verdict/index.ts";
import type { ArmField, JobPicture } from "../../worker/index.ts";
import type { LengthUnit } from "../say.ts";

export type Way = "in" | "out";
export type Room = "arm" | "way-in";

/** Where the page itself stands, before any plan. */
export type Standing =
  | { readonly kind: "loading"; readonly says: string }
  | { readonly kind: "empty" }
  | { readonly kind: "failed"; readonly says: string; readonly faults: readonly Fault[] }
  | { readonly kind: "ready" };

export interface Planning {
  readonly progress: PlanProgress;
  /** ms since the page began, when the plan was started */
  readonly since: number;
  readonly now: number;
  /** its route and depths so far */
  readonly route?: Route;
  readonly wayIn: readonly DepthRecord[];
  readonly wayOut: readonly DepthRecord[];
}

export const room = signal<Room>("way-in");
export const standing = signal<Standing>({ kind: "loading", says: "Reading the job" });
/** said when the worker died; the page goes on showing what it has */
export const workerLost = signal<string | undefined>(undefined);

export const picture = signal<JobPicture | undefined>(undefined);
/** the last finished plan, and the text of the files it was made for */
export const plan = signal<PlanResult | undefined>(undefined);
export const plannedFor = signal<string | undefined>(undefined);
export const planning = signal<Planning | undefined>(undefined);
/** what may fail on the plan is being looked at: how far that is, 0 to 1, and which fault */
export const faulting = signal<{ readonly done: number; readonly says: string } | undefined>(undefined);
/** why the last plan did not come about, in words */
export const planFaults = signal<readonly Fault[]>([]);

/** [path of the field] the text that was refused and why */
export const fieldFaults = signal<Readonly<Record<string, { readonly text: string; readonly faults: readonly Fault[] }>>>({});
/** files with changes of an earlier visit that were not saved, offered until taken or declined */
export const keptFiles = signal<ReadonlyMap<string, Uint8Array> | undefined>(undefined);
/** arm files that the server has beside the job, to be held against it */
export const rackFiles = signal<readonly string[]>([]);
export const undoDepth = signal({ undo: 0, redo: 0 });

/** the job's files as they stand now; every change replaces the map */
export const files = signal<ReadonlyMap<string, Uint8Array>>(new Map());
/** one text for the state of all files that can change, to tell whether a plan belongs to them */
export const version = signal("");
/** `version` of the files as they are on the disk, and the numbers of the arm as they stand there */
export const diskVersion = signal("");
export const diskFields = signal<readonly ArmField[]>([]);
/** the arm or job on this page is not that of the files on the disk */
export const isChanged = computed(() => diskVersion.value !== "" && version.value !== diskVersion.value);
export const isStale = computed(() => plan.value !== undefined && plannedFor.value !== version.value);

export const way = signal<Way>("in");
/** m of feed; always the depth of a solved record when there is one */
export const depth = signal(0);
export const pointedSection = signal<number | undefined>(undefined);
/** the row of the ladder that the view was sent to last */
export const pointedPlace = signal<{ readonly id: string; readonly title: string; readonly where: MarginPlace } | undefined>(undefined);

export const lengthUnit = signal<LengthUnit>("mm");
export const theme = signal<"light" | "dark">("light");
export const cutOpen = signal(true);

/** which visit is looked at, in the order made, where a plan has several */
export const visitAt = signal(0);
/** none where the plan is of one target alone */
export const visit = computed<Visit | undefined>(() => plan.value?.visits?.[visitAt.value]);
/** the target that is looked at, at the place the arm goes to where it leaves a choice */
export const target = computed(() => {
  const job = picture.value;
  const at = visit.value;
  const own = at === undefined ? job?.target : job?.targets[at.written]?.[at.choice];
  const place = (at ?? plan.value)?.route.place;
  return own === undefined || place === undefined ? own : { ...own, place };
});

const byDepth = (a: DepthRecord, b: DepthRecord) => a.depth - b.depth;

/** Solved depths from the port inwards, of each way; while a first plan runs, those known so far. */
export const recordsIn = computed(() => [...((visit.value ?? plan.value)?.wayIn ?? planning.value?.wayIn ?? [])].sort(byDepth));
export const recordsOut = computed(() => [...((visit.value ?? plan.value)?.wayOut ?? planning.value?.wayOut ?? [])].sort(byDepth));
export const records = computed(() => (way.value === "in" ? recordsIn.value : recordsOut.value));
export const route = computed(() => (visit.value ?? plan.value)?.route ?? planning.value?.route);

/** The solved record the cursor stands on. */
export const record = computed<DepthRecord | undefined>(() => nearestRecord(records.value, depth.value));
export const recordIndex = computed(() => (record.value === undefined ? -1 : records.value.indexOf(record.value)));

export function nearestRecord(sorted: readonly DepthRecord[], at: number): DepthRecord | undefined {
  let best: DepthRecord | undefined;
  for (const one of sorted) {
    if (best === undefined || Math.abs(one.depth - at) < Math.abs(best.depth - at)) best = one;
  }
  return best;
}
