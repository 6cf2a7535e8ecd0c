export { checkArm, leastWeb } from "./check-arm.ts";
export { checkDrumValues } from "./check-drum.ts";
export { type ArmOptions, createArm } from "./create-arm.ts";
export type { ArmDescription, CableStock, Camera, Drum, Hose, Rod, RodMaterial, Section, Tool } from "./description.ts";
export { vertebraVolume } from "./displaced-volume.ts";
export { heatArm, linearStrainAt } from "./heat-arm.ts";
export type { ArmModel } from "./model.ts";
export { rodSection } from "./rod-stiffness.ts";
