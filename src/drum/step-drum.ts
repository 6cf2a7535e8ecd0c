/** Winding an arm up row by row, letting its last turn hang, and paying it out again: in steps over a plain state. */
import type { ArmModel } from "../arm/index.ts";
import { assert } from "../base/index.ts";
import { copyRodState, createRodState, createRodWork, type RodWork } from "../rod/index.ts";
import { bendOnDrum, createBent, stepBent } from "./bend-coil.ts";
import { checkDrum } from "./check-drum.ts";
import { hangTries, hangTurn } from "./hang-turn.ts";
import { createHold, holdOff, stepHold } from "./hold-coil.ts";
import { easiestRoll, layCoil } from "./lay-coil.ts";
import { measurePull, measureRow } from "./measure-row.ts";
import type { Coil, DrumModel, DrumRequest, DrumResult, DrumRow, DrumState } from "./model.ts";
import { longestInsert, nameFaults } from "./name-faults.ts";

export interface DrumWork {
  readonly rod: RodWork;
}

/** @throws InputError `drum.value` */
export function createDrum(arm: ArmModel, request: DrumRequest): DrumModel {
  checkDrum(arm, request);
  const { drum } = request;
  const roll = drum.roll ?? easiestRoll(arm, drum);
  // a guide that gives is not on the drum: the anchor holds fast
  const anchored: ArmModel = { ...arm, baseRoot: new Float64Array(0) };
  return {
    arm: withoutStops(anchored, layCoil(arm, drum, roll)),
    request,
    roll,
    counts: listCounts(arm, request.step),
    friction: drum.friction,
  };
}

/** A lay that asks for more than the stops allow is told as it would be without them: leaning on stops, it is no lay at all. */
function withoutStops(arm: ArmModel, coil: Coil): ArmModel {
  const past = coil.joint.some((angle, i) => angle > (arm.stop[2 * i] as number));
  return past ? { ...arm, stop: arm.stop.map((value, k) => (k % 2 === 1 ? 0 : value)) } : arm;
}

/** Within each section every `step` spans, and its end. */
function listCounts(arm: ArmModel, step: number | undefined): number[] {
  const counts = [0];
  for (let j = 0; j < arm.sections; j++) {
    const first = arm.firstSpan[j] as number;
    const end = arm.firstSpan[j + 1] as number;
    const stride = step ?? Math.max(2, 2 * Math.floor((end - first) / 4));
    for (let count = first + stride; count < end; count += stride) counts.push(count);
    counts.push(end);
  }
  return counts;
}

export function createDrumState(model: DrumModel): DrumState {
  return {
    stage: "winding",
    index: 0,
    rod: createRodState(model.arm),
    rows: [],
    hang: undefined,
    tried: 0,
    wound: undefined,
    hold: undefined,
    paidBend: undefined,
  };
}

export function createDrumWork(model: DrumModel): DrumWork {
  return { rod: createRodWork(model.arm) };
}

/** One step: a solve towards a row, or a direction of gravity. Nothing happens when the state is done. */
export function stepDrum(model: DrumModel, state: DrumState, work: DrumWork): void {
  if (state.stage === "winding") wind(model, state, work);
  else if (state.stage === "hanging") letHang(model, state, work);
  else if (state.stage === "paying") pay(model, state, work);
}

/** Share that is done, 0 to 1. */
export function drumProgress(model: DrumModel, state: DrumState): number {
  const rows = model.counts.length;
  const whole = 2 * rows + hangTries;
  if (state.stage === "done") return 1;
  if (state.stage === "winding") return state.index / whole;
  return (rows + state.tried + (state.stage === "paying" ? rows - 1 - state.index : 0)) / whole;
}

function wind(model: DrumModel, state: DrumState, work: DrumWork): void {
  const count = model.counts[state.index] as number;
  const before = state.rows[state.rows.length - 1]?.bend ?? new Float64Array(2 * model.arm.sections);
  const report = hold(model, state, count, before, work);
  if (report === undefined) return;
  const { arm, coil, bend } = report;
  state.rows.push(measureRow(model, arm, coil, count, bend, state.rod, report.report, work.rod));
  state.index++;
  const lost = report.report.status === "not-converged";
  if (!lost && state.index < model.counts.length) return;
  state.wound = copyRodState(state.rod);
  state.index -= 1;
  // what the drum holds does not hang
  state.stage = lost ? "done" : model.request.drum.bentBy === "drum" ? "paying" : "hanging";
}

/** One solve towards a row; what is held, once it is. */
function hold(model: DrumModel, state: DrumState, count: number, from: Float64Array, work: DrumWork) {
  const coil = coilOf(model, state);
  const byDrum = model.request.drum.bentBy === "drum";
  const arm = byDrum ? bendOnDrum(model.arm, coil, count, state.rod) : holdOff(model.arm, count, state.rod);
  state.hold ??= byDrum ? createBent(arm) : createHold(arm, coil, count, from);
  if (byDrum) stepBent(arm, coil, state.hold, state.rod, work.rod);
  else stepHold(arm, coil, count, state.hold, state.rod, work.rod);
  const { done, bend, report } = state.hold;
  if (!done) return undefined;
  assert(report !== undefined, "a coil that is held was solved for");
  state.hold = undefined;
  return { arm, coil, bend, report };
}

function letHang(model: DrumModel, state: DrumState, work: DrumWork): void {
  const row = state.rows[state.rows.length - 1];
  assert(row !== undefined && state.wound !== undefined, "the arm is wound up before it hangs");
  const covered = model.request.drum.cover !== undefined;
  state.hang = hangTurn(model.arm, coilOf(model, state), row.bend, state.wound, state.tried, state.hang, covered, work.rod);
  state.tried++;
  if (state.tried < hangTries) return;
  state.stage = state.index > 0 ? "paying" : "done";
}

function pay(model: DrumModel, state: DrumState, work: DrumWork): void {
  const row = state.rows[state.index - 1] as DrumRow;
  const before = state.paidBend ?? (state.rows[state.index] as DrumRow).bend;
  const held = hold(model, state, row.spans, before, work);
  if (held === undefined) return;
  state.rows[state.index - 1] = { ...row, paying: measurePull(held.arm, state.rod, held.report, work.rod) };
  state.paidBend = held.bend;
  state.index--;
  if (state.index === 0 || held.report.status === "not-converged") state.stage = "done";
}

/** The lay for an arm stretched as the state has it: cables push the backbone together by some thousandths. */
function coilOf(model: DrumModel, { rod }: DrumState) {
  const { arm, request, roll } = model;
  const stretch = new Float64Array(arm.spans);
  for (let i = 0; i < arm.spans; i++) stretch[i] = rod.strain[4 * i + 3] as number;
  return layCoil(arm, request.drum, roll, stretch);
}

/** @param state done */
export function readDrum(model: DrumModel, state: DrumState): DrumResult {
  assert(state.stage === "done", "the arm is wound up and paid out before it is read");
  const { arm, request } = model;
  const coil = layCoil(arm, request.drum, model.roll);
  const count = state.rows[state.rows.length - 1]?.spans ?? 0;
  const widest = Math.max(...arm.description.sections.map((section) => section.outerDiameter));
  let far = 0;
  let outer = 0;
  for (let i = 0; i <= count; i++) {
    far = Math.max(far, coil.height[i] as number);
    outer = Math.max(outer, coil.distance[i] as number);
  }
  const channel = Math.min(...arm.description.sections.map((section) => section.channelDiameter));
  const radius = 1 / Math.max(...coil.curvature);
  const found = {
    rows: state.rows,
    hang: state.hang,
    width: far + widest,
    diameter: 2 * outer + widest,
    longest: request.insert === undefined ? undefined : longestInsert(radius, channel, request.insert.diameter),
  };
  return { bentBy: request.drum.bentBy, roll: model.roll, ...found, faults: nameFaults(model, coil, found) };
}
