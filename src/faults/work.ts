/** Everything that looking at faults writes. Made once from the model, one a thread; nothing in it changes a result. */
import { createInsertionWork, type InsertionWork } from "../insertion/index.ts";
import { createRodState, type RodState } from "../rod/index.ts";
import type { SpaceModel } from "../space/index.ts";
import type { FaultsModel } from "./model.ts";

export interface FaultsWork {
  readonly insertion: InsertionWork;
  readonly trial: RodState;
  /** [cable] m */
  readonly free: Float64Array;
}

/** A fallen arm leaves its route by more than a planned one: walls are known this far beyond it, on a coarser grid, m. */
const room = 40e-3;
const step = 3e-3;

export function createFaultsWork(model: FaultsModel, space: SpaceModel): FaultsWork {
  const { arm } = model.insertion;
  return {
    insertion: createInsertionWork(model.insertion, space, { room, step }),
    trial: createRodState(arm),
    free: new Float64Array(arm.cables),
  };
}
