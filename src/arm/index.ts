export type { ArmDescription, CableStock, Camera, Hose, Rod, RodMaterial, Section, Tool } from "./description.ts";
