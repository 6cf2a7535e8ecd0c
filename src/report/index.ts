export { cableTableCsv } from "./cable-table.ts";
export { planJson, readPlanJson } from "./plan-json.ts";
