/** A job with other numbers in its files: every number that is written with a range or a spread, and the job as it reads with others in their place. */
import { assert } from "../base/index.ts";
import { takeArm } from "./load-arm.ts";
import { finishJob, type InsteadNumbers, openJobFiles } from "./load-job.ts";
import type { Job } from "./model.ts";
import { takeQuantities, type UnsureNumber } from "./take-quantities.ts";

/** Files read once; not plain data, so that it stays on its thread. */
export interface JobSource {
  /** what is written with a range or a spread, by path in the job's file and in the arm's */
  readonly unsure: { readonly job: Readonly<Record<string, UnsureNumber>>; readonly arm: Readonly<Record<string, UnsureNumber>> };
  /** names of the two files */
  readonly files: { readonly job: string; readonly arm: string };
  /** @throws InputError where the numbers give no job: out of their limits, at odds with each other */
  redraw(instead: InsteadNumbers): Job;
}

/** @param files  all that `loadJob` asks for @throws InputError as `loadJob` */
export function openJobSource(main: string, files: ReadonlyMap<string, Uint8Array>): JobSource {
  const opened = openJobFiles(main, files);
  assert(opened.kind === "opened", "a job whose files are all there");
  const taken = takeQuantities(opened.shaped, opened.yaml);
  assert("value" in taken, "quantities that were taken once");
  return {
    unsure: { job: taken.unsure, arm: takeArm(opened.arm).unsure },
    files: { job: main, arm: opened.arm.yaml.file },
    redraw: (instead) => finishJob(opened, instead),
  };
}
