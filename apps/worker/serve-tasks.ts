/** What a thread of a pool does: one task at a time, in slices, with word of how far it is, until it is told to stop. For Node and the page alike. */
import { InputError } from "../../src/base/index.ts";
import { runInSlices } from "./slices.ts";
import type { FromThread, Opened, TaskEnd, TaskKind, ToThread } from "./task.ts";

export interface Door {
  post(message: FromThread, move?: ArrayBuffer[]): void;
  listen(heard: (message: ToThread) => void): void;
}

type AnyKind = TaskKind<unknown, unknown, unknown, unknown>;
type AnyOpened = Opened<unknown, unknown, unknown>;

/** Milliseconds between two words of progress. */
const tellEvery = 100;

/** @param load  gives a kind by its name */
export function serveTasks(door: Door, load: (kind: string) => Promise<AnyKind>): void {
  const opened = new Map<number, Promise<AnyOpened>>();
  let stopped = false;

  const run = async (message: ToThread & { kind: "run" }): Promise<void> => {
    stopped = false;
    const { batch, index } = message;
    const end = (end: TaskEnd<unknown, unknown>, move?: ArrayBuffer[]): void => door.post({ kind: "end", batch, index, end }, move);
    try {
      const common = await opened.get(batch);
      if (common === undefined) throw new Error("bug: the batch was not opened on this thread");
      const task = common.start(message.input, message.saved);
      let told = performance.now();
      let saved = told;
      const report = (): void => {
        const now = performance.now();
        if (now - told >= tellEvery) {
          told = now;
          door.post({ kind: "progress", batch, index, ...task.progress() });
        }
        if (message.saveEvery === undefined || now - saved < message.saveEvery || task.isDone()) return;
        saved = now;
        const state = task.save();
        if (state !== undefined) door.post({ kind: "saved", batch, index, saved: state });
      };
      const caller = { now: () => performance.now(), isCancelled: () => stopped };
      const done = await runInSlices(
        () => task.step(),
        () => task.isDone(),
        report,
        caller,
      );
      if (!done && !task.isDone()) {
        const state = task.save();
        end({ kind: "stopped", ...(state === undefined ? {} : { saved: state }) });
        return;
      }
      const answer = task.answer();
      end({ kind: "done", answer }, task.buffersOf?.(answer));
    } catch (error) {
      if (error instanceof InputError) end({ kind: "faults", faults: error.faults });
      else end({ kind: "failed", says: error instanceof Error ? (error.stack ?? error.message) : String(error) });
    }
  };

  door.listen((message) => {
    if (message.kind === "open") {
      const ready = load(message.task).then((kind) => kind.open(message.common));
      // told at the end of each task
      ready.catch(() => undefined);
      opened.set(message.batch, ready);
    } else if (message.kind === "run") void run(message);
    else if (message.kind === "stop") stopped = true;
    else opened.delete(message.batch);
  });
  door.post({ kind: "ready" });
}
