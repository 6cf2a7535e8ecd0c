// A thread that serves the tasks of odd-tasks.ts.
import { register } from "tsx/esm/api";

register();
await import("./odd-tasks.ts");
