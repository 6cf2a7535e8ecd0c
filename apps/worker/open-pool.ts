/** A pool whose threads are Node's. */
import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import { createPool, type Pool, type StartThread } from "./pool.ts";

/** @param cores  threads at most, >= 1; as many as this machine has cores when left out */
export function openPool(cores: number = availableParallelism()): Pool {
  const entry = import.meta.url.endsWith(".ts") ? "./source-thread.js" : "./node-thread.js";
  return createPool(threadsOf(new URL(entry, import.meta.url)), cores);
}

/** @param entry  file that each thread runs: it serves tasks */
export function threadsOf(entry: URL): StartThread {
  return (heard, lost) => {
    const worker = new Worker(entry, { execArgv: [] });
    let ended = false;
    const end = (says: string): void => {
      if (ended) return;
      ended = true;
      lost(says);
    };
    worker.on("message", heard);
    worker.on("error", (error) => end(error instanceof Error ? error.message : String(error)));
    worker.on("exit", (code) => end(`it ended with code ${code}`));
    return {
      post: (message) => worker.postMessage(message),
      end: () => void worker.terminate(),
      hold: (busy) => (busy ? worker.ref() : worker.unref()),
    };
  };
}
