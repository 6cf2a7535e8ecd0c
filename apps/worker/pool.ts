/**
 * Shares tasks out over threads that are started once and kept: what they have compiled serves the next batch. Knows neither Node nor the page:
 * open-pool.ts and page-pool.ts give it threads.
 */

import type { FromThread, TaskEnd, ToThread } from "./task.ts";
import type { AnswerOf, CommonOf, InputOf, KindName, StateOf } from "./task-kinds.ts";

/** A thread as the pool sees it. */
export interface Thread {
  post(message: ToThread): void;
  end(): void;
  /** whether work waits on it: a thread that nothing waits on does not keep a process alive */
  hold(busy: boolean): void;
}

/** @param lost  to be called once when the thread ends by itself, with what is known */
export type StartThread = (heard: (message: FromThread) => void, lost: (says: string) => void) => Thread;

export type TaskNews<State, Answer> =
  /** `done` of 1 */
  | { readonly kind: "progress"; readonly index: number; readonly done: number; readonly says: string }
  | { readonly kind: "saved"; readonly index: number; readonly saved: State }
  /** its thread ended under it: it is begun once more, from what was saved last */
  | { readonly kind: "lost"; readonly index: number; readonly says: string }
  | { readonly kind: "end"; readonly index: number; readonly end: TaskEnd<State, Answer> };

export interface BatchCaller<State, Answer> {
  /** ends the batch: tasks under way at their next pause, or with their thread */
  readonly signal?: AbortSignal;
  /** [task] states to go on from */
  readonly saved?: readonly (State | undefined)[];
  /** ms between two states told of each task; told only at a cancel when absent */
  readonly saveEvery?: number;
  /** as it comes: ends in any order */
  heard?(news: TaskNews<State, Answer>): void;
}

export interface Pool {
  readonly cores: number;
  /**
   * Tasks are begun in their order; batches asked for at once one after another, as threads come free.
   *
   * @returns [task] its end, whatever it is: a task that fails takes no other with it
   * @throws Error when no thread can be started
   */
  run<K extends KindName>(
    kind: K,
    common: CommonOf<K>,
    inputs: readonly InputOf<K>[],
    caller?: BatchCaller<StateOf<K>, AnswerOf<K>>,
  ): Promise<TaskEnd<StateOf<K>, AnswerOf<K>>[]>;
  /** ends every thread; batches under way end as cancelled */
  close(): void;
}

type AnyEnd = TaskEnd<unknown, unknown>;

interface Batch {
  readonly id: number;
  readonly task: string;
  readonly common: unknown;
  readonly inputs: readonly unknown[];
  readonly saved: unknown[];
  readonly caller: BatchCaller<unknown, unknown>;
  readonly ends: (AnyEnd | undefined)[];
  /** [task] threads that ended under it */
  readonly lost: number[];
  /** indices to begin, in order */
  waiting: number[];
  open: number;
  onAbort(): void;
  resolve(ends: AnyEnd[]): void;
  reject(error: Error): void;
}

interface Slot {
  thread: Thread | undefined;
  ready: boolean;
  /** starts that failed one after another */
  failures: number;
  known: Set<number>;
  running: { readonly batch: Batch; readonly index: number } | undefined;
  /** runs out when a stop is not heeded */
  impatience: ReturnType<typeof setTimeout> | undefined;
}

/** Milliseconds that a step may run on after a cancel before its thread is ended. */
const patience = 2000;

/** @param cores  threads at most, >= 1: more than the machine has cores gains nothing */
export function createPool(start: StartThread, cores: number): Pool {
  const slots = Array.from({ length: cores }, (): Slot => {
    return { thread: undefined, ready: false, failures: 0, known: new Set(), running: undefined, impatience: undefined };
  });
  let batches: Batch[] = [];
  let ids = 0;

  const give = (): void => {
    const wanted = batches.reduce((sum, batch) => sum + batch.waiting.length, 0);
    let free = slots.filter((slot) => slot.running === undefined && slot.thread !== undefined).length;
    for (const slot of slots) {
      if (free >= wanted) break;
      if (slot.thread === undefined && slot.failures < 2) {
        begin(slot);
        free++;
      }
    }
    for (const slot of slots) {
      while (slot.ready && slot.running === undefined) {
        const batch = batches.find((one) => one.waiting.length > 0);
        if (batch === undefined) break;
        hand(slot, batch);
      }
    }
    for (const slot of slots) slot.thread?.hold(batches.length > 0);
  };

  const begin = (slot: Slot): void => {
    slot.known = new Set();
    slot.ready = false;
    // word of a thread that was replaced meanwhile is no word of this one
    const mine: Thread = start(
      (message) => {
        if (slot.thread === mine) hear(slot, message);
      },
      (says) => {
        if (slot.thread === mine) lose(slot, says);
      },
    );
    slot.thread = mine;
  };

  const hand = (slot: Slot, batch: Batch): void => {
    const index = batch.waiting.shift() as number;
    slot.running = { batch, index };
    try {
      if (!slot.known.has(batch.id)) {
        slot.thread?.post({ kind: "open", batch: batch.id, task: batch.task, common: batch.common });
        slot.known.add(batch.id);
      }
      const saved = batch.saved[index];
      const { saveEvery } = batch.caller;
      slot.thread?.post({
        kind: "run",
        batch: batch.id,
        index,
        input: batch.inputs[index],
        ...(saved === undefined ? {} : { saved }),
        ...(saveEvery === undefined ? {} : { saveEvery }),
      });
    } catch (error) {
      // what cannot be copied to a thread is no plain data
      slot.running = undefined;
      close(batch, index, { kind: "failed", says: String(error) });
    }
  };

  const hear = (slot: Slot, message: FromThread): void => {
    if (message.kind === "ready") {
      slot.ready = true;
      slot.failures = 0;
      give();
      return;
    }
    const running = slot.running;
    if (running === undefined || running.batch.id !== message.batch || running.index !== message.index) return;
    const { batch, index } = running;
    if (message.kind === "progress") batch.caller.heard?.({ kind: "progress", index, done: message.done, says: message.says });
    else if (message.kind === "saved") {
      batch.saved[index] = message.saved;
      batch.caller.heard?.({ kind: "saved", index, saved: message.saved });
    } else {
      free(slot);
      close(batch, index, message.end);
      give();
    }
  };

  const free = (slot: Slot): void => {
    clearTimeout(slot.impatience);
    slot.impatience = undefined;
    slot.running = undefined;
  };

  const lose = (slot: Slot, says: string): void => {
    const running = slot.running;
    if (!slot.ready) slot.failures++;
    slot.thread = undefined;
    slot.ready = false;
    free(slot);
    if (running !== undefined) {
      const { batch, index } = running;
      batch.lost[index] = (batch.lost[index] ?? 0) + 1;
      if (batch.caller.signal?.aborted) close(batch, index, stoppedWith(batch.saved[index]));
      else if ((batch.lost[index] as number) > 1) close(batch, index, { kind: "failed", says: `its thread ended twice: ${says}` });
      else {
        batch.waiting.unshift(index);
        batch.caller.heard?.({ kind: "lost", index, says });
      }
    }
    if (slots.every((one) => one.thread === undefined && one.failures > 1)) {
      const all = batches;
      batches = [];
      for (const one of slots) one.failures = 0;
      for (const batch of all) batch.reject(new Error(`No thread can be started: ${says}`));
    }
    give();
  };

  const close = (batch: Batch, index: number, end: AnyEnd): void => {
    batch.ends[index] = end;
    batch.open--;
    batch.caller.heard?.({ kind: "end", index, end });
    if (batch.open > 0) return;
    batches = batches.filter((one) => one !== batch);
    batch.caller.signal?.removeEventListener("abort", batch.onAbort);
    for (const slot of slots) if (slot.known.delete(batch.id)) slot.thread?.post({ kind: "close", batch: batch.id });
    batch.resolve(batch.ends as AnyEnd[]);
  };

  const stop = (batch: Batch): void => {
    const waiting = batch.waiting;
    batch.waiting = [];
    for (const slot of slots) {
      if (slot.running?.batch !== batch) continue;
      slot.thread?.post({ kind: "stop" });
      slot.impatience ??= setTimeout(() => endThread(slot), patience);
    }
    for (const index of waiting) close(batch, index, stoppedWith(batch.saved[index]));
  };

  const endThread = (slot: Slot): void => {
    const { thread, running } = slot;
    slot.thread = undefined;
    slot.ready = false;
    free(slot);
    thread?.end();
    if (running !== undefined) close(running.batch, running.index, stoppedWith(running.batch.saved[running.index]));
    give();
  };

  return {
    cores,
    run: (kind, common, inputs, caller = {}) =>
      new Promise((resolve, reject) => {
        const batch: Batch = {
          id: ++ids,
          task: kind,
          common,
          inputs,
          saved: inputs.map((_, k) => caller.saved?.[k]),
          caller: caller as BatchCaller<unknown, unknown>,
          ends: [],
          lost: [],
          waiting: inputs.map((_, k) => k),
          open: inputs.length,
          onAbort: () => stop(batch),
          resolve: resolve as (ends: AnyEnd[]) => void,
          reject,
        };
        if (inputs.length === 0) {
          resolve([]);
          return;
        }
        batches.push(batch);
        const { signal } = caller;
        if (signal?.aborted) stop(batch);
        else signal?.addEventListener("abort", batch.onAbort, { once: true });
        give();
      }),
    close() {
      for (const batch of batches) batch.waiting.splice(0).forEach((index) => close(batch, index, stoppedWith(batch.saved[index])));
      for (const slot of slots) if (slot.thread !== undefined) endThread(slot);
    },
  };
}

function stoppedWith(saved: unknown): AnyEnd {
  return { kind: "stopped", ...(saved === undefined ? {} : { saved }) };
}
