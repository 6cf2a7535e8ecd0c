/** Everything that can be wrong with what holds an arm. */
import type { Fault } from "../base/index.ts";
import { wholeCompliance } from "./base-root.ts";
import type { ArmBase } from "./description.ts";

/** Adds every fault, with paths as `base.guideGrip`. */
export function checkBase({ compliance, guidePlay, guideGrip }: ArmBase, faults: Fault[]): void {
  const say = (key: string, problem: string, hint: string): void => {
    faults.push({ code: "arm.value", path: `base.${key}`, problem, hint });
  };
  if (guidePlay !== undefined && !(guidePlay.high >= 0 && Number.isFinite(guidePlay.high))) {
    say("guidePlay", `is ${guidePlay.high} m.`, "Give 0 or more.");
  }
  if (guideGrip !== undefined && !(guideGrip > 0 && Number.isFinite(guideGrip))) {
    say("guideGrip", `is ${guideGrip} m.`, "Give a number above 0.");
  }
  if (guidePlay !== undefined && guidePlay.high > 0 && guideGrip === undefined) {
    say(
      "guideGrip",
      "is missing beside the guide's play.",
      "Give the length over which the guide grips the arm: play over grip is its tilt.",
    );
  }
  if (compliance === undefined) return;
  if (compliance.length !== 6 && compliance.length !== 36) {
    say("compliance", `has ${compliance.length} numbers.`, "Give six of a diagonal, or 36 of the whole matrix.");
    return;
  }
  if (!compliance.every((value) => Number.isFinite(value))) {
    say("compliance", "has a number that is not finite.", "Give 0 for a way in which it is rigid.");
    return;
  }
  const whole = wholeCompliance(compliance);
  const size = (a: number): number => Math.sqrt(Math.abs(whole[7 * a] as number));
  for (let a = 0; a < 6; a++) {
    for (let b = 0; b < a; b++) {
      if (Math.abs((whole[6 * a + b] as number) - (whole[6 * b + a] as number)) > 1e-9 * size(a) * size(b)) {
        say("compliance", `is not symmetric in row ${a + 1}, column ${b + 1}.`, "Give the same number on both sides of the diagonal.");
        return;
      }
    }
  }
  if (!neverGains(whole))
    say("compliance", "lets some wrench move it the other way.", "Give a matrix whose diagonal and every combination is 0 or more.");
}

/** Whether no wrench gains energy: elimination row by row leaves nothing below zero. */
function neverGains(whole: number[]): boolean {
  const left = [...whole];
  for (let k = 0; k < 6; k++) {
    const pivot = left[7 * k] as number;
    const scale = Math.abs(whole[7 * k] as number);
    if (pivot < -1e-9 * scale || (whole[7 * k] as number) < 0) return false;
    const nothing = pivot <= 1e-9 * scale;
    for (let r = k + 1; r < 6; r++) {
      const share = left[6 * r + k] as number;
      if (nothing && Math.abs(share) > 1e-6 * Math.sqrt(scale * Math.abs(whole[7 * r] as number))) return false;
      if (nothing) continue;
      for (let c = k + 1; c < 6; c++) left[6 * r + c] = (left[6 * r + c] as number) - (share * (left[6 * k + c] as number)) / pivot;
    }
  }
  return true;
}
