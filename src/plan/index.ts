export { bendRadius, createPlan, createPlanState } from "./create-plan.ts";
export { findSlack } from "./find-slack.ts";
export { type Exit, exitOf, tubeLine } from "./lay-launch.ts";
export type { PlanModel, PlanProgress, PlanResult, PlanState, Turn } from "./model.ts";
export { seeTarget } from "./see-target.ts";
export { createPlanWork, insertionModel, judgeWalk, type PlanWork, readPlan, stepPlan } from "./step-plan.ts";
export { version } from "./version.ts";
