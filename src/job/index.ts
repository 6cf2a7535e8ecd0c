export type { Conditions, Job, Limits, Value } from "./model.ts";
