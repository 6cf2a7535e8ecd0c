/** All faults of a plan, one solve a step, over a resumable state. */
import type { Fault, FaultEvent, FaultFinding, FaultResult, FaultsModel, FaultsState, Recipe, WayFound } from "./model.ts";
import { planAgain } from "./plan-again.ts";
import { bestOf, readWay, readWays } from "./read-ways.ts";
import { startWalk, stepWalk } from "./walk-out.ts";
import type { FaultsWork } from "./work.ts";

/** How often depths between neighbours that are answered otherwise are looked at. */
const mostParted = 2;

/** What is tried by drives that help, in this order. */
const helps: readonly Recipe[] = ["plan", "ease", "limp"];

export function stepFaults(model: FaultsModel, state: FaultsState, work: FaultsWork): void {
  if (state.done) return;
  if (state.planned.length < model.wayIn.length) {
    planAgain(model, state, work);
    if (state.planned.length === model.wayIn.length) begin(model, state);
    return;
  }
  const index = state.which[state.at] as number;
  const fault = model.faults[index] as Fault;
  if (state.walk !== undefined) {
    stepWalk(model, state.planned, fault, state.walk, work);
    if (state.walk.stage === "done") endWalk(model, state, fault);
    return;
  }
  if (state.task === "done") finish(model, state, index, fault);
  else advance(model, state, fault);
}

/** What one state found that another need not find again: the same whichever finds it. */
export interface SharedWays {
  readonly planned?: FaultsState["planned"];
  readonly locked?: FaultsState["locked"];
  readonly limp?: FaultsState["limp"];
}

/** Gives a state that has not begun what others found. */
export function takeShared(model: FaultsModel, state: FaultsState, { planned, locked, limp }: SharedWays): void {
  state.locked = locked;
  state.limp = limp;
  if (planned === undefined) return;
  state.planned = planned;
  begin(model, state);
}

/** The fault at hand from its first task on. */
function begin(model: FaultsModel, state: FaultsState): void {
  if (state.at >= state.which.length) {
    state.done = true;
    state.progress = 1;
    return;
  }
  const fault = model.faults[state.which[state.at] as number] as Fault;
  state.holding = [];
  state.helping = [];
  state.tried = [];
  state.queue = undefined;
  state.parted = 0;
  state.recipe = fault.kind === "released" ? "limp" : fault.kind === "locked" ? "hold" : "plan";
  state.task = fault.kind === "broken" || fault.kind === "released" ? "throughout" : "holding";
  state.progress = state.at / state.which.length;
  state.says = sayFault(fault);
}

function sayFault({ kind, cable }: Fault): string {
  if (kind === "locked") return "All power lost, drives that hold.";
  if (kind === "released") return "All power lost, drives that let go.";
  return kind === "broken" ? `Cable ${cable + 1} broken.` : `Drive ${cable + 1} stalled.`;
}

/** The next walk of the task at hand, or the next task. */
function advance(model: FaultsModel, state: FaultsState, fault: Fault): void {
  const { planned } = state;
  if (state.task === "throughout") {
    if (state.recipe === "limp" && state.limp !== undefined) takeThroughout(state, fault, state.limp);
    else state.walk = startWalk(planned, state.recipe, planned.length - 1, true);
    return;
  }
  if (state.task === "holding" && fault.kind !== "broken" && state.locked !== undefined) {
    state.holding = state.locked;
    nextTask(state, fault);
    return;
  }
  state.queue ??= [...model.starts];
  const start = state.queue[0];
  if (start !== undefined) {
    state.walk = startWalk(planned, state.task === "holding" ? "hold" : state.recipe, start, false);
    return;
  }
  const ways = state.task === "holding" ? state.holding : state.helping;
  state.queue = state.parted < mostParted ? partWays(state, ways) : [];
  state.parted++;
  if (state.queue.length > 0) return;
  if (state.task === "holding" && fault.kind !== "broken") state.locked = state.holding;
  nextTask(state, fault);
}

/** Records half-way between neighbours that are answered otherwise. */
function partWays({ planned }: FaultsState, ways: WayFound[]): number[] {
  ways.sort((a, b) => a.depth - b.depth);
  const at = (way: WayFound): number => planned.findIndex((one) => one.depth === way.depth);
  const parts: number[] = [];
  ways.forEach((way, k) => {
    const before = ways[k - 1];
    const from = before === undefined ? 0 : at(before);
    // at the port it is out
    if ((before?.outcome ?? "out") === way.outcome || at(way) - from < 2) return;
    parts.push(Math.round((from + at(way)) / 2));
  });
  return parts;
}

function endWalk(model: FaultsModel, state: FaultsState, fault: Fault): void {
  const walk = state.walk as NonNullable<FaultsState["walk"]>;
  state.walk = undefined;
  if (walk.throughout) {
    const ways = readWays(state.planned, walk, model.stride);
    if (walk.recipe === "limp" && fault.kind === "released") state.limp = ways;
    takeThroughout(state, fault, ways);
    return;
  }
  const way = readWay(state.planned, walk);
  if (state.task === "holding") {
    state.holding.push(way);
    state.queue?.shift();
    return;
  }
  state.tried.push(way);
  const next = helps[helps.indexOf(walk.recipe) + 1];
  if (way.outcome !== "out" && next !== undefined) {
    state.recipe = next;
    return;
  }
  state.helping.push(bestOf(state.tried));
  state.tried = [];
  state.recipe = "plan";
  state.queue?.shift();
}

/** Ways from all depths by one recipe: better ones take the places of those before. */
function takeThroughout(state: FaultsState, fault: Fault, ways: readonly WayFound[]): void {
  if (fault.kind === "released") {
    state.holding = [...ways];
    state.task = "done";
    return;
  }
  state.helping =
    state.helping.length === 0 ? [...ways] : state.helping.map((way, k) => bestOf([way, withEvent(ways[k] as WayFound, way.event)]));
  const next = helps[helps.indexOf(state.recipe) + 1];
  if (next !== undefined && state.helping.some((way) => way.outcome !== "out")) {
    state.recipe = next;
    return;
  }
  state.task = "holding";
}

/** The cables let go beside the broken one are let go by will: what the fault itself does stays what it was. */
function withEvent(way: WayFound, event: FaultEvent | undefined): WayFound {
  return event === undefined ? way : { ...way, event };
}

function nextTask(state: FaultsState, fault: Fault): void {
  state.queue = undefined;
  state.parted = 0;
  state.recipe = "plan";
  state.task = state.task === "holding" && fault.kind === "stalled" ? "helping" : "done";
}

function finish(model: FaultsModel, state: FaultsState, index: number, fault: Fault): void {
  const finding: FaultFinding = { ...fault, holding: thin(state.holding), helping: thin(state.helping) };
  state.findings.push({ index, finding });
  state.at++;
  begin(model, state);
}

/**
 * Rising; of neighbours that are answered alike the first and the last, so that what changes is told with both its sides; and the ways with the
 * greatest pull, the greatest drop and the least room on the swing.
 */
function thin(ways: readonly WayFound[]): WayFound[] {
  const sorted = [...ways].sort((a, b) => a.depth - b.depth);
  const alike = (one: WayFound, two: WayFound | undefined): boolean =>
    two !== undefined && one.outcome === two.outcome && one.by === two.by && one.stop?.kind === two.stop?.kind;
  const most = (of: (way: WayFound) => number | undefined): WayFound | undefined =>
    sorted.reduce<WayFound | undefined>((best, way) => {
      const value = of(way) ?? Number.NaN;
      return value > (best === undefined ? Number.NEGATIVE_INFINITY : (of(best) ?? Number.NEGATIVE_INFINITY)) ? way : best;
    }, undefined);
  const kept = [
    most((way) => way.pullUse),
    most((way) => way.pull),
    most((way) => way.event?.drop),
    most((way) => (way.event === undefined ? undefined : -way.event.swingSpare)),
  ];
  return sorted.filter((way, k) => !alike(way, sorted[k - 1]) || !alike(way, sorted[k + 1]) || kept.includes(way));
}

/** Of one state, or of several that looked at parts of one model. All must be done. */
export function readFaults(model: FaultsModel, states: readonly Pick<FaultsState, "findings">[]): FaultResult {
  const found = states.flatMap((state) => state.findings).sort((a, b) => a.index - b.index);
  const depths = model.wayIn.map((record) => record.depth);
  return {
    step: (((depths[depths.length - 1] as number) - (depths[0] as number)) / Math.max(1, depths.length - 1)) * model.stride,
    findings: found.map(({ finding }) => finding),
    withoutFriction: Number.isNaN(model.friction),
    strengthGiven: model.insertion.arm.description.pullOut?.strength ?? Number.NaN,
    notes: [
      "Shapes without friction of the cables in their holes and conduits; what it may shift of a planned shape is taken off the clearance.",
      ...(Number.isNaN(model.friction) ? ["Without friction on walls and in the guide: the job gives none."] : []),
      ...(model.insertion.launch === undefined
        ? []
        : [
            "What lies in the guide tube or on the drum is taken as straight for the cables; round the tube's bends the pull grows as a rope's does.",
          ]),
      "The pull is slow and steady: blows and snags are not in it, nor friction of the cables.",
    ],
  };
}
