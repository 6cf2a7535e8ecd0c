/** Makes a CAD file's surface in a thread of Node's own, within limits of time and memory. */
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";
import { Worker } from "node:worker_threads";
import type { SurfaceAsk } from "../../src/job/index.ts";
import type { SurfaceAnswer } from "./convert.ts";
import { type CadTask, cadLimits } from "./kernel.ts";

export interface CadCaller {
  /** ends the work: the promise is rejected by the signal's reason */
  readonly signal?: AbortSignal;
  /** ms and bytes, where not the usual */
  readonly limits?: { readonly time: number; readonly memory: number };
}

/** @returns the triangles as `writeSurface` makes them, or why there are none: a file is never an exception */
export function makeSurface(ask: SurfaceAsk, bytes: Uint8Array, { signal, limits = cadLimits }: CadCaller = {}): Promise<SurfaceAnswer> {
  return new Promise((resolve, reject) => {
    if (signal?.aborted) return reject(signal.reason);
    const task: CadTask = { ask, bytes, memory: limits.memory };
    const { start, ...options } = thread();
    const worker = new Worker(start, { ...options, workerData: task, stdout: true, stderr: true });
    const end = (settle: () => void): void => {
      clearTimeout(timer);
      signal?.removeEventListener("abort", stop);
      void worker.terminate();
      settle();
    };
    const stop = (): void => end(() => reject(signal?.reason));
    const timer = setTimeout(() => end(() => resolve(`it was not done within ${Math.round(limits.time / 1e3)} s`)), limits.time);
    signal?.addEventListener("abort", stop, { once: true });
    worker.once("message", (answer: SurfaceAnswer) => end(() => resolve(answer)));
    worker.once("error", (error) => end(() => resolve(`the CAD kernel broke down (${error.message})`)));
    worker.once("exit", () => end(() => resolve("the CAD kernel ended without an answer")));
  });
}

/** The thread's file beside this one; from the sources it is read as they are, which takes a loader. */
function thread(): { start: string | URL; eval?: boolean } {
  if (!import.meta.url.endsWith(".ts")) return { start: new URL("./cad-thread.js", import.meta.url) };
  const tsx = pathToFileURL(createRequire(import.meta.url).resolve("tsx/package.json"));
  const loader = JSON.stringify(new URL("./dist/esm/api/index.mjs", tsx).href);
  const file = JSON.stringify(new URL("./cad-thread.ts", import.meta.url).href);
  return { start: `import(${loader}).then(({ register }) => { register(); return import(${file}); })`, eval: true };
}
