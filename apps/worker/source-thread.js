// What a thread of open-pool.ts runs where the sources are read as they are: a thread cannot begin with one.
import { register } from "tsx/esm/api";

register();
await import("./node-thread.ts");
