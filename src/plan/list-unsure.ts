/** What is not surely known of an arm, with how unsure it is: what a fit left, else what its file says of ranges. */
import type { ArmDescription } from "../arm/index.ts";
import { applyParameters, listParameters, type ParameterName, type ParameterValues, untouched } from "../fit/index.ts";
import type { Job } from "../job/index.ts";

export interface Unsure {
  readonly name: ParameterName;
  /** one standard deviation: factor, m, 1 or rad */
  readonly spread: number;
  /** `fit`: of the fitted arm file; `range`: from ranges in it, taken as evenly likely (half width over the root of 3) */
  readonly from: "fit" | "range";
}

/** Paths of ranges in an arm file that say how unsure a parameter is, and whether as a share of the value. */
const ranged: readonly { readonly name: ParameterName; readonly path: RegExp; readonly share: boolean }[] = [
  { name: "stiffness", path: /\.young-modulus$/, share: true },
  { name: "stretch", path: /\.effective-modulus$|#conduit-stiffness$|#drive-stiffness$/, share: true },
  { name: "effective-length", path: /\.effective-length$/, share: false },
];

/** What margins take by the whole of its range, and by a spread beside that where a fit told one. */
const bounded: readonly ParameterName[] = ["hole-friction", "conduit-friction", "play"];

/** @see docs/sources.md#spreads */
export function listUnsure(job: Pick<Job, "arm" | "ranges">): Unsure[] {
  return [...listElastic(job), ...listBounded(job.arm)];
}

function listBounded(arm: ArmDescription): Unsure[] {
  const parameters = listParameters(arm);
  return bounded.flatMap((name): Unsure[] => {
    const spread = arm.fitted?.spreads[name] ?? 0;
    return spread > 0 && parameters.some((one) => one.name === name) ? [{ name, spread, from: "fit" }] : [];
  });
}

function listElastic(job: Pick<Job, "arm" | "ranges">): Unsure[] {
  return ranged.flatMap(({ name, path, share }): Unsure[] => {
    const fitted = job.arm.fitted?.spreads[name];
    if (fitted !== undefined) return fitted > 0 ? [{ name, spread: fitted, from: "fit" }] : [];
    // of several the widest
    const widest = Object.entries(job.ranges)
      .filter(([at]) => path.test(at))
      .reduce((most, [, value]) => Math.max(most, (value.high - value.low) / 2 / (share ? Math.abs(value.nominal) : 1)), 0);
    return widest > 0 ? [{ name, spread: widest / Math.sqrt(3), from: "range" }] : [];
  });
}

/** The arm with one value a standard deviation off, or as far as it may be; `by` is how far, in standard deviations. */
export function shiftArm(arm: ArmDescription, unsure: Unsure, way: 1 | -1): { readonly arm: ArmDescription; readonly by: number } {
  const limits = listParameters(arm).find((p) => p.name === unsure.name);
  const middle = untouched[unsure.name];
  const wanted = middle + way * unsure.spread;
  const value = limits === undefined ? wanted : Math.min(limits.high, Math.max(limits.low, wanted));
  const values: ParameterValues = { ...untouched, [unsure.name]: value };
  return { arm: applyParameters(arm, values), by: (value - middle) / unsure.spread };
}

/** Of two values; 0 where nothing is said. */
export function correlationOf(arm: ArmDescription, one: Unsure, two: Unsure): number {
  if (one.name === two.name) return 1;
  if (one.from !== "fit" || two.from !== "fit") return 0;
  const said = arm.fitted?.correlations.find(({ between }) => between.includes(one.name) && between.includes(two.name));
  return said?.is ?? 0;
}
