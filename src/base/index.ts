export { assert } from "./assert.ts";
export { type FaultCode, faultCodes } from "./codes.ts";
export { type Fault, InputError, refuse, sayFault } from "./errors.ts";
export { isSpread, parseQuantity, type Quantity, quantityPattern, readQuantity } from "./quantity.ts";
export { displayUnit, formatQuantity, type UnitSystem } from "./quantity-format.ts";
export { findUnit, fromSi, type KindOfQuantity, type QuantityKind, quantityKinds, toSi, type Unit } from "./quantity-units.ts";
export { createRandom } from "./random.ts";
