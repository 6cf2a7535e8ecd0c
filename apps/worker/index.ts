export { gatherDraws, sortRack } from "../../src/study/index.ts";
export { headNotChecked, layFaultLanes, listFaults, otherConditions, readMargin } from "../../src/verdict/index.ts";
export { type CadStart, createPlanner, type Planner } from "./client.ts";
export { createMapper, type Mapper } from "./mapper.ts";
export { createPagePool } from "./page-pool.ts";
export type { Pool } from "./pool.ts";
export type {
  ArmField,
  ArmPicture,
  BodyPicture,
  CablePicture,
  DrawSource,
  EditAnswer,
  JobFiles,
  JobPicture,
  OpenAnswer,
  PlanAnswer,
  PlanNews,
  RackAnswer,
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
