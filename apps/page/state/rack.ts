/** The arms of a rack against the job of this page: planned on all cores by workers of their own, shown as they come. */
import { computed, signal } from "@preact/signals";
import type { PlanResult } from "../../../src/plan/index.ts";
import type { RackEntry } from "../../../src/study/index.ts";
import { sortRack } from "../../worker/index.ts";
import { answerKind } from "../panel/answer-mark.tsx";
import type { Shape } from "../view/draw-shapes.ts";
import { openRackArm, readRack } from "./actions.ts";
import { corePool } from "./core-pool.ts";

/** as the table has them */
export const rackEntries = signal<readonly RackEntry[]>([]);
/** [file] 0 to 1 of what is being planned */
export const rackDone = signal<Readonly<Record<string, number>>>({});
export const rackRunning = signal(false);
export const rackProblem = signal<string | undefined>(undefined);
/** file of the arm that is pointed at */
export const rackPointed = signal<string | undefined>(undefined);
/** whether the arms are drawn in the view */
export const rackDrawn = signal(true);
/** the rack is what the panel shows */
export const rackShown = signal(false);

const results = new Map<string, PlanResult>();
let stop: AbortController | undefined;

/** Every arm that got somewhere, where the table is shown. */
export const rackShapes = computed<readonly Shape[]>(() => {
  if (!rackShown.value || !rackDrawn.value) return [];
  return rackEntries.value.flatMap((entry): Shape[] => {
    if (entry.kind !== "planned" || entry.shape === undefined) return [];
    return [{ ...entry.shape, state: answerKind(entry.answer), lit: entry.file === rackPointed.value }];
  });
});

export async function planRack(): Promise<void> {
  if (rackRunning.value) return;
  rackRunning.value = true;
  rackProblem.value = undefined;
  rackDone.value = {};
  results.clear();
  stop = new AbortController();
  try {
    const read = await readRack();
    if (read === undefined) return;
    const entries = new Map<string, RackEntry>();
    const put = (entry: RackEntry): void => {
      entries.set(entry.file, entry);
      rackEntries.value = sortRack([...entries.values()]);
    };
    for (const entry of read.faulty) put(entry);
    for (const { file, loaded } of read.arms) put({ kind: "waiting", file, arm: loaded.arm.name });
    await corePool().run("rack", read.job, read.arms, {
      signal: stop.signal,
      heard(news) {
        const { file, loaded } = read.arms[news.index] as (typeof read.arms)[number];
        if (news.kind === "progress") rackDone.value = { ...rackDone.value, [file]: news.done };
        if (news.kind !== "end") return;
        const { end } = news;
        const arm = loaded.arm.name;
        if (end.kind === "done") {
          if (end.answer.result !== undefined) results.set(file, end.answer.result);
          put(end.answer.entry);
        } else if (end.kind === "faults") put({ kind: "faulty", file, arm, faults: end.faults });
        else if (end.kind === "failed") put({ kind: "failed", file, arm, says: end.says });
      },
    });
  } catch (error) {
    rackProblem.value = error instanceof Error ? error.message : String(error);
  } finally {
    rackRunning.value = false;
  }
}

export function stopRack(): void {
  stop?.abort();
}

/** Shows the plan of an arm of the rack in the whole room. */
export async function showRackArm(file: string): Promise<void> {
  const result = results.get(file);
  if (result !== undefined) await openRackArm(file, result);
}

export function isRackOpenable(file: string): boolean {
  return results.has(file);
}
