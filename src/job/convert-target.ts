/** A target of the job file -> the space's Target. */
import type { Target } from "../space/index.ts";
import type { OpenFault } from "./convert-arm.ts";
import type { JobFile } from "./schema-job.ts";
import { unit } from "./unit-direction.ts";
import type { PathStep } from "./yaml-text.ts";

export type TargetFile = JobFile["target"];

/** @param at where it stands in the file */
export function convertTarget(file: TargetFile, at: readonly PathStep[], faults: OpenFault[]): Target {
  const { name, task: kind, place, aim, cone, tolerance, normal, indication } = file;
  const { "stand-off": standOff, "most-tilt": mostTilt, "indication-pixels": indicationPixels } = file;
  const stray = (key: string, problem: string, hint: string): void => {
    faults.push({ code: "job.target", at: [...at, key], problem, hint });
  };
  if (indication !== undefined && kind !== "look") stray("indication", `is given with task: ${kind}.`, "It belongs to task: look.");
  if (indicationPixels !== undefined && indication === undefined)
    stray("indication-pixels", "is given without an indication.", "Say how small an indication must be seen, or take this away.");
  return {
    name,
    kind,
    place,
    direction: unit(aim, [...at, "aim"], faults),
    cone,
    standOff,
    tolerance,
    ...(normal === undefined ? {} : { normal: unit(normal, [...at, "normal"], faults) }),
    ...(mostTilt === undefined ? {} : { mostTilt }),
    ...(indication === undefined ? {} : { indication }),
    ...(indicationPixels === undefined ? {} : { indicationPixels }),
  };
}
