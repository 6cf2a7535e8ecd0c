export { cableTableCsv } from "./cable-table.ts";
export { planJson, readPlanJson } from "./plan-json.ts";
export { type ReportOptions, reportHtml } from "./report-html.ts";
export { sceneGlb } from "./scene-glb.ts";
export { type ComparedBackbones, createPlanBackbones } from "./tell-backbones.ts";
