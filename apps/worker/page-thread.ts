/** What a worker of the page's pool runs. */
import { serveTasks } from "./serve-tasks.ts";
import { loadKind } from "./task-kinds.ts";

serveTasks(
  {
    post: (message, move) => postMessage(message, { transfer: move ?? [] }),
    listen: (heard) => addEventListener("message", (event) => heard(event.data)),
  },
  loadKind,
);
