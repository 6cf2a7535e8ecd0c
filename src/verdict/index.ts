export type { Gain, MarginPlace, MarginRow, MarginUnit, Verdict } from "./model.ts";
