export { setUp } from "./memory";
export { bendChanges, combineColumns, products, reduceColumns, returnColumns } from "./columns";
export { placeArm } from "./place";
export { shareTensions } from "./friction";
export { changeShares, pullColumn, rateShares } from "./friction-rates";
export { sweepSpan } from "./sweep";
