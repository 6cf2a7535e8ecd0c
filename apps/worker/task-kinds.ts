/** The kinds of task that a pool's threads know, by name; each is fetched by a thread when it first meets one. */
import type { TaskKind } from "./task.ts";

const kinds = {
  faults: async () => (await import("./faults-task.ts")).faultsTask,
  loads: async () => (await import("./load-task.ts")).loadTask,
  plan: async () => (await import("./plan-task.ts")).planTask,
  rack: async () => (await import("./rack-task.ts")).rackTask,
  draw: async () => (await import("./draw-task.ts")).drawTask,
};

export type KindName = keyof typeof kinds;
type Kind<K extends KindName> = Awaited<ReturnType<(typeof kinds)[K]>>;
type Parts<T> = T extends TaskKind<infer Common, infer Input, infer State, infer Answer> ? [Common, Input, State, Answer] : never;
export type CommonOf<K extends KindName> = Parts<Kind<K>>[0];
export type InputOf<K extends KindName> = Parts<Kind<K>>[1];
export type StateOf<K extends KindName> = Parts<Kind<K>>[2];
export type AnswerOf<K extends KindName> = Parts<Kind<K>>[3];

export function loadKind(name: string): Promise<TaskKind<unknown, unknown, unknown, unknown>> {
  const load = Object.hasOwn(kinds, name) ? kinds[name as KindName] : undefined;
  if (load === undefined) return Promise.reject(new Error(`bug: no kind of task is called ${name}`));
  return load() as Promise<unknown> as Promise<TaskKind<unknown, unknown, unknown, unknown>>;
}
