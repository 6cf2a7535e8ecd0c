/** A job with another arm in it. */
import { refuse } from "../base/index.ts";
import { checkArmInJob } from "./check-job.ts";
import type { LoadedArm } from "./load-arm.ts";
import type { Job } from "./model.ts";

/**
 * The arm's ranges and inputs take the place of those that the job's own arm had.
 *
 * @throws InputError where the arm does not go with the job: thicker than the port, a grip longer than the guide
 */
export function swapArm(job: Job, loaded: LoadedArm): Job {
  refuse(checkArmInJob(job, job.guideLength, loaded.arm).map(({ at, ...fault }) => ({ ...fault, path: at.join(".") })));
  const [main, own, ...others] = job.inputs;
  const ranges = Object.entries(job.ranges).filter(([path]) => own === undefined || !path.startsWith(`${own.file}#`));
  return {
    ...job,
    arm: loaded.arm,
    ranges: { ...Object.fromEntries(ranges), ...loaded.ranges },
    inputs: [...(main === undefined ? [] : [main]), ...loaded.inputs, ...others],
  };
}
