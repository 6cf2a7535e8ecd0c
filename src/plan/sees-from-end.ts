/** Whether a look sees its place as asked from the end of a route. */
import type { Route } from "../path/index.ts";
import { sightSpace } from "../space/index.ts";
import type { PlanModel } from "./model.ts";
import { seesAsked } from "./narrow-aims.ts";

type Triple = readonly [number, number, number];

export function seesFromEnd({ arm, space, job }: PlanModel, { curve }: Route): boolean {
  if (curve === undefined) return true;
  const k = 3 * (curve.count - 1);
  const at = (values: Float64Array): Triple => [values[k] as number, values[k + 1] as number, values[k + 2] as number];
  return seesAsked(arm, sightSpace(space), job.target, at(curve.tangent), at(curve.point));
}
