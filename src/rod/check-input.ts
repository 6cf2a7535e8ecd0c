/** Arrays and loads handed to a solve must fit the arm: looked at once, before anything is written. */
import type { ArmModel } from "../arm/index.ts";
import { type Fault, refuse } from "../base/index.ts";
import type { Load, RodState, Stance } from "./model.ts";

/**
 * @param asked what the drives are asked, with the name it goes by; none when tensions are given
 * @throws InputError `solve.size` with every array that does not fit, `solve.vertebra` with every force on a vertebra that is not there
 */
export function checkInput(
  arm: ArmModel,
  load: Load,
  stance: Stance,
  state: RodState,
  name: "bend" | "free" | "",
  asked: Float64Array,
): void {
  const wanted = name === "bend" ? 2 * arm.sections : name === "free" ? arm.cables : 0;
  let fits = state.strain.length === 4 * arm.spans && state.tension.length === arm.cables && state.effort.length === 2 * arm.sections;
  fits = fits && stance.base.length === 12 && asked.length === wanted;
  for (let k = 0; k < load.forces.length; k++) fits = fits && isThere(arm, (load.forces[k] as Load["forces"][number]).vertebra);
  if (!fits) refuse(gatherFaults(arm, load, stance, state, name, asked, wanted));
}

function isThere(arm: ArmModel, vertebra: number): boolean {
  return Number.isInteger(vertebra) && vertebra >= 1 && vertebra <= arm.spans;
}

function gatherFaults(
  arm: ArmModel,
  load: Load,
  stance: Stance,
  state: RodState,
  name: string,
  asked: Float64Array,
  wanted: number,
): Fault[] {
  const faults: Fault[] = [];
  const sizes: [string, number, number][] = [
    ["state.strain", state.strain.length, 4 * arm.spans],
    ["state.tension", state.tension.length, arm.cables],
    ["state.effort", state.effort.length, 2 * arm.sections],
    ["stance.base", stance.base.length, 12],
    [name, asked.length, wanted],
  ];
  for (const [path, received, right] of sizes) {
    if (received === right) continue;
    faults.push({
      code: "solve.size",
      path,
      problem: `has ${received} numbers.`,
      hint: `Give ${right}: the arm has ${arm.spans} spans, ${arm.sections} sections and ${arm.cables} cables.`,
    });
  }
  load.forces.forEach((force, k) => {
    if (isThere(arm, force.vertebra)) return;
    faults.push({
      code: "solve.vertebra",
      path: `load.forces[${k}].vertebra`,
      problem: `is ${force.vertebra}.`,
      hint: `Give a whole number from 1 to ${arm.spans}.`,
      received: String(force.vertebra),
    });
  });
  return faults;
}
