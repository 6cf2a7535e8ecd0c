/** A thread of Node's for one CAD file. */
import { createRequire } from "node:module";
import { parentPort, workerData } from "node:worker_threads";
import type { CadTask, LoadKernel } from "./kernel.ts";
import { runTask } from "./run-task.ts";

const load = createRequire(import.meta.url)("occt-import-js") as LoadKernel;
const answer = await runTask(workerData as CadTask, load);
parentPort?.postMessage(answer, typeof answer === "string" ? [] : [answer.buffer as ArrayBuffer]);
