/** Undo and redo over whole states of the job's files. States are small: files that did not change are shared. */

type Files = ReadonlyMap<string, Uint8Array>;

export interface Changes {
  /** the state before a change; what had been undone is forgotten */
  push(before: Files): void;
  back(now: Files): Files | undefined;
  forth(now: Files): Files | undefined;
  depths(): { readonly undo: number; readonly redo: number };
}

export function createChanges(): Changes {
  const before: Files[] = [];
  const after: Files[] = [];
  return {
    push(state) {
      before.push(state);
      after.length = 0;
    },
    back(now) {
      const state = before.pop();
      if (state !== undefined) after.push(now);
      return state;
    },
    forth(now) {
      const state = after.pop();
      if (state !== undefined) before.push(now);
      return state;
    },
    depths: () => ({ undo: before.length, redo: after.length }),
  };
}
