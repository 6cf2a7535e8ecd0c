/** The lanes of the depth ribbon: what each shows of a solved depth, its unit and its limit. */
import type { DepthRecord } from "../../../src/insertion/index.ts";
import type { JobPicture } from "../../worker/index.ts";
import { type LengthUnit, lengthIn } from "../say.ts";

export interface Lane {
  readonly id: string;
  readonly title: string;
  readonly unit: string;
  /** what its lines are, first the one that is filled */
  readonly lines: readonly { readonly says: string; readonly short: string; readonly of: (record: DepthRecord) => number }[];
  /** drawn dashed on both sides, in the lane's unit */
  readonly limit?: { readonly says: string; readonly at: number; readonly side: "least" | "most"; readonly shaded: boolean };
  /** whether a depth breaks the limit, when that is not told by the lines */
  readonly breaks?: (record: DepthRecord) => boolean;
  readonly digits: number;
  /** share of the ribbon's height */
  readonly tall: number;
}

const degrees = (radians: number) => (radians * 180) / Math.PI;
const least = (list: Float64Array) => list.reduce((most, value) => Math.min(most, value), Number.POSITIVE_INFINITY);
const greatest = (list: Float64Array) => list.reduce((most, value) => Math.max(most, Math.abs(value)), 0);

export function listLanes(picture: JobPicture, unit: LengthUnit): Lane[] {
  const length = (metres: number) => lengthIn(metres, unit);
  const lengthDigits = unit === "mm" ? 1 : 3;
  const { arm, limits } = picture;
  const load = Math.min(...arm.cables.map((cable) => cable.workingLoad));
  return [
    {
      id: "clearance",
      title: "Clearance",
      unit,
      lines: [
        { says: "guaranteed to what must not be touched", short: "guaranteed", of: (r) => length(r.asked) },
        { says: "guaranteed to anything", short: "to anything", of: (r) => length(least(r.swept)) },
      ],
      // asked of the bodies that must not be touched; a wall that may be touched asks for nothing
      limit: { says: "asked", at: length(limits.clearance), side: "least", shaded: false },
      breaks: (r) => r.sweptSpare < 0,
      digits: lengthDigits,
      tall: 1.6,
    },
    {
      id: "tension",
      title: "Tension",
      unit: "N",
      lines: [
        { says: "strongest", short: "strongest", of: (r) => r.tension.reduce((most, t) => Math.max(most, t), 0) },
        { says: "slackest", short: "slackest", of: (r) => least(r.tension) },
      ],
      limit: { says: "working load", at: load, side: "most", shaded: true },
      digits: 0,
      tall: 1.4,
    },
    {
      id: "joint",
      title: "Joint angle",
      unit: "°",
      lines: [{ says: "sharpest", short: "sharpest", of: (r) => degrees(greatest(r.jointAngle)) }],
      limit: { says: "limit", at: degrees(arm.jointLimit), side: "most", shaded: true },
      digits: 1,
      tall: 1,
    },
    {
      id: "sag",
      title: "Tip sag",
      unit,
      lines: [{ says: "load off to on", short: "load", of: (r) => length(r.sag) }],
      limit: { says: "limit", at: length(limits.sag), side: "most", shaded: true },
      digits: lengthDigits,
      tall: 1,
    },
    {
      id: "deviation",
      title: "Off route",
      unit,
      lines: [
        { says: "greatest", short: "greatest", of: (r) => length(r.deviation[1]) },
        { says: "rms", short: "rms", of: (r) => length(r.deviation[0]) },
      ],
      digits: lengthDigits,
      tall: 1,
    },
    {
      id: "twist",
      title: "Twist",
      unit: "°",
      lines: [{ says: "greatest", short: "greatest", of: (r) => degrees(greatest(r.twist)) }],
      limit: { says: "limit", at: degrees(limits.twist), side: "most", shaded: true },
      digits: 1,
      tall: 1,
    },
  ];
}

/** Whether a depth breaks the lane's limit. */
export function breaksLimit(lane: Lane, record: DepthRecord): boolean {
  if (lane.breaks !== undefined) return lane.breaks(record);
  const { limit } = lane;
  if (limit === undefined) return false;
  return lane.lines.map((line) => line.of(record)).some((value) => (limit.side === "least" ? value < limit.at : value > limit.at));
}
