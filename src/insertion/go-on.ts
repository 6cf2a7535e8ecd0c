/**
 * Commands that were planned before, gone through again from where the arm stands, with what its cables have slid since: out from one
 * target to where the ways part, over and on to another, and out again.
 */
import { copyRodState, type RodState } from "../rod/index.ts";
import type { DepthRecord, InsertionModel, InsertionState } from "./model.ts";
import { createInsertionState } from "./step-insertion.ts";

/**
 * A state to be stepped by `stepInsertion` until it is done; what it finds is its `wayOut`, in the order gone.
 *
 * @param records  the planned depths in the order they are gone through; their commands are kept
 * @param rod      as the arm stands before the first
 * @param standing the record it stands at, when that is another than the first: the change from it is checked as well
 */
export function goAgain(
  model: InsertionModel,
  records: readonly DepthRecord[],
  rod: RodState,
  way: "in" | "out",
  standing?: DepthRecord,
): InsertionState {
  return {
    ...createInsertionState(model),
    stage: records.length === 0 ? "done" : "out",
    again: way,
    index: records.length - 1,
    wayIn: [...records].reverse(),
    wayOut: standing === undefined ? [] : [standing],
    rod: copyRodState(rod),
  };
}
