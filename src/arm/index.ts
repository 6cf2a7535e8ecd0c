export { strengthOverBend } from "./bend-factor.ts";
export { cablesRub } from "./cables-rub.ts";
export { checkArm, leastWeb } from "./check-arm.ts";
export { checkDrives } from "./check-drives.ts";
export { checkDrumValues } from "./check-drum.ts";
export { type ArmOptions, createArm } from "./create-arm.ts";
export {
  type ArmBase,
  type ArmDescription,
  type CableStock,
  type Camera,
  type Drives,
  type Drum,
  type FeedDrive,
  type Fitted,
  type FittedName,
  type Gear,
  type Hose,
  type Joint,
  type Motor,
  type Play,
  type PullOut,
  type Ratings,
  type Rod,
  type RodMaterial,
  type RollDrive,
  type Section,
  type Spool,
  type Tool,
  usualDamping,
} from "./description.ts";
export { vertebraVolume } from "./displaced-volume.ts";
export { heatArm, linearStrainAt } from "./heat-arm.ts";
export { type Hole, listHoles, measureWebs, type Web } from "./measure-webs.ts";
export type { ArmModel } from "./model.ts";
export { nameCable } from "./name-cable.ts";
export { halfView, pixelFootprint, pixelSide } from "./pixel-footprint.ts";
export { rodSection } from "./rod-stiffness.ts";
export { pairOf, turnShare } from "./turn-share.ts";
