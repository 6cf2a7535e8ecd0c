export { bendRadius, createPlan, createPlanState } from "./create-plan.ts";
export { type Exit, exitOf, tubeLine } from "./lay-launch.ts";
export { listDrives } from "./list-drives.ts";
export type { PlanModel, PlanProgress, PlanResult, PlanState, Turn } from "./model.ts";
export { createOffersState, type OfferedRoute, type OffersState, stepOffers } from "./offer-routes.ts";
export { createPlanWork, insertionModel, type PlanWork, readPlan, stepPlan } from "./step-plan.ts";
export type { Rescue } from "./step-rescue.ts";
export { version } from "./version.ts";
