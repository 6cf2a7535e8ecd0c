export { sortOf } from "./bind-tables.ts";
export type { Column, ParameterName, Rig, Table, TableRow, TableSort } from "./model.ts";
export { applyParameters, listParameters, type Parameter, type ParameterValues, parameterNames, untouched } from "./parameters.ts";
export { type FitResult, type FittedParameter, type FittedReading, outlierFrom, readFit } from "./read-fit.ts";
export { readTable } from "./read-table.ts";
export { recordFit, sayNotes } from "./record-fit.ts";
export { createFit, createFitState, createFitWork, type FitModel, type FitState, type FitWork, stepFit } from "./step-fit.ts";
export type { Untold } from "./tell-apart.ts";
