import type { InsertionModel } from "./model.ts";

/** Length of the straight arm from its base to the tool point, m. */
export function armLength({ arm }: Pick<InsertionModel, "arm">): number {
  return (arm.along[arm.spans] as number) + arm.description.tool.length;
}
