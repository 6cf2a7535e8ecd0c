/** Insertions with all that may fail in them, for tests. */
import {
  createFaults,
  createFaultsState,
  createFaultsWork,
  type FaultResult,
  type FaultsModel,
  type FaultsState,
  readFaults,
  stepFaults,
} from "../../src/faults/index.ts";
import type { InsertionModel } from "../../src/insertion/index.ts";
import type { SpaceModel } from "../../src/space/index.ts";
import { runInsertion } from "../insertion/made-route.ts";

export function faultsOf(insertion: InsertionModel, space: SpaceModel, guideLength = 0.06, sudden = 1.9): FaultsModel {
  const { wayIn, failure } = runInsertion(insertion, space);
  if (failure !== "") throw new Error(failure);
  return createFaults({ insertion, space, wayIn, guideLength, sudden });
}

export function runFaults(
  model: FaultsModel,
  space: SpaceModel,
  which?: readonly number[],
): { readonly result: FaultResult; readonly state: FaultsState } {
  const state = createFaultsState(model, which);
  const work = createFaultsWork(model, space);
  while (!state.done) stepFaults(model, state, work);
  return { result: readFaults(model, [state]), state };
}

/** Which of a model's faults are of a kind, or of some cables alone. */
export function indicesOf(model: FaultsModel, kind: string, cables?: readonly number[]): number[] {
  return [...model.faults.keys()].filter((k) => {
    const fault = model.faults[k] as FaultsModel["faults"][number];
    return fault.kind === kind && (cables === undefined || cables.includes(fault.cable));
  });
}
