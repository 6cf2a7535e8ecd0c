/** What friction leaves open of a shape, taken off its clearance and kept for the margins. */
import { cablesRub } from "../arm/index.ts";
import { findDeadBand, type RodState } from "../rod/index.ts";
import type { InsertionModel, Rub } from "./model.ts";
import type { InsertionWork } from "./work.ts";

/** Whether cables or hoses of the arm rub at all. */
export function rubs({ arm }: InsertionModel): boolean {
  return cablesRub(arm) || arm.hoseLoss.some((loss) => loss > 0) || arm.jointRub.some((length) => length > 0);
}

/** Band of the shape in `work.rod` into `work.band`, and what it could take of each vertebra's clearance into `work.hull.rub`, m. */
export function boundRub(model: InsertionModel, state: RodState, work: InsertionWork): void {
  if (!rubs(model)) return;
  const { arm } = model;
  findDeadBand(arm, state, work.rod, work.band);
  const { shift, turn } = work.band.known;
  for (let i = 0; i <= arm.spans; i++) {
    const half = Math.max(arm.tail[Math.max(0, i - 1)] as number, i < arm.spans ? (arm.lead[i] as number) : arm.description.tool.length);
    const wide = Math.max(arm.width[i] as number, i < arm.spans ? 0 : arm.description.tool.diameter) / 2;
    work.hull.rub[i] = (shift[i] as number) + (turn[i] as number) * Math.sqrt(half * half + wide * wide);
  }
}

/** What a record keeps of the band in `work.band`; undefined when nothing rubs. */
export function rubOf(model: InsertionModel, state: RodState, work: InsertionWork): Rub | undefined {
  if (!rubs(model)) return undefined;
  const { arm } = model;
  const { known, full, most, least } = work.band;
  const n = arm.spans;
  const reach = arm.description.tool.length;
  const tip = (band: typeof known): number => (band.shift[n] as number) + (band.turn[n] as number) * reach;
  const conduit = Float64Array.from(arm.conduitFriction, (value) => value * arm.conduitTurn);
  return {
    hull: work.hull.rub.slice(),
    joint: known.joint.slice(),
    tip: tip(known),
    aim: known.turn[n] as number,
    fullTip: tip(full),
    fullAim: full.turn[n] as number,
    drive: state.tension.map((t, c) => t * Math.exp((state.grip[n * arm.cables + c] as number) * (conduit[1] as number))),
    most: most.slice(),
    least: least.slice(),
  };
}
