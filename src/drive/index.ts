export { bendsToBreak, lifeSpread, relativeLife } from "./cable-life.ts";
export { createDriveTable } from "./create-table.ts";
export { joinDepths } from "./join-depths.ts";
export { countPasses } from "./list-lives.ts";
export { backShare, type GearLoad, loadGear } from "./load-gear.ts";
export type { Brake, CableLife, DriveRequest, DriveRow, DriveTable, WaySum } from "./model.ts";
export { type FeedLimits, type TimeLaw, timeFeed } from "./time-feed.ts";
export { createWinding, drawnByTurns, lengthOfTurns, radiusAt, turnsByDrawn, turnsOfLength, type Winding } from "./wind-spool.ts";
