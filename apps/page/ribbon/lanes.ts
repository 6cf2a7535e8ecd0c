/** The lanes of the depth ribbon: what each shows of a solved depth, its unit and its limit. */
import type { DepthRecord } from "../../../src/insertion/index.ts";
import type { JobPicture } from "../../worker/index.ts";
import { type LengthUnit, lengthIn } from "../say.ts";

/** `open`: neither shown to hold nor shown to be broken */
export type Stands = "holds" | "open" | "broken";

export interface Lane {
  readonly id: string;
  readonly title: string;
  readonly unit: string;
  /** what its lines are, first the one that is filled */
  readonly lines: readonly { readonly says: string; readonly short: string; readonly of: (record: DepthRecord) => number }[];
  /** drawn dashed on both sides, in the lane's unit */
  readonly limit?: { readonly says: string; readonly at: number; readonly side: "least" | "most"; readonly shaded: boolean };
  /** how a depth stands to the limit, when that is not told by the lines */
  readonly stands?: (record: DepthRecord) => Stands;
  /** said where a line has no number: nothing is within reach */
  readonly missing?: string;
  /** as far as the chart goes, in the lane's unit, so that what is near the limit can be seen */
  readonly upTo?: (values: readonly number[]) => number;
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
        {
          says: "guaranteed to what must not be touched",
          short: "no-touch",
          of: (r) => (r.askedBody < 0 ? Number.NaN : length(r.asked)),
        },
        { says: "guaranteed to anything", short: "any wall", of: (r) => length(least(r.swept)) },
      ],
      // asked of the bodies that must not be touched; a wall that may be touched asks for nothing
      limit: { says: "asked", at: length(limits.clearance), side: "least", shaded: false },
      stands: (r) => (r.sweptSpare >= 0 ? "holds" : r.seenSpare >= 0 || !r.settled ? "open" : "broken"),
      missing: "far",
      upTo: (values) => Math.max(6 * length(limits.clearance), 2 * Math.min(...values)),
      digits: lengthDigits,
      tall: 1.6,
    },
    {
      id: "tension",
      title: "Tension",
      unit: "N",
      lines: [
        // drive to end, whichever way each cable slid last, as its margin counts it
        {
          says: "strongest, friction at its highest",
          short: "strongest",
          of: (r) => (r.rub?.most ?? r.tension).reduce((most, t) => Math.max(most, t), 0),
        },
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
        { says: "greatest", short: "most", of: (r) => length(r.deviation[1]) },
        { says: "rms", short: "rms", of: (r) => length(r.deviation[0]) },
        { says: "greatest of sections that bend evenly, unloaded", short: "even", of: (r) => length(r.inherent[1]) },
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

export function standsToLimit(lane: Lane, record: DepthRecord): Stands {
  if (lane.stands !== undefined) return lane.stands(record);
  const { limit } = lane;
  if (limit === undefined) return "holds";
  const values = lane.lines.map((line) => line.of(record));
  return values.some((value) => (limit.side === "least" ? value < limit.at : value > limit.at)) ? "broken" : "holds";
}
