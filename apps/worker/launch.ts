/** A worker with its verbs, and a promise that says when it is lost. */
import * as comlink from "comlink";
import type { WorkerVerbs } from "./protocol.ts";

export interface Running {
  worker: Worker;
  verbs: comlink.Remote<WorkerVerbs>;
  /** rejects when the worker is lost; comlink alone would wait for ever */
  lost: Promise<never>;
}

export function launch(start: () => Worker, onLost: (says: string) => void): Running {
  const worker = start();
  const lost = new Promise<never>((_, reject) => {
    worker.addEventListener("error", (event) => {
      const says = event.message || "it could not be started";
      onLost(says);
      reject(new Error(says));
    });
  });
  lost.catch(() => undefined);
  return { worker, verbs: comlink.wrap<WorkerVerbs>(worker), lost };
}

/** @returns false after so many milliseconds */
export function later(ms: number): Promise<false> {
  return new Promise((resolve) => setTimeout(() => resolve(false), ms));
}
