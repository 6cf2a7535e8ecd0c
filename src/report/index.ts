export { type DriveFile, driveTableCsv, driveTableJson, driveTableOf, readDriveTableJson } from "./drive-table.ts";
export { type FitReportOptions, fitHtml } from "./fit-html.ts";
export { planJson, readPlanJson } from "./plan-json.ts";
export { type RackLine, type RackRecord, rackGroups, rackJson, readRackJson } from "./rack-json.ts";
export { type ReportOptions, reportHtml } from "./report-html.ts";
export { sceneGlb } from "./scene-glb.ts";
export { type ComparedBackbones, createPlanBackbones } from "./tell-backbones.ts";
export { createPlanSheet, type FilledSheet } from "./tell-sheet.ts";
