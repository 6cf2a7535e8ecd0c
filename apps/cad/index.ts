export type { SurfaceAnswer } from "./convert.ts";
export { cadLimits } from "./kernel.ts";
