export { contentHash } from "./content-hash.ts";
export { dropValue } from "./drop-value.ts";
export { type ArmAnswer, findInArmFile, type LoadedArm, loadArm } from "./load-arm.ts";
export { type JobAnswer, loadJob } from "./load-job.ts";
export type { Conditions, Job, Limits, Value } from "./model.ts";
export { armSchema, jobSchema } from "./publish-schema.ts";
export { spliceValue } from "./splice-value.ts";
export { cableStocks, rodMaterials } from "./stock.ts";
export { writeFitted } from "./write-fitted.ts";
