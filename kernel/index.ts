export { setUp } from "./memory";
export { combineColumns, products, reduceColumns, returnColumns } from "./columns";
export { placeArm } from "./place";
export { sweepSpan } from "./sweep";
