/** What is loose taken off the clearance of a shape, and kept for the margins of the tip. */
import { isLoose, playDisplacement, type SeatTolerance } from "../rod/index.ts";
import type { HullWork } from "./hull.ts";
import type { InsertionModel, Loose } from "./model.ts";

const exactly: SeatTolerance = { shift: 0, tilt: 0 };

/** Bounds of the shape into `work.play`; false when nothing is loose. */
function boundPlay(model: InsertionModel, frames: Float64Array, firstFree: number, work: HullWork): boolean {
  const seat = model.seat ?? exactly;
  if (!isLoose(model.arm, seat)) return false;
  playDisplacement(model.arm, frames, firstFree, model.port.subarray(9), seat, work.play);
  return true;
}

/** @param spare [vertebra] clearance of the shape as it is, m: what any play, and friction, could take of it is taken off */
export function takeOffPlay(model: InsertionModel, frames: Float64Array, firstFree: number, spare: Float64Array, work: HullWork): void {
  for (let v = 0; v < spare.length; v++) spare[v] = (spare[v] as number) - (work.rub[v] as number);
  if (!boundPlay(model, frames, firstFree, work)) return;
  const { hull } = work.play;
  for (let v = 0; v < spare.length; v++) spare[v] = (spare[v] as number) - (hull[v] as number);
}

/** What a record keeps of it; undefined when nothing is loose. */
export function looseOf(model: InsertionModel, frames: Float64Array, firstFree: number, work: HullWork): Loose | undefined {
  if (!boundPlay(model, frames, firstFree, work)) return undefined;
  const { hull, tip, aim, twist } = work.play;
  return { hull: hull.slice(), tip: tip.slice(), aim: aim.slice(), twist: twist[0] as number };
}
