/** Truths drawn for the plan that is shown: how far its margins may be off, and how likely trouble is. */
import { computed, signal } from "@preact/signals";
import type { DrawAnswer, MarginRange, UnsureResult } from "../../../src/study/index.ts";
import { gatherDraws } from "../../worker/index.ts";
import { readDrawSource } from "./actions.ts";
import { corePool } from "./core-pool.ts";
import { isStale, plan, plannedFor } from "./store.ts";

/** How many truths are drawn at a time, and the seed they follow from. */
export const draws = { count: 100, seed: 1 } as const;

const found = signal<{ readonly result: UnsureResult; readonly of: string | undefined } | undefined>(undefined);
/** draws made so far; undefined when none are being made */
export const drawsMade = signal<number | undefined>(undefined);
export const drawsProblem = signal<string | undefined>(undefined);
let stop: AbortController | undefined;

/** Of the plan that is shown, and of no other. */
export const drawn = computed<UnsureResult | undefined>(() => (found.value?.of === plannedFor.value ? found.value?.result : undefined));

/** What the draws say of a margin of the plan that is shown. */
export function drawnMargin(id: string): MarginRange | undefined {
  return drawn.value?.margins.find((margin) => margin.id === id);
}

export async function drawTruths(): Promise<void> {
  const result = plan.value;
  if (result === undefined || isStale.value || drawsMade.value !== undefined) return;
  const of = plannedFor.value;
  drawsMade.value = 0;
  drawsProblem.value = undefined;
  stop = new AbortController();
  try {
    const source = await readDrawSource();
    if (source === undefined) return;
    const { main, files, unknowns } = source;
    const answers: DrawAnswer[] = [];
    const { count, seed } = draws;
    const indices = Array.from({ length: count }, (_, k) => k);
    const ends = await corePool().run("draw", { main, files, result, seed, mode: "held" }, indices, {
      signal: stop.signal,
      heard(news) {
        if (news.kind !== "end" || news.end.kind !== "done") return;
        answers.push(news.end.answer);
        drawsMade.value = answers.length;
      },
    });
    const failed = ends.find((end) => end.kind === "failed");
    if (failed?.kind === "failed") throw new Error(failed.says.split("\n")[0]);
    if (answers.length > 0) found.value = { result: gatherDraws(result, unknowns, { mode: "held", seed }, answers), of };
  } catch (error) {
    drawsProblem.value = error instanceof Error ? error.message : String(error);
  } finally {
    drawsMade.value = undefined;
  }
}

export function stopDraws(): void {
  stop?.abort();
}
