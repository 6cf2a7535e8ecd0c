/** The margins of what the tool sees at the target, and of its angle to the surface. */
import { halfView } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import { usualPixels, usualTilt } from "../space/index.ts";
import type { Facts, SightFact } from "./facts.ts";
import { mm } from "./places.ts";
import type { Draft } from "./rows.ts";

type Look = NonNullable<SightFact["look"]>;

/** What these rows are made of. */
export type LookFacts = Pick<Facts, "arm" | "target" | "bodies" | "sight" | "wayIn">;

/** None before the arm is at the target. */
export function lookRows(facts: LookFacts): Draft[] {
  const { sight, target } = facts;
  const last = facts.wayIn[facts.wayIn.length - 1];
  if (sight === undefined || last === undefined) return [];
  const where = { way: "in" as const, depth: last.depth, place: sight.place };
  if (sight.look === undefined) {
    const limit = target.mostTilt;
    if (limit === undefined) return [];
    const demand = sight.tilt + sight.turn;
    const draft = { id: "tool-angle", title: "Tool to the surface", unit: "rad" as const, demand, limit, use: demand / limit, where };
    return [{ ...draft, whereSays: sayThere(facts), note: noteTilt(facts, "Angle of the tool", sight.turn) }];
  }
  return [
    sightRow(facts, sight, sight.look, where),
    ...tiltRow(facts, sight, sight.look, where),
    ...cameraRows(facts, sight, sight.look, where),
  ];
}

function sayThere({ target }: LookFacts): string {
  return `at ${target.name}`;
}

function degrees(value: number): string {
  return formatQuantity(value, "angle", "metric", 3);
}

/** What may shift the camera, in words. */
function sayShift({ target }: LookFacts, look: Look): string {
  return look.shift > target.tolerance
    ? `${mm(look.shift)} that play, tolerances and the dead band may shift it by`
    : `${mm(look.shift)} that the target lets it be off`;
}

function sightRow(facts: LookFacts, sight: SightFact, look: Look, where: Draft["where"]): Draft {
  const name = look.body < 0 ? undefined : facts.bodies[look.body]?.name;
  const by = look.cutBy === "arm" ? `the arm's own body at vertebra ${look.vertebra}` : (name ?? "nothing");
  return {
    id: "sight",
    title: "Line of sight",
    unit: "m",
    demand: look.shift,
    limit: look.room,
    use: look.room > 0 ? look.shift / look.room : Number.POSITIVE_INFINITY,
    where: { ...where, place: look.near, ...(look.body < 0 ? {} : { body: look.body }) },
    whereSays: look.cutBy === undefined ? `${sayThere(facts)}, nearest to it ${by}` : `${sayThere(facts)}, cut by ${by}`,
    note: `How far the camera may shift, any way, with the straight line of ${mm(sight.distance)} to the place still free, against ${sayShift(facts, look)}. Its last ${mm(facts.target.indication ?? 1e-3)} is not looked at. Surfaces hide, fluid and zones do not.`,
  };
}

function tiltRow(facts: LookFacts, sight: SightFact, look: Look, where: Draft["where"]): Draft[] {
  if (Number.isNaN(sight.tilt)) return [];
  const limit = facts.target.mostTilt ?? usualTilt;
  const more = Math.asin(Math.min(1, look.shift / sight.distance));
  const demand = sight.tilt + more;
  return [
    {
      id: "view-angle",
      title: "Viewing angle",
      unit: "rad",
      demand,
      limit,
      use: demand / limit,
      where,
      whereSays: sayThere(facts),
      note: noteTilt(facts, "Angle of the line of sight", more),
    },
  ];
}

function noteTilt({ target, sight }: LookFacts, what: string, more: number): string {
  const from = target.normal === undefined ? "the nearest surface's normal" : "the normal that the job gives";
  return `${what} to ${from}, ${degrees(sight?.tilt ?? Number.NaN)} as planned${more > 0 ? ` and ${degrees(more)} for what may shift or turn it` : ""}.`;
}

function cameraRows(facts: LookFacts, sight: SightFact, look: Look, where: Draft["where"]): Draft[] {
  const { camera } = facts.arm.description.tool;
  if (camera === undefined || look.pixel === undefined) return [];
  const { indication, indicationPixels = usualPixels } = facts.target;
  const rows: Draft[] = [
    {
      id: "in-view",
      title: "In the picture",
      unit: "rad",
      demand: sight.offAxis,
      limit: halfView(camera),
      use: sight.offAxis / halfView(camera),
      where,
      whereSays: sayThere(facts),
      note: "Angle of the place from the camera's axis against the narrower half of its field of view, as planned: what shifts and turns it is trimmed by the picture.",
    },
  ];
  if (camera.focus !== undefined) rows.push(focusRow(facts, sight, look, camera.focus, where));
  if (indication === undefined) return rows;
  const demand = indicationPixels * (look.worstFootprint as number);
  rows.push({
    id: "detail",
    title: "Smallest indication",
    unit: "m",
    demand,
    limit: indication,
    use: demand / indication,
    where,
    whereSays: `${sayThere(facts)}: ${mm(look.pixel)} a pixel square on, ${mm(look.footprint as number)} along the tilt`,
    note: `What ${indicationPixels} pixels cover along the surface's tilt, the camera off by the ${sayShift(facts, look)}: ${mm(look.worstFootprint as number)} a pixel. A pinhole camera; blur, light and contrast are left out.`,
  });
  return rows;
}

function focusRow(facts: LookFacts, sight: SightFact, look: Look, [near, far]: readonly [number, number], where: Draft["where"]): Draft {
  const [least, most] = [Math.max(0, sight.depth - look.shift), sight.depth + look.shift];
  const tooNear = least > 0 ? near / least : Number.POSITIVE_INFINITY;
  const close = tooNear > most / far;
  return {
    id: "focus",
    title: "Focus",
    unit: "m",
    demand: close ? near : most,
    limit: close ? least : far,
    use: close ? tooNear : most / far,
    where,
    whereSays: `${sayThere(facts)}: ${mm(sight.depth)} ahead of the camera`,
    note: `${close ? "Nearest sharp distance against the least" : "Greatest"} distance along the camera's axis, off by the ${sayShift(facts, look)}${close ? "" : ", against the farthest sharp one"}.`,
  };
}

/** What of the look is not judged, and why. */
export function lookNotChecked({ target, arm, sight }: Facts): string[] {
  const { camera } = arm.description.tool;
  if (sight === undefined && target.kind === "look") return ["line of sight, viewing angle, coverage and resolution"];
  if (target.kind !== "look") {
    return target.mostTilt === undefined ? ["angle of the tool to the surface (the target gives no limit)"] : [];
  }
  return [
    "coverage of the surface about the place",
    ...(camera === undefined ? ["what the camera resolves (the tool has none)"] : []),
    ...(camera !== undefined && target.indication === undefined ? ["resolution (the target names no smallest indication)"] : []),
    ...(camera !== undefined && camera.focus === undefined ? ["focus (the camera gives no range)"] : []),
  ];
}
