/** What a thread of many-cores.ts runs. */
import { InputError } from "../../src/base/index.ts";
import type { ShareAnswer } from "./many-cores.ts";
import { type LoadBatch, solveLoads } from "./solve-loads.ts";

export default function solveShare(batch: LoadBatch): ShareAnswer {
  try {
    return { kind: "answers", answers: solveLoads(batch) };
  } catch (error) {
    if (error instanceof InputError) return { kind: "faults", faults: error.faults };
    throw error;
  }
}
