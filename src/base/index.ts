export { assert } from "./assert.ts";
export { type FaultCode, faultCodes } from "./codes.ts";
export { type Fault, InputError, refuse, sayFault } from "./errors.ts";
export { createRandom } from "./random.ts";
