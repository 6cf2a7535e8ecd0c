/** How far the margins of the drum may be off: the arm is wound up and paid out again with each unsure number one standard deviation up, and down. */
import { createArm } from "../arm/index.ts";
import { assert, InputError } from "../base/index.ts";
import {
  createDrum,
  createDrumState,
  createDrumWork,
  type DrumModel,
  type DrumState,
  type DrumWork,
  readDrum,
  stepDrum,
} from "../drum/index.ts";
import { drumRows } from "../verdict/index.ts";
import { listUnsure, shiftArm, type Unsure } from "./list-unsure.ts";
import type { PlanModel, PlanState } from "./model.ts";
import { putEffect, slopeOf } from "./spread-margins.ts";

/** Which winding is at hand, and what those before it found. Plain data. */
export interface DrumSpread {
  /** twice the unsure number's, and one more for down */
  index: number;
  drum: DrumState | undefined;
  /** of the winding up to `index`: by row id what was found, and how many deviations off it was */
  up: { readonly found: Readonly<Record<string, number>>; readonly by: number } | undefined;
}

export interface DrumSpreadWork {
  model: DrumModel | undefined;
  work: DrumWork | undefined;
  index: number;
}

/** Whether there is a step left; none without a drum, or when all is surely known. */
export function hasDrumSpread(model: PlanModel, state: PlanState): boolean {
  return model.drum !== undefined && (state.drumSpread?.index ?? 0) < 2 * listUnsure(model.job).length;
}

/** One step of one winding; adds to `state.effects` when both of a number are done. */
export function spreadDrum(model: PlanModel, state: PlanState, kept: DrumSpreadWork): void {
  const unsure = listUnsure(model.job);
  state.drumSpread ??= { index: 0, drum: undefined, up: undefined };
  const at = state.drumSpread;
  const k = Math.floor(at.index / 2);
  const { arm: description, by } = shiftArm(model.job.arm, unsure[k] as Unsure, at.index % 2 === 0 ? 1 : -1);
  if (kept.model === undefined || kept.index !== at.index) {
    kept.index = at.index;
    kept.model = wound(model, description);
    kept.work = kept.model === undefined ? undefined : createDrumWork(kept.model);
  }
  if (kept.model !== undefined && kept.work !== undefined) {
    at.drum ??= createDrumState(kept.model);
    stepDrum(kept.model, at.drum, kept.work);
    if (at.drum.stage !== "done") return;
  }
  const found = kept.model === undefined || at.drum === undefined ? {} : foundOf(kept.model, at.drum);
  if (at.index % 2 === 0) at.up = { found, by };
  else {
    assert(at.up !== undefined, "up was found before down");
    for (const { id } of state.verdict?.rows ?? []) {
      if (!id.startsWith("drum-")) continue;
      putEffect(state, id, unsure.length, k, slopeOf(at.up.found[id] ?? Number.NaN, at.up.by, found[id] ?? Number.NaN, by));
    }
  }
  at.index++;
  at.drum = undefined;
}

function wound(model: PlanModel, description: PlanModel["job"]["arm"]): DrumModel | undefined {
  assert(model.drum !== undefined, "there is a drum");
  try {
    return createDrum(createArm(description), model.drum.request);
  } catch (error) {
    if (error instanceof InputError) return undefined;
    throw error;
  }
}

function foundOf(model: DrumModel, state: DrumState): Record<string, number> {
  return Object.fromEntries(drumRows({ arm: model.arm, drum: readDrum(model, state) }).map((row) => [row.id, row.demand]));
}
