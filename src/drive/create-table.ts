/** Depths of a plan -> what every drive does there, and between them at a feed rate. */
import type { ArmModel, Drives, Section } from "../arm/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import { cableGive } from "../rod/index.ts";
import { joinDepths } from "./join-depths.ts";
import { listLives } from "./list-lives.ts";
import { loadGear } from "./load-gear.ts";
import type { DriveRequest, DriveRow, DriveTable, WaySum } from "./model.ts";
import { pushArm } from "./push-arm.ts";
import { sumWay } from "./sum-way.ts";
import { type TimeLaw, timeFeed } from "./time-feed.ts";
import { createWinding, drawnByTurns, radiusAt, turnsByDrawn, type Winding } from "./wind-spool.ts";

type Way = "in" | "out";

/** What stays the same over all depths. */
interface Setting {
  readonly request: DriveRequest;
  readonly drives: Drives;
  /** [cable] undefined where no spool is told */
  readonly windings: readonly (Winding | undefined)[];
}

/** @param wayIn from the port inwards @param wayOut from the target outwards */
export function createDriveTable(request: DriveRequest, wayIn: readonly DepthRecord[], wayOut: readonly DepthRecord[]): DriveTable {
  const { arm } = request;
  const drives = arm.description.drives ?? {};
  const windings = Array.from({ length: arm.cables }, (_, c) =>
    drives.spool === undefined ? undefined : createWinding(drives.spool, sectionOf(arm, c).cable.diameter),
  );
  const setting: Setting = { request, drives, windings };
  const ways = [readWay(setting, "in", wayIn), readWay(setting, "out", wayOut)].filter((way) => way !== undefined);
  const rows = ways.flatMap((way) => way.rows);
  return { feedRate: request.feedRate ?? Number.NaN, rows, ways: ways.map((way) => way.sum), lives: listLives(arm, rows) };
}

function readWay(setting: Setting, way: Way, records: readonly DepthRecord[]): { rows: DriveRow[]; sum: WaySum } | undefined {
  if (records.length === 0) return undefined;
  const standing = records.map((record) => standingAt(setting, record));
  const law = timeWay(setting, records, standing);
  const rows = records.map((record, k) => rowAt(setting, way, record, standing[k] as Standing, law, k));
  return { rows, sum: sumWay(setting.request, way, rows, law) };
}

/** What holds at a depth, however fast it is come to. */
interface Standing {
  /** [cable] m, turns, counts, m, m */
  readonly length: Float64Array;
  readonly stretch: Float64Array;
  readonly turns: Float64Array;
  readonly counts: Float64Array;
  readonly error: Float64Array;
  /** [cable] of the spool where the cable runs on to it, m */
  readonly radius: Float64Array;
  readonly tension: Float64Array;
  readonly most: Float64Array;
}

function standingAt({ request, drives, windings }: Setting, record: DepthRecord): Standing {
  const n = request.arm.cables;
  const blank = (): Float64Array => new Float64Array(n).fill(Number.NaN);
  const [turns, counts, error, radius] = [blank(), blank(), blank(), blank()];
  const perTurn = (drives.motor?.counts ?? Number.NaN) * (drives.gear?.ratio ?? 1);
  windings.forEach((winding, c) => {
    if (winding === undefined) return;
    const drawn = record.drawn[c] as number;
    turns[c] = turnsByDrawn(winding, drawn);
    radius[c] = radiusAt(winding, winding.wound + (turns[c] as number));
    counts[c] = Math.round((turns[c] as number) * perTurn) + 0;
    error[c] = drawnByTurns(winding, (counts[c] as number) / perTurn) - drawn;
  });
  const tension = (record.rub?.drive ?? record.tension).slice();
  const most = (record.rub?.most ?? record.tension).slice();
  return { length: record.drawn.slice(), stretch: stretchOf(request.arm, record, tension), turns, counts, error, radius, tension, most };
}

/**
 * Stretch that the length makes up for. In the conduit the tension falls from the drive's to the entry's by the same share a turn; in the arm it
 * counts as at its entry.
 */
function stretchOf(arm: ArmModel, record: DepthRecord, drive: Float64Array): Float64Array {
  return record.tension.map((entry, c) => {
    const give = cableGive(arm, c);
    const pull = drive[c] as number;
    const same = !(entry > 0 && pull > 0) || Math.abs(pull / entry - 1) < 1e-6;
    const mean = same ? entry : (pull - entry) / Math.log(pull / entry);
    return entry * give.strandInArm + mean * (give.strandInConduit + give.conduit) + pull * give.drive;
  });
}

/** Drives: all cables (rad of spool, or m where none is told), the feed (m), the roll (rad). */
function timeWay({ request, drives }: Setting, records: readonly DepthRecord[], standing: readonly Standing[]): TimeLaw | undefined {
  const { arm, feedRate } = request;
  if (feedRate === undefined) return undefined;
  const first = records[0] as DepthRecord;
  const n = arm.cables + 2;
  const kept = records.map((_, k) => k).filter((k) => k === 0 || records[k]?.depth !== records[k - 1]?.depth);
  const along = Float64Array.from(kept, (k) => Math.abs((records[k] as DepthRecord).depth - first.depth));
  const position = new Float64Array(kept.length * n);
  const farthest = new Float64Array(arm.cables);
  kept.forEach((k, i) => {
    const { turns, length, radius } = standing[k] as Standing;
    for (let c = 0; c < arm.cables; c++) {
      position[i * n + c] = drives.spool === undefined ? (length[c] as number) : 2 * Math.PI * (turns[c] as number);
      farthest[c] = Math.max(farthest[c] as number, radius[c] as number);
    }
    position[i * n + arm.cables] = (records[k] as DepthRecord).depth;
    position[i * n + arm.cables + 1] = (records[k] as DepthRecord).roll;
  });
  const speed = new Float64Array(n).fill((drives.motor?.speed ?? Number.POSITIVE_INFINITY) / (drives.gear?.ratio ?? 1));
  const most = drives.acceleration ?? Number.POSITIVE_INFINITY;
  const acceleration = Float64Array.from({ length: n }, (_, c) => (drives.spool === undefined ? most : most / (farthest[c] as number)));
  speed[arm.cables] = drives.feed?.speed ?? Number.POSITIVE_INFINITY;
  speed[arm.cables + 1] = drives.roll?.speed ?? Number.POSITIVE_INFINITY;
  acceleration[arm.cables] = drives.feed?.acceleration ?? Number.POSITIVE_INFINITY;
  acceleration[arm.cables + 1] = Number.POSITIVE_INFINITY;
  const joined = joinDepths(along, position);
  const law = timeFeed(joined, { rate: feedRate, speed, acceleration });
  return kept.length === records.length ? law : spreadOut(law, kept, records.length);
}

/** Depths solved twice share their time. */
function spreadOut(law: TimeLaw, kept: readonly number[], count: number): TimeLaw {
  const at = Array.from({ length: count }, (_, k) => kept.findLastIndex((one) => one <= k));
  const drives = law.speed.length;
  const driveRate = Float64Array.from(at.flatMap((i) => Array.from(law.driveRate.subarray(i * drives, (i + 1) * drives))));
  return {
    ...law,
    driveRate,
    time: Float64Array.from(at, (i) => law.time[i] as number),
    rate: Float64Array.from(at, (i) => law.rate[i] as number),
  };
}

function rowAt(setting: Setting, way: Way, record: DepthRecord, standing: Standing, law: TimeLaw | undefined, k: number): DriveRow {
  const { request, drives } = setting;
  const { arm } = request;
  const blank = (): Float64Array => new Float64Array(arm.cables).fill(Number.NaN);
  const [speed, turnRate, torque, motorTorque, motorMost, power] = [blank(), blank(), blank(), blank(), blank(), blank()];
  for (let c = 0; c < arm.cables; c++) {
    const radius = standing.radius[c] as number;
    const rate = law === undefined ? Number.NaN : (law.driveRate[k * law.speed.length + c] as number);
    turnRate[c] = drives.spool === undefined ? Number.NaN : rate;
    speed[c] = drives.spool === undefined ? rate : rate * radius;
    if (drives.spool === undefined) {
      power[c] = Number.NaN;
      continue;
    }
    const known = Number.isNaN(rate) ? 0 : (speed[c] as number);
    const load = loadGear(drives.gear, standing.tension[c] as number, radius, known);
    torque[c] = load.torque;
    motorTorque[c] = load.motorTorque;
    motorMost[c] = loadGear(drives.gear, standing.most[c] as number, radius, 0).motorTorque;
    power[c] = Number.isNaN(rate) ? Number.NaN : load.power;
  }
  const push = pushArm(request, record, way);
  return {
    way,
    depth: record.depth,
    time: law?.time[k] ?? Number.NaN,
    feedRate: law?.rate[k] ?? Number.NaN,
    roll: record.roll,
    feedCounts: Math.round(record.depth * (drives.feed?.counts ?? Number.NaN)) + 0,
    rollCounts: Math.round((record.roll / (2 * Math.PI)) * (drives.roll?.counts ?? Number.NaN)) + 0,
    feedForce: push.force,
    rollTorque: push.torque,
    length: standing.length,
    stretch: standing.stretch,
    turns: standing.turns,
    counts: standing.counts,
    error: standing.error,
    tension: standing.tension,
    most: standing.most,
    speed,
    turnRate,
    torque,
    motorTorque,
    motorMost,
    power,
  };
}

function sectionOf(arm: ArmModel, cable: number): Section {
  return arm.description.sections[arm.sectionOfCable[cable] as number] as Section;
}
