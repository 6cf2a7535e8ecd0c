export type { DepthRecord, SweepBound } from "./model.ts";
