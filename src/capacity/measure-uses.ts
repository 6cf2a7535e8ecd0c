/** How near a solved shape is to every limit of its arm. */
import type { ArmModel, Section } from "../arm/index.ts";
import { pointOf } from "../math/index.ts";
import { boundTensions, inspectShape, type RodState, type RodWork } from "../rod/index.ts";
import type { CapacityWork, LimitKind, Limits, Uses } from "./model.ts";

/**
 * Into `work.uses`; the tool point goes into `work.point`.
 *
 * A span's strain is held against the least allowed strain of its section's rods.
 *
 * @param state as its solve left it, and `work.rod` with it
 * @param tip [3] tool point when the drives were locked, m
 */
export function measureUses(arm: ArmModel, limits: Limits, state: RodState, tip: Float64Array, work: CapacityWork): void {
  const { inspection, uses, point, band } = work;
  inspectShape(arm, state, work.rod, inspection);
  boundTensions(arm, state, work.rod, band);
  clearUses(uses);
  const share = limits.cableShare ?? 1;
  for (let c = 0; c < arm.cables; c++) {
    const use = (band.most[c] as number) / (share * (arm.workingLoad[c] as number));
    if (use > uses.cable) [uses.cable, uses.cableAt] = [use, c];
  }
  for (let j = 0; j < arm.sections; j++) {
    const section = arm.description.sections[j] as Section;
    const allowed = section.rods.reduce((least, rod) => Math.min(least, rod.material.allowedStrain), Number.POSITIVE_INFINITY);
    for (let i = arm.firstSpan[j] as number; i < (arm.firstSpan[j + 1] as number); i++) {
      const stop = (inspection.jointAngle[i] as number) / section.jointLimit;
      const strain = (inspection.strain[i] as number) / allowed;
      if (stop > uses.stop) [uses.stop, uses.stopAt] = [stop, i];
      if (strain > uses.strain) [uses.strain, uses.strainAt] = [strain, i];
    }
  }
  findToolPoint(arm, work.rod, point);
  uses.moved = distance(point, tip);
  uses.sag = limits.sag === undefined ? 0 : uses.moved / limits.sag;
}

function clearUses(uses: Uses): void {
  uses.cable = 0;
  uses.cableAt = -1;
  uses.stop = 0;
  uses.stopAt = -1;
  uses.strain = 0;
  uses.strainAt = -1;
  uses.sag = 0;
  uses.moved = 0;
}

/** Order in which limits that are met at the same load are named. */
const kinds = ["cable", "stop", "strain", "sag"] as const;

/** The limit met first on the way from one shape to the next, each use taken straight between them; none when none is met. */
export function firstLimit(before: Uses, after: Uses): LimitKind | undefined {
  let first: LimitKind | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const kind of kinds) {
    if (!(after[kind] >= 1)) continue;
    const share = before[kind] >= 1 ? 0 : (1 - before[kind]) / (after[kind] - before[kind]);
    if (share < least) [first, least] = [kind, share];
  }
  return first;
}

/** Cable or span at which a limit is met, -1 where it has no place. */
export function placeOf(uses: Uses, kind: LimitKind): number {
  return kind === "cable" ? uses.cableAt : kind === "stop" ? uses.stopAt : kind === "strain" ? uses.strainAt : -1;
}

/** Greatest rise of any use. */
export function riseOf(before: Uses, after: Uses): number {
  let rise = 0;
  for (const kind of kinds) rise = Math.max(rise, after[kind] - before[kind]);
  return rise;
}

/** [3] m, world. */
export function findToolPoint(arm: ArmModel, work: RodWork, out: Float64Array): void {
  pointOf(work.frame, arm.spans, 0, 0, arm.description.tool.length, out);
}

export function distance(a: Float64Array, b: Float64Array): number {
  const x = (a[0] as number) - (b[0] as number);
  const y = (a[1] as number) - (b[1] as number);
  const z = (a[2] as number) - (b[2] as number);
  return Math.sqrt(x * x + y * y + z * z);
}
