export { columnOf, solveColumn } from "./column.ts";
export { measureOutside } from "./measure-outside.ts";
export { measureRoom } from "./measure-room.ts";
export type { Column, Entry, Outside, OutsideFact, Push, RoomFact, Thing } from "./model.ts";
export { type PushRequest, pushIn } from "./push-in.ts";
