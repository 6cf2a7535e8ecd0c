/** What the tool, at its planned pose at the target, sees of the place: the line to it, the angle to its surface, what a pixel covers. */
import { type ArmModel, pixelFootprint, pixelSide } from "../arm/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import { type SpaceModel, seePlace, sightSpace, surfaceAt, type Target } from "../space/index.ts";
import type { SightFact } from "../verdict/index.ts";
import { cutByArm } from "./cut-by-arm.ts";

type Point = readonly [number, number, number];

/**
 * @param record the arm at the target
 */
export function seeTarget(arm: ArmModel, space: SpaceModel, target: Target, record: DepthRecord): SightFact {
  const { frames, tool } = record;
  const f = 12 * arm.spans;
  const axis: Point = [frames[f + 2] as number, frames[f + 5] as number, frames[f + 8] as number];
  const from: Point = [tool[0] as number, tool[1] as number, tool[2] as number];
  const seen = sightSpace(space);
  const under = surfaceAt(seen, target.place, from);
  // a place stated a little off its surface is looked for on it
  const place = under.away <= target.tolerance ? under.at : target.place;
  const normal = target.normal ?? (under.away <= target.tolerance ? under.normal : ([0, 0, 0] as const));
  const to: Point = [place[0] - from[0], place[1] - from[1], place[2] - from[2]];
  const distance = Math.sqrt(dot(to, to));
  const depth = dot(to, axis);
  const known = dot(normal, normal) > 0.5;
  const ray: Point = distance > 0 ? [to[0] / distance, to[1] / distance, to[2] / distance] : axis;
  const looks = target.kind === "look";
  const tilt = known ? angle(-dot(looks ? ray : axis, normal)) : Number.NaN;
  const { camera } = arm.description.tool;
  const loose = (values: Float64Array | undefined): number => values?.reduce((sum, value) => sum + value, 0) ?? 0;
  const open = loose(record.loose?.tip) + (record.rub?.fullTip ?? 0);
  const turn = loose(record.loose?.aim) + (record.rub?.fullAim ?? 0);
  const base = { place, distance, depth, offAxis: angle(dot(ray, axis)), normal, tilt, open, turn };
  if (!looks) return base;
  const shift = lookShift(arm, target, open);
  const sight = seePlace(seen, from, place, lookStretch(target));
  const own = cutByArm(arm, frames, from, place);
  return {
    ...base,
    look: {
      shift,
      room: own === undefined ? sight.room : 0,
      ...(own !== undefined
        ? { cutBy: "arm" as const, vertebra: own.vertebra, near: own.place, body: -1 }
        : {
            ...(sight.cut ? { cutBy: "body" as const } : {}),
            near: sight.place,
            body: sight.body < 0 ? -1 : space.bodies.indexOf(seen.bodies[sight.body] as SpaceModel["bodies"][number]),
          }),
      ...(camera === undefined ? {} : pixels()),
    },
  };

  /** On the axis at the planned pose, and on the tilted surface at the worst of all poses within the shift. */
  function pixels(): { pixel: number; footprint: number; worstFootprint: number } {
    if (camera === undefined || !(depth > 0)) {
      return { pixel: Number.POSITIVE_INFINITY, footprint: Number.POSITIVE_INFINITY, worstFootprint: Number.POSITIVE_INFINITY };
    }
    const square = known ? normal : ray;
    const worst = worstPose(ray, square, distance, shift);
    return {
      pixel: pixelSide(camera, depth),
      footprint: pixelFootprint(camera, to, axis, square),
      // farther by all of the shift and turned by all it may turn about the place, which stays where it is in the picture
      worstFootprint: pixelFootprint(camera, [worst.far * ray[0], worst.far * ray[1], worst.far * ray[2]], axis, worst.normal),
    };
  }
}

/** How far a camera may be off: what the target allows; without a picture to trim by, what is open where that is more. m */
export function lookShift(arm: ArmModel, target: Target, open: number): number {
  return arm.description.tool.camera === undefined ? Math.max(target.tolerance, open) : target.tolerance;
}

/** How near to the place a line of sight is looked at, m: a spot as far from it as the indication is small shows it as well. */
export function lookStretch({ indication }: Target): number {
  return indication ?? roughness;
}

/** Facets, beads and paint of a surface hide no place for longer than this, m. */
const roughness = 1e-3;

/** A viewer that shifts by `shift` any way is farther by it at the most, and the line turns by no more than asin(shift / distance). */
function worstPose(ray: Point, normal: Point, distance: number, shift: number): { far: number; normal: Point } {
  const turn = Math.asin(Math.min(1, shift / distance));
  const tilted = Math.min(Math.PI / 2, angle(Math.abs(dot(ray, normal))) + turn);
  // the normal turned on, away from the line of sight, in the plane of both
  const facing = dot(ray, normal) < 0 ? -1 : 1;
  const side = [0, 1, 2].map((r) => (normal[r] as number) - dot(ray, normal) * (ray[r] as number));
  const size = Math.sqrt(side.reduce((sum, v) => sum + v * v, 0));
  const across = size > 1e-9 ? side.map((v) => v / size) : anyAcross(ray);
  const turned = [0, 1, 2].map((r) => facing * Math.cos(tilted) * (ray[r] as number) + Math.sin(tilted) * (across[r] as number));
  return { far: distance + shift, normal: turned as unknown as Point };
}

function anyAcross(d: Point): number[] {
  const least = [0, 1, 2].reduce((a, b) => (Math.abs(d[b] as number) < Math.abs(d[a] as number) ? b : a));
  const e = [0, 1, 2].map((r) => (r === least ? 1 : 0) - (d[least] as number) * (d[r] as number));
  const size = Math.sqrt(e.reduce((sum, v) => sum + v * v, 0));
  return e.map((v) => v / size);
}

function angle(cosine: number): number {
  return Math.acos(Math.max(-1, Math.min(1, cosine)));
}

function dot(a: Point, b: Point): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
