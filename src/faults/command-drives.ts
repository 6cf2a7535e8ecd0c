/** What every cable's length is while the arm is drawn out after a fault. */
import type { ArmModel } from "../arm/index.ts";
import { stanceAt } from "../insertion/index.ts";
import { type Stance, setStance } from "../rod/index.ts";
import type { Fault, FaultsModel, Planned, Recipe } from "./model.ts";
import type { FaultsWork } from "./work.ts";

/** Whether a cable hangs loose in the end: broken, or let go. */
export function isLet(arm: ArmModel, fault: Fault, recipe: Recipe, cable: number): boolean {
  if (fault.kind === "stalled" && cable === fault.cable) return false;
  if (fault.kind === "broken" && cable === fault.cable) return true;
  if (recipe === "limp") return true;
  return recipe === "ease" && fault.cable >= 0 && arm.sectionOfCable[cable] === arm.sectionOfCable[fault.cable];
}

/**
 * Stance at a depth, and the free length of every cable over the free spans into `work.free`, m.
 *
 * @param start record at which the fault happened
 * @param out how far the cables that come loose are let out, m; Infinity: they are gone
 */
export function commandDrives(
  model: FaultsModel,
  planned: readonly Planned[],
  fault: Fault,
  recipe: Recipe,
  start: number,
  depth: number,
  out: number,
  work: FaultsWork,
): Stance {
  const { arm } = model.insertion;
  const { free } = work;
  const from = planned[start] as Planned;
  const [low, high, share] = between(planned, depth);
  const mixed = (a: number, b: number): number => a + share * (b - a);
  const stance = stanceAt(model.insertion, depth, recipe === "hold" ? from.roll : mixed(low.roll, high.roll), work.insertion);
  setStance(arm, stance, work.insertion.rod);
  const { flexible, firstFree } = work.insertion.rod;
  let straight = 0;
  for (let j = 0; j < arm.sections; j++) {
    for (let i = Math.max(firstFree, arm.firstSpan[j] as number); i < (arm.firstSpan[j + 1] as number); i++)
      straight += flexible[i] as number;
    for (let c = arm.firstCable[j] as number; c < (arm.firstCable[j + 1] as number); c++) {
      const kept = recipe === "hold" || (fault.kind === "stalled" && c === fault.cable);
      const drawn = kept ? (from.drawn[c] as number) : mixed(low.drawn[c] as number, high.drawn[c] as number);
      free[c] = straight - drawn + (isLet(arm, fault, recipe, c) ? out : 0);
    }
  }
  return stance;
}

/** The planned records either side of a depth, and how far it is from the first to the second. */
function between(planned: readonly Planned[], depth: number): [Planned, Planned, number] {
  let k = planned.length - 1;
  while (k > 0 && (planned[k - 1] as Planned).depth >= depth) k--;
  const high = planned[k] as Planned;
  const low = planned[Math.max(0, k - 1)] as Planned;
  const apart = high.depth - low.depth;
  return [low, high, apart > 0 ? Math.min(1, Math.max(0, (depth - low.depth) / apart)) : 1];
}
