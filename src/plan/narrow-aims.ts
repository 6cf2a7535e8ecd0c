/**
 * Of the aims and stand-offs that a look permits, those from which the place is seen as asked: nothing before it, the viewing angle, the
 * focus and the smallest indication within their limits. The route is sought to these first.
 */
import { type ArmModel, pixelFootprint } from "../arm/index.ts";
import type { EndRegion } from "../path/index.ts";
import { type SpaceModel, seePlace, sightSpace, surfaceAt, type Target, usualPixels, usualTilt } from "../space/index.ts";
import { lookShift, lookStretch } from "./see-target.ts";

type Vector = readonly [number, number, number];

/** Rings of directions that are looked at, and stand-offs over their range. */
const rings = 5;
const standOffs = 5;
/** Cones kept for each range of stand-offs. */
const cones = 3;
/** Rooms and distances asked for beyond the limits: the arm does not come to rest quite where its route ends. */
const reserve = 1.1;

/** @returns undefined where all of them are good, or none is */
export function narrowAims(arm: ArmModel, space: SpaceModel, target: Target): EndRegion[] | undefined {
  if (target.kind !== "look") return undefined;
  const seen = sightSpace(space);
  const offs = listOffs(target.standOff);
  const directions = listDirections(target);
  const good = directions.map((d) => offs.map((off) => isGood(arm, seen, target, d.direction, off)));
  if (good.every((row) => row.every((g) => g)) || good.every((row) => row.every((g) => !g))) return undefined;
  const regions: EndRegion[] = [];
  for (let i = 0; i === 0 || i + 1 < offs.length; i++) {
    const to = Math.min(i + 1, offs.length - 1);
    const isFine = (k: number): boolean => [i, to].every((j) => (good[k] as boolean[])[j]);
    const wide = directions.map(({ direction, tilt }, m) => (isFine(m) ? coneAbout(direction, target.cone - tilt, isFine) : -1));
    // the widest cones that hold no direction that is not fine, each with its middle outside the others
    for (let count = 0; count < cones; count++) {
      const best = wide.reduce((b, cone, m) => (cone > (wide[b] as number) + 1e-9 ? m : b), 0);
      const cone = wide[best] as number;
      if (cone < 0) break;
      const { direction } = directions[best] as { direction: Vector };
      regions.push({ target: target.place, aim: direction, cone, standOff: [offs[i] as number, offs[to] as number] });
      directions.forEach((other, m) => {
        if (turnBetween(direction, other.direction) <= Math.max(cone, 1e-6)) wide[m] = -1;
      });
    }
  }
  return regions.length === 0 ? undefined : regions;

  function coneAbout(middle: Vector, most: number, isFine: (k: number) => boolean): number {
    const apart = target.cone / (rings - 1);
    return directions.reduce(
      (cone, other, k) => (isFine(k) ? cone : Math.min(cone, Math.max(0, turnBetween(middle, other.direction) - apart / 2))),
      Math.max(0, most),
    );
  }
}

/** From a stand-off along an aim, with a little more asked for. */
function isGood(arm: ArmModel, seen: SpaceModel, target: Target, d: Vector, off: number): boolean {
  const viewer = [0, 1, 2].map((r) => (target.place[r] as number) - off * (d[r] as number)) as unknown as Vector;
  return seesAsked(arm, seen, target, d, viewer, reserve);
}

/**
 * Whether the place is seen as the target asks: by a camera at `viewer` that looks along the unit vector `d`.
 *
 * @param seen without stand-offs (`sightSpace`)
 * @param more share by which the shift allowed for is greater than asked
 */
export function seesAsked(arm: ArmModel, seen: SpaceModel, target: Target, d: Vector, viewer: Vector, more = 1): boolean {
  const under = surfaceAt(seen, target.place, viewer);
  const place = under.away <= target.tolerance ? under.at : target.place;
  const normal = target.normal ?? (under.away <= target.tolerance ? under.normal : ([0, 0, 0] as const));
  const shift = lookShift(arm, target, 0) * more;
  const distance = apart(place, viewer);
  if (!(distance > shift)) return false;
  const turn = Math.asin(Math.min(1, shift / distance));
  const facing = [0, 1, 2].reduce((sum, r) => sum + ((viewer[r] as number) - (place[r] as number)) * (normal[r] as number), 0) / distance;
  const known = normal.some((v) => v !== 0);
  const tilt = Math.acos(Math.max(-1, Math.min(1, facing)));
  if (known && tilt + turn > (target.mostTilt ?? usualTilt)) return false;
  const off = [0, 1, 2].reduce((sum, r) => sum + ((place[r] as number) - (viewer[r] as number)) * (d[r] as number), 0);
  const { camera } = arm.description.tool;
  if (camera?.focus !== undefined && (off - shift < camera.focus[0] || off + shift > camera.focus[1])) return false;
  if (camera !== undefined && target.indication !== undefined) {
    // the worst pose: farther by the shift, tilted more by what it turns the line by
    const turned = Math.min(Math.PI / 2, (known ? tilt : 0) + turn);
    const far = distance + shift;
    const footprint = pixelFootprint(camera, [0, 0, far], [0, 0, 1], [Math.sin(turned), 0, Math.cos(turned)]);
    if ((target.indicationPixels ?? usualPixels) * footprint > target.indication) return false;
  }
  const sight = seePlace(seen, viewer, place, lookStretch(target));
  return !sight.cut && sight.room >= shift;
}

function listOffs([least, most]: readonly [number, number]): number[] {
  if (most - least < 1e-6) return [(least + most) / 2];
  return Array.from({ length: standOffs }, (_, k) => least + ((most - least) * k) / (standOffs - 1));
}

/** The middle, then rings out to the edge of the cone, about as far apart along as across. */
function listDirections({ direction, cone }: Target): { direction: Vector; tilt: number }[] {
  const list = [{ direction, tilt: 0 }];
  if (!(cone > 1e-6)) return list;
  const [p, q] = across(direction);
  for (let ring = 1; ring < rings; ring++) {
    const tilt = (cone * ring) / (rings - 1);
    for (let k = 0; k < 6 * ring; k++) {
      const turn = (2 * Math.PI * k) / (6 * ring);
      const [c, s] = [Math.cos(tilt), Math.sin(tilt)];
      const made = [0, 1, 2].map(
        (r) => c * (direction[r] as number) + s * (Math.cos(turn) * (p[r] as number) + Math.sin(turn) * (q[r] as number)),
      );
      list.push({ direction: made as unknown as Vector, tilt });
    }
  }
  return list;
}

function across(d: Vector): readonly [Vector, Vector] {
  const least = [0, 1, 2].reduce((a, b) => (Math.abs(d[b] as number) < Math.abs(d[a] as number) ? b : a));
  const e = [0, 1, 2].map((r) => (r === least ? 1 : 0) - (d[least] as number) * (d[r] as number));
  const size = Math.sqrt(e.reduce((sum, v) => sum + v * v, 0));
  const p = e.map((v) => v / size) as unknown as Vector;
  return [p, [d[1] * p[2] - d[2] * p[1], d[2] * p[0] - d[0] * p[2], d[0] * p[1] - d[1] * p[0]]];
}

function turnBetween(a: Vector, b: Vector): number {
  return Math.acos(Math.max(-1, Math.min(1, a[0] * b[0] + a[1] * b[1] + a[2] * b[2])));
}

function apart(a: Vector, b: Vector): number {
  return Math.sqrt((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2);
}
