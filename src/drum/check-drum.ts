/** What a drum must be before anything is wound on it. */
import type { ArmModel } from "../arm/index.ts";
import { checkDrumValues } from "../arm/index.ts";
import { type Fault, refuse } from "../base/index.ts";
import type { DrumRequest } from "./model.ts";

/** @throws InputError `drum.value` with every value that cannot be */
export function checkDrum(arm: ArmModel, { drum, insert, step }: DrumRequest): void {
  const faults: Fault[] = checkDrumValues(drum, "drum");
  const add = (path: string, value: number, hint: string): void => {
    faults.push({ code: "drum.value", path, problem: `is ${value}.`, hint, received: String(value) });
  };
  if (insert !== undefined) {
    if (!(insert.diameter > 0 && Number.isFinite(insert.diameter))) add("insert.diameter", insert.diameter, "Give a length above 0.");
    if (!(insert.length > 0 && Number.isFinite(insert.length))) add("insert.length", insert.length, "Give a length above 0.");
  }
  if (step !== undefined && !(Number.isInteger(step) && step >= 2 && step % 2 === 0 && step <= arm.spans)) {
    add("step", step, `Give an even whole number from 2 to ${arm.spans}: hinges work in pairs.`);
  }
  refuse(faults);
}
