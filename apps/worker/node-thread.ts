/** What a thread of open-pool.ts runs. */
import { parentPort } from "node:worker_threads";
import { serveTasks } from "./serve-tasks.ts";
import { loadKind } from "./task-kinds.ts";

const port = parentPort;
if (port === null) throw new Error("bug: this file is for a thread");
serveTasks({ post: (message, move) => port.postMessage(message, move), listen: (heard) => port.on("message", heard) }, loadKind);
