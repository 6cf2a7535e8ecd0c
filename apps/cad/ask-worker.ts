/** Makes a CAD file's surface in a worker of the browser's own, within limits of time and memory. */
import type { SurfaceAsk } from "../../src/job/index.ts";
import type { SurfaceAnswer } from "./convert.ts";
import { type CadTask, cadLimits } from "./kernel.ts";

/**
 * @param start  makes a worker that runs cad-worker.ts
 * @param kernel address of the folder with the kernel's files, ending with /
 * @returns the triangles as `writeSurface` makes them, or why there are none
 */
export function askWorker(start: () => Worker, kernel: string, ask: SurfaceAsk, bytes: Uint8Array): Promise<SurfaceAnswer> {
  return new Promise((resolve) => {
    const worker = start();
    const end = (answer: SurfaceAnswer): void => {
      clearTimeout(timer);
      worker.terminate();
      resolve(answer);
    };
    const timer = setTimeout(() => end(`it was not done within ${Math.round(cadLimits.time / 1e3)} s`), cadLimits.time);
    worker.addEventListener("message", (event: MessageEvent<SurfaceAnswer>) => end(event.data));
    worker.addEventListener("error", (event) => end(`the CAD kernel broke down (${event.message || "it could not be started"})`));
    const task: CadTask = { ask, bytes, memory: cadLimits.memory, kernel };
    worker.postMessage(task);
  });
}
