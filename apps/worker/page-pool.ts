/** A pool whose threads are the page's workers. */
import { createPool, type Pool } from "./pool.ts";

/** @param start  makes a worker that runs page-thread.ts @param cores  at most, >= 1 */
export function createPagePool(start: () => Worker, cores: number): Pool {
  return createPool((heard, lost) => {
    const worker = start();
    worker.addEventListener("message", (event) => heard(event.data));
    worker.addEventListener("error", (event) => {
      worker.terminate();
      lost(event.message || "it could not be started");
    });
    return { post: (message) => worker.postMessage(message), end: () => worker.terminate(), hold: () => undefined };
  }, cores);
}
