export type { BandWall } from "./band-wall.ts";
export { countNegative, factorCholesky, factorLu, solveCholesky, solveLu } from "./dense.ts";
export {
  type BoxWall,
  type DistanceField,
  type GridWall,
  type PlaneWall,
  sampleField,
  sampleWall,
  type TubeWall,
  type Wall,
} from "./distance-field.ts";
export { createFrameAlong, pointOf, rollFrame } from "./frames.ts";
export { principalAxes } from "./principal.ts";
