export { costWay, type WayCost } from "./cost-way.ts";
export { bendRadius, createPlan, createPlanState } from "./create-plan.ts";
export { type Exit, exitOf, tubeLine } from "./lay-launch.ts";
export type { PlanModel, PlanProgress, PlanResult, PlanState, Turn } from "./model.ts";
export { readPlan, stepPlan } from "./plan-all.ts";
export { createPlanWork, insertionModel, type PlanWork } from "./step-plan.ts";
export type { Choice, Visit } from "./tour-state.ts";
export { version } from "./version.ts";
