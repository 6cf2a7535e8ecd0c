/** The planned shape at one record without friction of its cables: where faults begin, and what the drives would do. */
import { keepOff, loadWithWalls, solved, stanceAt } from "../insertion/index.ts";
import { pointOf } from "../math/index.ts";
import { copyRodState, createRodState, inspectShape, type RodState, solveHeld } from "../rod/index.ts";
import type { FaultsModel, FaultsState, Planned } from "./model.ts";
import type { FaultsWork } from "./work.ts";

/** The next record from the port inwards. */
export function planAgain(model: FaultsModel, state: FaultsState, work: FaultsWork): void {
  const { insertion, wayIn } = model;
  const { arm } = insertion;
  const record = wayIn[state.planned.length] as FaultsModel["wayIn"][number];
  state.rod ??= createRodState(arm);
  const stance = stanceAt(insertion, record.depth, record.roll, work.insertion);
  let report = solveHeld(arm, insertion.load, stance, record.bend, state.rod, work.insertion.rod);
  let rod: RodState = copyRodState(state.rod);
  const leans = record.contact !== undefined && record.contact.force.length > 0;
  if (solved(report) && leans) {
    report = solveHeld(arm, loadWithWalls(insertion, work.insertion, "out"), stance, record.bend, rod, work.insertion.rod);
    if (!solved(report)) rod = copyRodState(state.rod);
  }
  const { inspection } = work.insertion;
  inspectShape(arm, rod, work.insertion.rod, inspection);
  const tool = new Float64Array(3);
  pointOf(work.insertion.rod.frame, arm.spans, 0, 0, arm.description.tool.length, tool);
  const planned: Planned = {
    depth: record.depth,
    roll: record.roll,
    rod,
    drawn: inspection.drawn.slice(),
    kept: keepOff(insertion, record.rub?.hull, work.insertion),
    tool,
    lost: !solved(report) || (record.contact !== undefined && record.contact.state !== "held"),
  };
  state.planned.push(planned);
}
