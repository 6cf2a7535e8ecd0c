export type { PlanProgress, PlanResult } from "./model.ts";
