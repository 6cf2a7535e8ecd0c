/** The side of the walls that an arm is on goes from balance to balance in its state. */
import type { ArmModel } from "../arm/index.ts";
import type { Load, RodState, SolveReport } from "./model.ts";
import { placeArm } from "./place.ts";
import { placeRims } from "./touch-walls.ts";
import type { RodWork } from "./work.ts";

/** Before a solve: sides as kept; rims that have none yet take the side they start on. The stance must be set. */
export function takeSides(arm: ArmModel, load: Load, state: RodState, work: RodWork): void {
  if (load.walls === undefined) return;
  work.side.set(state.side);
  placeArm(arm, state.strain, work);
  placeRims(load.walls, work);
  for (let r = 2 * work.firstFree; r < work.rimVertebra.length; r++) {
    const o = 5 * r;
    if (work.side[o] === 0 && work.side[o + 1] === 0 && work.side[o + 2] === 0) writeSide(r, work);
  }
}

/** After a solve: the sides at its balance, into the state; those in the guide are forgotten. */
export function keepSides(load: Load, state: RodState, report: SolveReport, work: RodWork): SolveReport {
  if (load.walls === undefined || report.status === "not-converged" || report.status === "jammed") return report;
  placeRims(load.walls, work);
  work.side.fill(0, 0, 10 * work.firstFree);
  for (let r = 2 * work.firstFree; r < work.rimVertebra.length; r++) writeSide(r, work);
  state.side.set(work.side);
  return report;
}

function writeSide(r: number, work: RodWork): void {
  const { side, rimPoint, rimDistance, rimGradient } = work;
  if (!Number.isFinite(rimDistance[r] as number)) return;
  let offset = -(rimDistance[r] as number);
  for (let k = 0; k < 3; k++) {
    side[5 * r + k] = rimGradient[3 * r + k] as number;
    offset += (rimGradient[3 * r + k] as number) * (rimPoint[3 * r + k] as number);
  }
  side[5 * r + 3] = offset;
  side[5 * r + 4] = work.rimWall[r] as number;
}
