export { headNotChecked, otherConditions, readMargin } from "../../src/verdict/index.ts";
export { createPlanner, type Planner } from "./client.ts";
export type {
  ArmField,
  ArmPicture,
  BodyPicture,
  CablePicture,
  EditAnswer,
  JobFiles,
  JobPicture,
  OpenAnswer,
  PlanAnswer,
  PlanNews,
  SectionPicture,
  WorkerVerbs,
} from "./protocol.ts";
