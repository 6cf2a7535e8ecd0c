/** The margin of the tip's pose at the target. */
import type { ArmModel } from "../arm/index.ts";
import type { DepthRecord, Loose, Rub } from "../insertion/index.ts";
import type { Target } from "../space/index.ts";
import type { Facts } from "./facts.ts";
import { looseParts } from "./loose.ts";
import { mm } from "./places.ts";
import type { Draft } from "./rows.ts";

/** What moves the tip beside the plan, in words. */
function sayOpen({ loose, rub }: DepthRecord, open: number, seen: boolean): string {
  if (open === 0) return "";
  const parts = [
    ...(loose === undefined ? [] : [looseParts(loose)]).filter((part) => part !== ""),
    ...(rub === undefined ? [] : ["friction anywhere in its range"]),
  ];
  const says = `${mm(open)} for ${parts.join(" and ")}, all one way`;
  return seen ? `; up to ${says}, is to be trimmed by the tip's camera and is not in it` : `, and ${says}`;
}

export function poseRow(facts: Facts, last: DepthRecord): Draft {
  const { target } = facts;
  const { demand, along, angle, open } = poseOf(facts.arm, target, last.frames, last.tool, last.loose, last.rub);
  return {
    id: "pose",
    title: "Tip pose at the target",
    unit: "m",
    demand,
    limit: target.tolerance,
    use: demand > target.tolerance && !last.settled ? Number.NaN : demand / target.tolerance,
    where: { way: "in", depth: last.depth, place: target.place },
    whereSays: `${target.name}: ${mm(along)} off the place, ${((angle * 180) / Math.PI).toFixed(1)} deg from the wanted aim`,
    note: `How far the tool's line misses the place, with what is missing in stand-off and in the cone of aims${sayOpen(last, open, isSeen(facts.arm))}.`,
  };
}

/**
 * How far a shape's tool is from where the target wants it, m; its distance along the tool, m, the angle to the wanted aim, rad, what play,
 * tolerances and friction may add, m, and whether a camera at the tip sees that, so that it is trimmed and not in it.
 *
 * @param frames [vertebra, 12] @param tool [3] tool point, m, world
 * @param record whose play and friction count
 */
export function poseOf(
  arm: ArmModel,
  target: Target,
  frames: Float64Array,
  tool: ArrayLike<number>,
  loose: Loose | undefined,
  rub: Rub | undefined,
): { readonly demand: number; readonly along: number; readonly angle: number; readonly open: number } {
  const f = 12 * arm.spans;
  const axis = [frames[f + 2] as number, frames[f + 5] as number, frames[f + 8] as number];
  const to = target.place.map((p, r) => p - (tool[r] as number));
  const along = to.reduce((sum, v, r) => sum + v * (axis[r] as number), 0);
  const aside = Math.sqrt(Math.max(0, to.reduce((sum, v) => sum + v * v, 0) - along * along));
  const off = Math.max(0, target.standOff[0] - along, along - target.standOff[1]);
  const cosine = axis.reduce((sum, v, r) => sum + v * (target.direction[r] as number), 0);
  const sum = (values: Float64Array | undefined): number => values?.reduce((all, value) => all + value, 0) ?? 0;
  const seen = isSeen(arm);
  const open = sum(loose?.tip) + (rub?.tip ?? 0);
  const angle = Math.acos(Math.max(-1, Math.min(1, cosine))) + (seen ? 0 : sum(loose?.aim) + (rub?.aim ?? 0));
  // a wrong aim moves what the tool does by its own length at least, however near it stands
  const lever = Math.max(along, arm.description.tool.length);
  const beyond = Math.max(0, angle - target.cone) * lever;
  return { demand: Math.sqrt(aside * aside + off * off + beyond * beyond) + (seen ? 0 : open), along, angle, open };
}

/** A camera at the tip sees the place: what play, tolerances and friction shift there is trimmed by it. */
function isSeen(arm: ArmModel): boolean {
  return arm.description.tool.camera !== undefined;
}
