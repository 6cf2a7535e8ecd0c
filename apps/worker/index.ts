export { headNotChecked, otherConditions, readMargin } from "../../src/verdict/index.ts";
export { type CadStart, createPlanner, type Planner } from "./client.ts";
export { createMapper, type Mapper } from "./mapper.ts";
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
export type {
  ArmAsk,
  BackboneKind,
  BackbonePoint,
  BackboneRow,
  BrokenCase,
  Lie,
  LimitPlace,
  LoadWay,
  MapFrame,
  MapId,
  MapNews,
  MapPoints,
  MapsAnswer,
  PayloadPoint,
  Pose,
  RestPoint,
  SentSection,
  StalledCase,
  SwingPoint,
} from "./protocol-maps.ts";
