/** The base in the second computation of the balance: nothing of the solver is used but the meaning of its unknowns. */
import type { ArmModel } from "../arm/index.ts";
import type { RodState, Stance } from "./model.ts";

/** [6] motion of the guide's exit, in the arm's axes there: rotation vector, then translation; all 0 for a rigid base. */
export function exitMotion(arm: ArmModel, stance: Stance, state: RodState): number[] {
  const given = Array.from({ length: 6 }, (_, r) => {
    let sum = 0;
    for (let k = 0; k < 6 && arm.baseRoot.length > 0; k++) sum += (arm.baseRoot[6 * r + k] as number) * (state.base[k] as number);
    return sum;
  });
  return turned(given, stance.roll ?? 0);
}

/** Largest part of what a wrench on the exit and its motion do not agree on, N m; a force times `lever`, m. */
export function baseResidual(arm: ArmModel, stance: Stance, motion: readonly number[], wrench: readonly number[], lever: number): number {
  const compliance = arm.description.base?.compliance ?? [];
  const entry = (r: number, k: number): number =>
    (compliance.length === 36 ? compliance[6 * r + k] : r === k ? compliance[r] : 0) as number;
  const roll = stance.roll ?? 0;
  // in the port's axes
  const [is, push] = [turned(motion, -roll), turned(wrench, -roll)];
  let worst = 0;
  for (let r = 0; r < 6; r++) {
    let should = 0;
    for (let k = 0; k < 6; k++) should += entry(r, k) * (push[k] as number);
    const off = Math.abs((is[r] as number) - should);
    const give = entry(r, r);
    if (give === 0 && off > 1e-12) return Number.POSITIVE_INFINITY;
    if (give > 0) worst = Math.max(worst, (off / give) * (r < 3 ? 1 : lever));
  }
  return worst;
}

/** Two vectors as seen in axes rolled by an angle about z. */
function turned([a, b, c, d, e, f]: readonly number[], roll: number): number[] {
  const [cos, sin] = [Math.cos(roll), Math.sin(roll)];
  const about = (x: number, y: number): number[] => [cos * x + sin * y, cos * y - sin * x];
  return [...about(a as number, b as number), c as number, ...about(d as number, e as number), f as number];
}
