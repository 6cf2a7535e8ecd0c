export { askWorker } from "./ask-worker.ts";
export type { SurfaceAnswer } from "./convert.ts";
