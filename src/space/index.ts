export {
  type CellTree,
  type CellWork,
  cellCentre,
  cellEdge,
  cellKind,
  cellReach,
  createCells,
  createCellWork,
  faceNeighbours,
  fenceRoom,
  type HalfBall,
  locateCell,
  splitBatch,
  splitCells,
} from "./cells.ts";
export { checkBodies } from "./check-bodies.ts";
export { bodyIndexByName, createSpace, pickBodies } from "./create-space.ts";
export { createWalls, type SpaceWalls, type WallRequest } from "./create-walls.ts";
export type {
  AnnulusShape,
  BendShape,
  Body,
  BoreShape,
  BoxShape,
  CylinderShape,
  MeshShape,
  PipeShape,
  Placement,
  PlateShape,
  Port,
  ReducerShape,
  RingShape,
  Shape,
  SphereShape,
  Target,
  TeeShape,
  TouchRule,
  TubeBundleShape,
  VanesShape,
  Zone,
} from "./description.ts";
export { usualPixels, usualTilt } from "./description.ts";
export { drawBody } from "./draw-body.ts";
export { isPipe } from "./lay-pipe.ts";
export type { SpaceAnswer, SpaceModel, SpacePart } from "./model.ts";
export { outsideZone } from "./outside-zone.ts";
export { createSpaceAnswer, createSpaceWork, type SpaceWork, sampleSpace } from "./sample-space.ts";
export { type Sight, type SurfaceThere, seePlace, sightSpace, surfaceAt } from "./see-place.ts";
