/** What each wall does to each part of the arm at a shape that was solved among them. */
import type { Walls } from "./model.ts";
import { placeCorners, placeRims, sampleCorners } from "./touch-walls.ts";
import type { RodWork } from "./work.ts";

/** Plain data. Parts: vertebrae by their number, then the tool. */
export interface Contact {
  /** [wall, vertebra + 1, 3] sum of the walls' pushes, friction left out, N, world */
  readonly force: Float64Array;
  /** [wall, vertebra + 1] sum of their sizes, N */
  readonly pressed: Float64Array;
  /** [wall, vertebra + 1, 3] their mean place, m, world; 0 where nothing presses */
  readonly place: Float64Array;
}

export function createContact(walls: Walls, work: RodWork): Contact {
  const n = walls.field.walls.length * work.pressed.length;
  return { force: new Float64Array(3 * n), pressed: new Float64Array(n), place: new Float64Array(3 * n) };
}

/** @param work as a solve with these walls left it */
export function readContact(walls: Walls, work: RodWork, contact: Contact): void {
  const { force, pressed, place } = contact;
  force.fill(0);
  pressed.fill(0);
  place.fill(0);
  placeRims(walls, work);
  const count = placeCorners(work);
  const { cornerRim, cornerPoint, cornerDistance, cornerGradient } = work;
  for (let k = 0; k < walls.field.walls.length && count > 0; k++) {
    sampleCorners(walls, k, count, work);
    for (let c = 0; c < count; c++) {
      const sunk = -(cornerDistance[c] as number);
      if (!(sunk > 0)) continue;
      const kept = cornerRim[c] as number;
      const part = k * work.pressed.length + 1 + ((kept < 0 ? -1 - kept : kept) >> 1);
      const size = walls.stiffness * sunk;
      const all = (pressed[part] as number) + size;
      pressed[part] = all;
      for (let r = 0; r < 3; r++) {
        force[3 * part + r] = (force[3 * part + r] as number) + size * (cornerGradient[3 * c + r] as number);
        const mean = place[3 * part + r] as number;
        place[3 * part + r] = mean + (size / all) * ((cornerPoint[3 * c + r] as number) - mean);
      }
    }
  }
}
