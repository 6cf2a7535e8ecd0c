/**
 * Long work as tasks that any thread can take: plain data in, steps inside, plain data out. What a kind of task is made of, and how one ends.
 * The kinds are listed in task-kinds.ts.
 */
import type { Fault } from "../../src/base/index.ts";

/** One kind of task. A batch has something in common, made ready once on each thread, and any number of inputs. */
export interface TaskKind<Common, Input, State, Answer> {
  /** @throws InputError of what the batch has in common: told as the end of each of its tasks */
  open(common: Common): Opened<Input, State, Answer>;
}

export interface Opened<Input, State, Answer> {
  /**
   * @param saved  what `save` gave, here or on another thread: the task goes on from there, and ends with the same bits
   * @throws InputError of this input alone
   */
  start(input: Input, saved: State | undefined): Task<State, Answer>;
}

/** A task under way. What it answers depends on what its batch has in common and on its input alone. */
export interface Task<State, Answer> {
  /** some milliseconds of work; not called once it is done @throws InputError of this input */
  step(): void;
  isDone(): boolean;
  /** 0 to 1, and what is being done */
  progress(): { readonly done: number; readonly says: string };
  /** plain data; copied before the next step; undefined where beginning again is as good */
  save(): State | undefined;
  answer(): Answer;
  /** buffers of the answer that may be moved instead of copied */
  buffersOf?(answer: Answer): ArrayBuffer[];
}

export type TaskEnd<State, Answer> =
  | { readonly kind: "done"; readonly answer: Answer }
  /** its input, or what the batch has in common, is faulty */
  | { readonly kind: "faults"; readonly faults: readonly Fault[] }
  /** a bug: what it threw, or what ended its thread twice */
  | { readonly kind: "failed"; readonly says: string }
  /** cancelled: as far as it is known */
  | { readonly kind: "stopped"; readonly saved?: State };

/** What a thread is told. */
export type ToThread =
  | { readonly kind: "open"; readonly batch: number; readonly task: string; readonly common: unknown }
  | {
      readonly kind: "run";
      readonly batch: number;
      readonly index: number;
      readonly input: unknown;
      readonly saved?: unknown;
      /** ms between two states told; never when absent */
      readonly saveEvery?: number;
    }
  /** ends what runs at its next pause */
  | { readonly kind: "stop" }
  /** forgets what the batch has in common */
  | { readonly kind: "close"; readonly batch: number };

/** What a thread tells. */
export type FromThread =
  | { readonly kind: "ready" }
  | { readonly kind: "progress"; readonly batch: number; readonly index: number; readonly done: number; readonly says: string }
  | { readonly kind: "saved"; readonly batch: number; readonly index: number; readonly saved: unknown }
  | { readonly kind: "end"; readonly batch: number; readonly index: number; readonly end: TaskEnd<unknown, unknown> };
