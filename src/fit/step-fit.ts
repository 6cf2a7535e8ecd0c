/** The fit as a resumable work: one row of a table at one set of parameters a step. */
import { type ArmDescription, type ArmModel, createArm } from "../arm/index.ts";
import { assert } from "../base/index.ts";
import { bindTables } from "./bind-tables.ts";
import { type Kept, listKept } from "./carry-kept.ts";
import { createLeastSquares, type LeastSquares, type LeastSquaresState, tellResiduals } from "./least-squares.ts";
import type { MeasuredRow, ParameterName, Rig, Table } from "./model.ts";
import { applyParameters, isFriction, listParameters, type Parameter, type ParameterValues, untouched } from "./parameters.ts";
import { createPredictWork, createRowState, type PredictWork, predictRow, type RowState } from "./predict-row.ts";
import { tellAlike, tellApart, type Untold } from "./tell-apart.ts";

/** Made once; readonly plain data. */
export interface FitModel {
  readonly arm: ArmModel;
  readonly rig: Rig;
  readonly tables: readonly Table[];
  readonly rows: readonly MeasuredRow[];
  /** [row + 1] its first reading, and the end */
  readonly firstReading: Int32Array;
  readonly parameters: readonly Parameter[];
  /** [reading] */
  readonly group: Int32Array;
  /** [group] table and name of its readings */
  readonly groups: readonly { readonly table: number; readonly name: string }[];
  readonly stated: Float64Array;
  /** [group] no spread is taken to be less */
  readonly least: Float64Array;
}

/** Plain data: it can be saved and resumed. */
export interface FitState {
  /** parameters that are being fitted */
  active: readonly ParameterName[];
  /** those that the tables do not tell, and why; in the order they were given up */
  readonly untold: Untold[];
  least: LeastSquaresState;
  readonly rows: RowState[];
  row: number;
  readonly residual: Float64Array;
  /** [reading] model minus reading with the arm as described; NaN where no balance was found */
  readonly first: Float64Array;
  evaluations: number;
  /** once fitted: what was kept within a range, and which end of which is tried now */
  kept: readonly Kept[];
  keptAt: number;
  done: boolean;
}

export interface FitWork extends PredictWork {
  /** the arm at the parameters it was made for last */
  made: { readonly values: ParameterValues; readonly arm: ArmModel } | undefined;
}

/** A residual of three spreads and more hardly counts; Huber's customary choice gives 95 % of the plain fit's sharpness on clean readings. */
export const huber = 1.345;

/** @throws InputError `arm.*`, `table.arm` */
export function createFit(description: ArmDescription, tables: readonly Table[], rig: Rig): FitModel {
  const arm = createArm(description);
  const rows = bindTables(arm, tables);
  const firstReading = new Int32Array(rows.length + 1);
  rows.forEach((row, k) => {
    firstReading[k + 1] = (firstReading[k] as number) + row.readings.length;
  });
  const groups: { table: number; name: string }[] = [];
  const group: number[] = [];
  const stated: number[] = [];
  const reach: number[] = [];
  for (const row of rows) {
    for (const reading of row.readings) {
      let g = groups.findIndex((one) => one.table === row.table && one.name === reading.name);
      if (g < 0) g = groups.push({ table: row.table, name: reading.name }) - 1;
      group.push(g);
      stated.push(reading.spread);
      reach[g] = Math.max(reach[g] ?? 0, Math.abs(reading.value));
    }
  }
  return {
    arm,
    rig,
    tables,
    rows,
    firstReading,
    parameters: listParameters(description),
    group: Int32Array.from(group),
    groups,
    stated: Float64Array.from(stated),
    // what the solver's own tolerance leaves
    least: Float64Array.from(reach, (r) => Math.max(1e-6 * r, 1e-12)),
  };
}

export function createFitState(model: FitModel): FitState {
  // what rubs is told by going there and back only
  const there = goesBothWays(model.rows);
  const active = model.parameters.map((p) => p.name).filter((name) => there || !isFriction(name));
  const state: FitState = {
    active,
    untold: model.parameters.filter(({ name }) => !active.includes(name)).map(({ name }) => ({ name, why: "one-way" })),
    least: createLeastSquares(leastSquaresOf(model, active, untouched)),
    rows: model.rows.map(() => createRowState(model.arm)),
    row: 0,
    residual: new Float64Array(model.group.length),
    first: new Float64Array(model.group.length).fill(Number.NaN),
    evaluations: 0,
    kept: [],
    keptAt: -1,
    done: false,
  };
  return state;
}

export function createFitWork(model: FitModel): FitWork {
  return { ...createPredictWork(model.arm), made: undefined };
}

/** Whether a drive of some table draws in and, later, lets out again. */
function goesBothWays(rows: readonly MeasuredRow[]): boolean {
  const turned = rows.map((row, k) => {
    const before = rows[k - 1];
    if (before?.table !== row.table || row.way !== "draw") return { table: row.table, in: false, out: false };
    const change = row.draw.map((d, c) => d - (before.draw[c] as number));
    return { table: row.table, in: change.some((d) => d > 1e-9), out: change.some((d) => d < -1e-9) };
  });
  return turned.some((one) => one.in && turned.some((two) => two.table === one.table && two.out));
}

/** One row. Nothing happens once it is done. */
export function stepFit(model: FitModel, state: FitState, work: FitWork): void {
  if (state.done) return;
  const row = model.rows[state.row] as MeasuredRow;
  const values = valuesOf(model, state);
  const at = model.firstReading[state.row] as number;
  const previous =
    state.row === 0 ? undefined : { row: model.rows[state.row - 1] as MeasuredRow, state: state.rows[state.row - 1] as RowState };
  predictRow(armAt(model, values, work), model.rig, row, state.rows[state.row] as RowState, previous, work, state.residual, at);
  row.readings.forEach((reading, k) => {
    state.residual[at + k] = (state.residual[at + k] as number) - reading.value;
  });
  state.row++;
  if (state.row < model.rows.length) return;
  state.row = 0;
  if (state.keptAt >= 0) {
    takeKept(state);
    return;
  }
  if (state.evaluations++ === 0) state.first.set(state.residual);
  tellResiduals(leastSquaresOf(model, state.active, values), state.least, state.residual);
  const firstSlopes = state.least.stage === "trial" && state.least.iterations === 0;
  if (state.least.stage === "done") judgeParameters(model, state);
  else if (firstSlopes) {
    const alike = tellAlike(model.parameters, state.active, leastSquaresOf(model, state.active, values), state.least);
    if (alike !== undefined) goOnWithout(model, state, alike);
  }
}

/** Gives up the parameter that the tables tell least, and starts again without it; done when all that are left are told. */
function judgeParameters(model: FitModel, state: FitState): void {
  const problem = leastSquaresOf(model, state.active, untouched);
  const lost = state.least.status === "failed" ? undefined : tellApart(model.parameters, state.active, problem, state.least);
  if (lost === undefined) {
    const kept = model.parameters.map((p) => p.name).filter((name) => !state.active.includes(name));
    state.kept = state.least.status === "failed" ? [] : listKept(model.arm.description, kept, model.group.length);
    state.keptAt = 0;
    state.done = state.kept.length === 0;
    return;
  }
  goOnWithout(model, state, lost);
}

/** What is tried now: what the least squares ask for, or the fitted values with something that was kept moved. */
function valuesOf(model: FitModel, state: FitState): ParameterValues {
  const values = readValues(state.active, state.least.asked);
  const kept = state.kept[state.keptAt >> 1];
  if (kept === undefined) return values;
  const limits = model.parameters.find((p) => p.name === kept.name) as Parameter;
  const by = kept.by[state.keptAt & 1] as number;
  return { ...values, [kept.name]: Math.min(limits.high, Math.max(limits.low, by)) };
}

function takeKept(state: FitState): void {
  const kept = state.kept[state.keptAt >> 1] as Kept;
  (state.keptAt % 2 === 0 ? kept.up : kept.down).set(state.residual);
  state.keptAt++;
  state.done = state.keptAt >= 2 * state.kept.length;
}

function goOnWithout(model: FitModel, state: FitState, lost: Untold): void {
  state.untold.push(lost);
  const kept = readValues(state.active, state.least.parameter);
  state.active = state.active.filter((name) => name !== lost.name);
  state.least = createLeastSquares(leastSquaresOf(model, state.active, { ...kept, [lost.name]: untouched[lost.name] }));
}

/** The problem of the parameters that are fitted now, from where they start. */
export function leastSquaresOf(model: FitModel, active: readonly ParameterName[], from: ParameterValues): LeastSquares {
  const chosen = active.map((name) => model.parameters.find((p) => p.name === name) as Parameter);
  const take = (of: (p: Parameter) => number): Float64Array => Float64Array.from(chosen, of);
  return {
    parameters: active.length,
    readings: model.group.length,
    start: take((p) => from[p.name]),
    low: take((p) => p.low),
    high: take((p) => p.high),
    difference: take((p) => p.difference),
    group: model.group,
    groups: model.groups.length,
    stated: model.stated,
    least: model.least,
    huber,
  };
}

export function readValues(active: readonly ParameterName[], fitted: Float64Array): ParameterValues {
  assert(active.length === fitted.length, "a value for each parameter");
  const values: Record<ParameterName, number> = { ...untouched };
  active.forEach((name, k) => {
    values[name] = fitted[k] as number;
  });
  return values;
}

function armAt(model: FitModel, values: ParameterValues, work: FitWork): ArmModel {
  const { made } = work;
  if (made !== undefined && model.parameters.every(({ name }) => made.values[name] === values[name])) return made.arm;
  const arm = createArm(applyParameters(model.arm.description, values));
  work.made = { values, arm };
  return arm;
}
