export type { SolveStatus } from "./model.ts";
