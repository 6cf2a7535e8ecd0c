/** A target of the job file -> the space's Target. */
import type { Target } from "../space/index.ts";
import type { OpenFault } from "./convert-arm.ts";
import type { JobFile } from "./schema-job.ts";
import { unit } from "./unit-direction.ts";
import type { PathStep } from "./yaml-text.ts";

type VisitFile = NonNullable<JobFile["target"]>;
type TargetFile = Omit<VisitFile, "or">;

/** [visit][choice] every target of the file, each with those that would do in its place; one of none when the file gives none, and a fault. */
export function convertTargets(file: JobFile, faults: OpenFault[]): (readonly Target[])[] {
  const { target, targets } = file;
  if ((target === undefined) === (targets === undefined)) {
    faults.push({
      code: target === undefined ? "shape.missing-key" : "shape.count",
      at: [target === undefined ? "target" : "targets"],
      problem: target === undefined ? "is missing, and so is targets." : "is given beside target.",
      hint: "Give one target, or a list of targets.",
    });
  }
  const visit = (one: VisitFile, at: readonly PathStep[]): Target[] => [
    convertTarget(one, at, faults),
    ...(one.or ?? []).map((other, k) => convertTarget(other, [...at, "or", k], faults)),
  ];
  const visits = [
    ...(target === undefined ? [] : [visit(target, ["target"])]),
    ...(targets ?? []).map((one, k) => visit(one, ["targets", k])),
  ];
  const seen = new Set<string>();
  visits.flat().forEach(({ name }, k, all) => {
    if (all.length > 1 && seen.has(name)) {
      const at = pathsOf(file)[k] as readonly PathStep[];
      faults.push({
        code: "job.target",
        at: [...at, "name"],
        problem: `is ${name}, as another target's.`,
        hint: "Give each target a name of its own.",
      });
    }
    seen.add(name);
  });
  return visits;
}

/** Where each target stands in the file, in the order of `convertTargets`. */
export function pathsOf({ target, targets }: JobFile): (readonly PathStep[])[] {
  const visit = (one: VisitFile, at: readonly PathStep[]): (readonly PathStep[])[] => [
    at,
    ...(one.or ?? []).map((_, k) => [...at, "or", k]),
  ];
  return [...(target === undefined ? [] : visit(target, ["target"])), ...(targets ?? []).flatMap((one, k) => visit(one, ["targets", k]))];
}

/** @param at where it stands in the file */
export function convertTarget(file: TargetFile, at: readonly PathStep[], faults: OpenFault[]): Target {
  const { name, task: kind, place, aim, cone, tolerance, patch, normal, indication } = file;
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
    ...(patch === undefined
      ? {}
      : { patch: "radius" in patch ? patch : { size: patch.size, along: unit(patch.along, [...at, "patch", "along"], faults) } }),
    ...(normal === undefined ? {} : { normal: unit(normal, [...at, "normal"], faults) }),
    ...(mostTilt === undefined ? {} : { mostTilt }),
    ...(indication === undefined ? {} : { indication }),
    ...(indicationPixels === undefined ? {} : { indicationPixels }),
  };
}
