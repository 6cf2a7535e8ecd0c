/** Arrays and loads handed to a solve must fit the arm: looked at once, before anything is written. */
import type { ArmModel } from "../arm/index.ts";
import { type Fault, refuse } from "../base/index.ts";
import type { Fluid, Load, RodState, Stance, Walls } from "./model.ts";

/**
 * @param asked what the drives are asked, with the name it goes by; none when tensions are given
 * @throws InputError `solve.size` with every array that does not fit, `solve.vertebra` with every force on a vertebra that is not there,
 *   `solve.base`, `solve.walls`, `solve.fluid`
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
  fits = fits && state.side.length === 10 * (arm.spans + 1) && state.grip.length === (arm.spans + 1) * arm.cables;
  fits = fits && state.run.length === arm.spans * arm.cables && isFrame(stance.base);
  fits = fits && state.base.length === 6;
  fits = fits && (load.walls === undefined || isStiff(load.walls));
  fits = fits && (load.fluid === undefined || isFluid(load.fluid, load.gravity));
  if (!fits) refuse(gatherFaults(arm, load, stance, state, name, asked, wanted));
}

/** A frame's axes are units and square to each other to this, 1. */
const square = 1e-6;

/** Whether a base is a rotation and a place, not a mirror, and finite. */
function isFrame(base: Float64Array): boolean {
  for (let r = 0; r < 3; r++) {
    if (!Number.isFinite(base[9 + r] as number)) return false;
    // each row is the cross product of the next two
    const p = 3 * ((r + 1) % 3);
    const q = 3 * ((r + 2) % 3);
    for (let k = 0; k < 3; k++) {
      const m = (k + 1) % 3;
      const n = (k + 2) % 3;
      const cross = (base[p + m] as number) * (base[q + n] as number) - (base[p + n] as number) * (base[q + m] as number);
      if (!(Math.abs(cross - (base[3 * r + k] as number)) < square)) return false;
    }
  }
  const size = (base[0] as number) ** 2 + (base[1] as number) ** 2 + (base[2] as number) ** 2;
  return Math.abs(size - 1) < square;
}

function isThere(arm: ArmModel, vertebra: number): boolean {
  return Number.isInteger(vertebra) && vertebra >= 1 && vertebra <= arm.spans;
}

function isStiff({ stiffness, friction }: Walls): boolean {
  const rough = friction === undefined || (friction.coefficient >= 0 && friction.coefficient < Number.POSITIVE_INFINITY);
  return rough && stiffness > 0 && stiffness < Number.POSITIVE_INFINITY;
}

/** Up is a unit against gravity to this, 1: a surface that leans has no still water under it. */
const upright = 1e-6;

function isFluid(fluid: Fluid, gravity: Load["gravity"]): boolean {
  const { density, surface, current } = fluid;
  if (!(density >= 0 && density < Number.POSITIVE_INFINITY)) return false;
  if (current !== undefined) {
    const [x, y, z] = current.velocity;
    if (!Number.isFinite(x + y + z + current.dragCoefficient) || current.dragCoefficient < 0) return false;
  }
  const { within } = fluid;
  if (within !== undefined) {
    const numbers = within.at[0] + within.at[1] + within.at[2] + within.size[0] + within.size[1] + within.size[2];
    if (!Number.isFinite(numbers) || Math.min(within.size[0], within.size[1], within.size[2]) <= 0 || within.rotation.length !== 9)
      return false;
    for (let k = 0; k < 9; k++) if (!(Math.abs(within.rotation[k] as number) <= 1 + upright)) return false;
  }
  if (surface === undefined) return true;
  const { at, up } = surface;
  if (!Number.isFinite(at[0] + at[1] + at[2])) return false;
  if (!(Math.abs(up[0] * up[0] + up[1] * up[1] + up[2] * up[2] - 1) < upright)) return false;
  const size = Math.sqrt(gravity[0] * gravity[0] + gravity[1] * gravity[1] + gravity[2] * gravity[2]);
  let apart = 0;
  for (let k = 0; k < 3; k++) apart = Math.max(apart, Math.abs((gravity[k] as number) + size * (up[k] as number)));
  return apart <= upright * size;
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
    ["state.base", state.base.length, 6],
    ["state.side", state.side.length, 10 * (arm.spans + 1)],
    ["state.grip", state.grip.length, (arm.spans + 1) * arm.cables],
    ["state.run", state.run.length, arm.spans * arm.cables],
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
  if (stance.base.length === 12 && !isFrame(stance.base)) {
    faults.push({
      code: "solve.base",
      path: "stance.base",
      problem: `is ${Array.from(stance.base, (v) => Number(v.toPrecision(6))).join(" ")}.`,
      hint: "Give nine numbers of a rotation, row by row (rows of length 1, square to each other, right-handed), then a place in m.",
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
  if (load.walls !== undefined && !isStiff(load.walls)) {
    faults.push({
      code: "solve.walls",
      path: "load.walls",
      problem: `have a stiffness of ${load.walls.stiffness} N/m and a friction of ${load.walls.friction?.coefficient ?? 0}.`,
      hint: "Give a stiffness above 0, as 1e5, and a coefficient of 0 or more.",
    });
  }
  if (load.fluid !== undefined && !isFluid(load.fluid, load.gravity)) {
    faults.push({
      code: "solve.fluid",
      path: "load.fluid",
      problem: `is ${JSON.stringify(load.fluid)} with gravity ${JSON.stringify(load.gravity)}.`,
      hint: "Give a density and a drag coefficient of 0 or more, finite places and velocities, and a surface whose up is 1 long and against gravity.",
    });
  }
  return faults;
}
