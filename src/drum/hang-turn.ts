/** Whether the last half turn stays on the core: the rest lies still, the drives are locked, and its own weight pulls it off. */
import type { ArmModel } from "../arm/index.ts";
import { copyRodState, type RodState, type RodWork, readFreeLengths, type Stance, solveHeld, solveLocked } from "../rod/index.ts";
import { sectionAt, weightless } from "./hold-coil.ts";
import type { Coil, Hang } from "./model.ts";

const standardGravity = 9.80665;

/** Directions of gravity that are tried, all across the drum's axis: along it, the arm lies on the flange or on the turns below. */
export const hangTries = 8;

/** First span of the last half turn. */
export function hangsFrom(arm: ArmModel, coil: Coil): number {
  let turn = 0;
  let first = arm.spans - 1;
  while (first > 0 && turn + (coil.turn[first] as number) <= Math.PI) turn += coil.turn[first--] as number;
  return Math.min(first + 1, arm.spans - 1);
}

/**
 * One direction of gravity.
 *
 * @param wound the arm held on the drum, weightless
 * @param before what the directions before gave
 * @param covered something keeps the coil down
 * @returns the worse of both
 */
export function hangTurn(
  arm: ArmModel,
  coil: Coil,
  bend: Float64Array,
  wound: RodState,
  tried: number,
  before: Hang | undefined,
  covered: boolean,
  work: RodWork,
): Hang {
  const from = hangsFrom(arm, coil);
  const freeStrain = arm.freeStrain.slice();
  freeStrain.fill(0, 0, 4 * from);
  const still: ArmModel = { ...arm, freeStrain };
  const stance: Stance = { base: coil.base, exit: 0 };
  const state = copyRodState(wound);
  const angle = (Math.PI / 4) * tried;
  const down: [number, number, number] = [Math.cos(angle), Math.sin(angle), 0];
  const most = (span: number): number => (covered ? Number.POSITIVE_INFINITY : sectionAt(arm, span).outerDiameter / 2);
  const nothing: Hang = { off: Number.NaN, allowed: most(from), vertebra: arm.spans, down, from };
  const held = solveHeld(arm, weightless, stance, bend, state, work);
  if (held.status === "not-converged" || (before !== undefined && Number.isNaN(before.off))) return before ?? nothing;
  const lying = work.frame.slice();
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work, free);
  for (let share = 0.25; share <= 1; share += 0.25) {
    const gravity = down.map((x) => x * share * standardGravity) as unknown as readonly [number, number, number];
    const report = solveLocked(still, { gravity, forces: [] }, stance, free, state, work);
    if (report.status === "not-converged" || report.status === "buckled") return nothing;
  }
  let hang: Hang = { ...nothing, off: 0 };
  for (let i = from + 1; i <= arm.spans; i++) {
    const off = radius(work.frame, i) - radius(lying, i);
    if (off > hang.off) hang = { off, allowed: most(i - 1), vertebra: i, down, from };
  }
  return before === undefined || hang.off > before.off ? hang : before;
}

function radius(frame: Float64Array, i: number): number {
  const x = frame[12 * i + 9] as number;
  const y = frame[12 * i + 10] as number;
  return Math.sqrt(x * x + y * y);
}
