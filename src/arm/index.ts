export { checkArm, leastWeb } from "./check-arm.ts";
export { type ArmOptions, createArm } from "./create-arm.ts";
export {
  type ArmDescription,
  type CableStock,
  type Camera,
  type Hose,
  type Rod,
  type RodMaterial,
  type Section,
  type Tool,
  usualDamping,
} from "./description.ts";
export { vertebraVolume } from "./displaced-volume.ts";
export { type Hole, listHoles, measureWebs, type Web } from "./measure-webs.ts";
export type { ArmModel } from "./model.ts";
export { rodSection } from "./rod-stiffness.ts";
