export type {
  Body, BoreShape, BoxShape, CylinderShape, MeshShape, Placement, PlateShape, Port, RingShape, Shape, Target, TouchRule,
  TubeBundleShape,
} from "./description.ts";
export type { SpaceAnswer, SpaceModel } from "./model.ts";
