/** A finished fit as people and files take it. */
import type { ArmDescription } from "../arm/index.ts";
import type { QuantityKind } from "../base/index.ts";
import { carryKept, shiftBy } from "./carry-kept.ts";
import { findSpreads } from "./covariance.ts";
import { readResiduals } from "./least-squares.ts";
import type { ParameterName, Reading } from "./model.ts";
import { applyParameters, type Parameter, type ParameterValues } from "./parameters.ts";
import { type FitModel, type FitState, leastSquaresOf, readValues } from "./step-fit.ts";
import type { Untold } from "./tell-apart.ts";

export interface FittedParameter {
  readonly name: ParameterName;
  readonly title: string;
  readonly unit: "1" | "m" | "rad";
  /** factor from 1, or length from 0: beside the description as it was read */
  readonly before: number;
  readonly after: number;
  /** one standard deviation, same unit; NaN when the tables do not tell it */
  readonly spread: number;
  /** the same as people know it, by the arm's first section: modulus of its first rod, effective length; stretch as a factor. SI */
  readonly shown: { readonly quantity: QuantityKind; readonly before: number; readonly after: number; readonly spread: number };
  /** `fitted`; `kept` as described, see `untold`; `bound`: fitted, and at the end of what is possible */
  readonly state: "fitted" | "kept" | "bound";
  readonly untold?: Untold;
  /** the kept parameter whose range makes most of the spread */
  readonly mostlyFrom?: ParameterName;
}

export interface FittedReading {
  readonly table: number;
  readonly row: number;
  readonly heading: string;
  readonly place: number;
  readonly name: Reading["name"];
  /** SI */
  readonly measured: number;
  /** model with the arm as described, and as fitted; NaN where no balance was found */
  readonly before: number;
  readonly after: number;
  /** of readings like it, SI */
  readonly spread: number;
  /** share with which it counted, 0 to 1; NaN when it was left out */
  readonly weight: number;
  readonly outlier: boolean;
}

export interface FitResult {
  readonly status: "converged" | "stopped" | "failed";
  readonly parameters: readonly FittedParameter[];
  /** of the parameters with a spread, in their order: [fitted, fitted] */
  readonly correlation: readonly (readonly number[])[];
  readonly readings: readonly FittedReading[];
  /** one a kind of reading of each table, without outliers, SI */
  readonly groups: readonly {
    readonly table: number;
    readonly name: string;
    readonly count: number;
    readonly rmsBefore: number;
    readonly rmsAfter: number;
    readonly spread: number;
  }[];
  readonly values: ParameterValues;
  /** the description with the fitted values in it */
  readonly arm: ArmDescription;
}

/** Residuals beyond this many spreads are named as outliers. */
export const outlierFrom = 4;

export function readFit(model: FitModel, state: FitState): FitResult {
  const values = readValues(state.active, state.least.parameter);
  const problem = leastSquaresOf(model, state.active, values);
  const found = findSpreads(problem, state.least);
  const { bound } = found;
  const shifts = state.kept.map((kept) => shiftBy(problem, state.least, kept, bound));
  const { spread, correlation } = carryKept(found, shifts);
  const n = state.active.length;
  const told = state.active.map((_, k) => k).filter((k) => bound[k] === 0);
  const parameters = model.parameters.map((parameter) =>
    readParameter(model, parameter, state, values, spread, bound, (k) => leadingShift(state, shifts, spread, k)),
  );
  const readings = listReadings(model, state);
  return {
    status: state.least.status,
    parameters,
    correlation: told.map((a) => told.map((b) => correlation[a * n + b] as number)),
    readings,
    groups: model.groups.map(({ table, name }) => {
      const own = readings.filter((r) => r.table === table && r.name === name && !Number.isNaN(r.weight) && !r.outlier);
      const rms = (of: (r: FittedReading) => number): number => Math.sqrt(own.reduce((sum, r) => sum + of(r) ** 2, 0) / own.length);
      return {
        table,
        name,
        count: own.length,
        rmsBefore: rms((r) => r.before - r.measured),
        rmsAfter: rms((r) => r.after - r.measured),
        spread: own[0]?.spread ?? Number.NaN,
      };
    }),
    values,
    arm: applyParameters(model.arm.description, values),
  };
}

function readParameter(
  model: FitModel,
  parameter: Parameter,
  state: FitState,
  values: ParameterValues,
  spread: Float64Array,
  bound: Uint8Array,
  leading: (k: number) => ParameterName | undefined,
): FittedParameter {
  const { name, title, unit, start } = parameter;
  const k = state.active.indexOf(name);
  const untold = state.untold.find((u) => u.name === name);
  const own = k < 0 || bound[k] === 1 ? Number.NaN : (spread[k] as number);
  return {
    name,
    title,
    unit,
    before: start,
    after: values[name],
    spread: own,
    shown: show(model.arm.description, name, start, values[name], own),
    state: k < 0 ? "kept" : bound[k] === 1 ? "bound" : "fitted",
    ...(untold === undefined ? {} : { untold }),
    ...(k < 0 || leading(k) === undefined ? {} : { mostlyFrom: leading(k) as ParameterName }),
  };
}

/** What was kept, where its range makes more than half of the variance of a fitted value. */
function leadingShift(state: FitState, shifts: readonly Float64Array[], spread: Float64Array, k: number): ParameterName | undefined {
  const found = shifts.findIndex((shift) => 2 * (shift[k] as number) ** 2 > (spread[k] as number) ** 2);
  return state.kept[found]?.name;
}

function show(arm: ArmDescription, name: ParameterName, before: number, after: number, spread: number): FittedParameter["shown"] {
  const section = arm.sections[0] as ArmDescription["sections"][number];
  const modulus = section.rods[0]?.material.youngModulus ?? Number.NaN;
  const length = section.effectiveLength;
  switch (name) {
    case "stiffness":
      return { quantity: "pressure", before: before * modulus, after: after * modulus, spread: spread * modulus };
    case "effective-length":
      return { quantity: "length", before: length + before, after: length + after, spread };
    case "play": {
      const play = arm.sections.find((s) => s.play !== undefined)?.play?.bend.nominal ?? 0;
      return { quantity: "angle", before: play + before, after: play + after, spread };
    }
    case "stretch":
      return { quantity: "ratio", before, after, spread };
    case "hole-friction": {
      const holes = arm.friction?.holes.nominal ?? 0;
      return { quantity: "ratio", before: holes + before, after: holes + after, spread };
    }
    case "conduit-friction": {
      const conduit = arm.friction?.conduit.nominal ?? 0;
      return { quantity: "ratio", before: conduit + before, after: conduit + after, spread };
    }
  }
}

function listReadings(model: FitModel, state: FitState): FittedReading[] {
  const problem = leastSquaresOf(model, state.active, readValues(state.active, state.least.parameter));
  const { spreads, weights } = readResiduals(problem, state.least);
  let k = 0;
  return model.rows.flatMap((row) =>
    row.readings.map((reading) => {
      const residual = state.least.residual[k] as number;
      const u = spreads[k] as number;
      const stated = model.stated[k] as number;
      const read: FittedReading = {
        table: row.table,
        row: row.row,
        heading: reading.heading,
        place: reading.place,
        name: reading.name,
        measured: reading.value,
        before: reading.value + (state.first[k] as number),
        after: reading.value + residual,
        spread: Number.isNaN(stated) ? (state.least.scale[model.group[k] as number] as number) : stated,
        weight: weights[k] as number,
        outlier: Math.abs(u) > outlierFrom,
      };
      k++;
      return read;
    }),
  );
}
