/** Margins of the drives outside, each where the arm file tells its limit; what it does not tell is named among what is not checked. */
import { nameCable } from "../arm/index.ts";
import { formatQuantity, type QuantityKind } from "../base/index.ts";
import { type Brake, backShare, countPasses, type DriveRow } from "../drive/index.ts";
import type { Facts } from "./facts.ts";
import { mm } from "./places.ts";
import type { Draft } from "./rows.ts";

export function driveRows(facts: Facts): Draft[] {
  if (facts.drives === undefined || facts.drives.rows.length === 0) return [];
  return [torqueRow(facts), speedRow(facts), travelRow(facts), feedRow(facts), rollRow(facts), lostRow(facts)].filter(
    (row) => row !== undefined,
  );
}

interface Found {
  readonly row: DriveRow;
  readonly cable: number;
  readonly demand: number;
  readonly limit: number;
  readonly says?: string;
}

/** The greatest share of a limit over all depths and cables; undefined where `of` tells none. */
function worst(facts: Facts, of: (row: DriveRow, cable: number) => Found | undefined): Found | undefined {
  let found: Found | undefined;
  for (const row of facts.drives?.rows ?? [])
    for (let c = 0; c < facts.arm.cables; c++) {
      const one = of(row, c);
      if (one !== undefined && (found === undefined || one.demand / one.limit > found.demand / found.limit)) found = one;
    }
  return found;
}

function draft(
  facts: Facts,
  id: string,
  title: string,
  unit: Draft["unit"],
  { row, cable, demand, limit, says = "" }: Found,
  note: string,
): Draft {
  const section = facts.arm.sectionOfCable[cable] as number;
  const place = cable < 0 ? "" : `, ${nameCable(facts.arm, cable)}`;
  return {
    id,
    title,
    unit,
    demand,
    limit,
    use: demand / limit,
    where: { way: row.way, depth: row.depth, ...(cable < 0 ? {} : { section, cable }) },
    whereSays: `way ${row.way}, ${mm(row.depth)} deep${place}${says}`,
    note,
  };
}

function torqueRow(facts: Facts): Draft | undefined {
  const { torque, peakTorque } = facts.arm.description.drives?.motor ?? {};
  const peak = peakTorque ?? torque;
  const found = worst(facts, (row, cable) => {
    const most = row.motorMost[cable] as number;
    const lasting = (row.torque[cable] as number) / gearOf(facts);
    const held = torque === undefined ? undefined : { row, cable, demand: lasting, limit: torque, says: ", held there" };
    const drawn = peak === undefined ? undefined : { row, cable, demand: most, limit: peak, says: ", drawing in" };
    return held !== undefined && (drawn === undefined || held.demand / held.limit > drawn.demand / drawn.limit) ? held : drawn;
  });
  if (found === undefined) return undefined;
  const losses = cut(facts.arm.description.drives?.gear?.efficiency ?? 1);
  return draft(
    facts,
    "drive-torque",
    "Motor torque",
    "N m",
    found,
    `Drawing in against the greatest tension, cable friction at its high end, against what the motor gives for a moment; and holding the tension it was left with against what it gives for long. ${losses} What it takes to start the motor's own mass is left out.`,
  );
}

/** What the motor needs to stand against a torque at the spool, without the help of what the gear rubs. */
function gearOf({ arm }: Facts): number {
  return arm.description.drives?.gear?.ratio ?? 1;
}

function cut(efficiency: number): string {
  return efficiency === 1 ? "The gear loses nothing." : `The gear gives on ${Number((100 * efficiency).toPrecision(3))} % of the work.`;
}

function speedRow(facts: Facts): Draft | undefined {
  const { drives } = facts.arm.description;
  const speed = drives?.motor?.speed;
  if (speed === undefined || Number.isNaN(facts.drives?.feedRate)) return undefined;
  const ratio = drives?.gear?.ratio ?? 1;
  let found: { cable: number; demand: number; asked: number; way: "in" | "out" } | undefined;
  for (const way of facts.drives?.ways ?? [])
    for (let c = 0; c < facts.arm.cables; c++) {
      const demand = ratio * (way.turnRate[c] as number);
      if (found === undefined || demand > found.demand)
        found = { cable: c, demand, asked: ratio * (way.turnRateAsked[c] as number), way: way.way };
    }
  if (found === undefined) return undefined;
  const slowed = (facts.drives?.ways ?? []).some((way) =>
    Array.from(way.turnRateAsked).some((asked) => ratio * asked > speed * (1 + 1e-9)),
  );
  const { cable, way } = found;
  // the feed is slowed until it holds: no more than all of it is ever taken
  const demand = Math.min(found.demand, speed);
  return {
    id: "drive-speed",
    title: "Motor speed",
    unit: "rad/s",
    // the drives draw what the plan says
    certain: true,
    demand,
    limit: speed,
    use: demand / speed,
    where: { way, section: facts.arm.sectionOfCable[cable] as number, cable },
    whereSays: `way ${way}, ${nameCable(facts.arm, cable)}`,
    warn: slowed,
    note: `${slowed ? "The feed is slowed where a motor would have to be faster" : "Nowhere does a motor slow the feed"}. ${sayTimes(facts)}`,
  };
}

function sayTimes(facts: Facts): string {
  const said = (facts.drives?.ways ?? []).map(
    ({ way, time, timeAsked }) =>
      `The way ${way} takes ${say(time, "time")}${time > 1.005 * timeAsked ? ` (${say(timeAsked, "time")} if no drive held it up)` : ""}.`,
  );
  return said.join(" ");
}

function travelRow(facts: Facts): Draft | undefined {
  const { turnsIn, turnsOut, spool } = facts.arm.description.drives ?? {};
  const out =
    turnsOut === undefined && spool?.wound === undefined
      ? undefined
      : Math.min(turnsOut ?? Number.POSITIVE_INFINITY, spool?.wound ?? Number.POSITIVE_INFINITY);
  const turn = 2 * Math.PI;
  const found = worst(facts, (row, cable) => {
    const turns = row.turns[cable] as number;
    if (turns >= 0)
      return turnsIn === undefined ? undefined : { row, cable, demand: turn * turns, limit: turn * turnsIn, says: ", drawn in" };
    return out === undefined ? undefined : { row, cable, demand: -turn * turns, limit: turn * out, says: ", paid out" };
  });
  return found === undefined
    ? undefined
    : certain(
        draft(
          facts,
          "drive-travel",
          "Travel of the spools",
          "rad",
          found,
          "Turns of a spool from where the arm is straight and slack, either way; what is wound on it ends what it can pay out.",
        ),
      );
}

/** The drives draw what the plan says, whatever the arm turns out to be. */
function certain(row: Draft): Draft {
  return { ...row, certain: true };
}

function feedRow(facts: Facts): Draft | undefined {
  const limit = facts.arm.description.drives?.feed?.force;
  if (limit === undefined) return undefined;
  const found = worst(facts, (row) => ({
    row,
    cable: -1,
    demand: Math.abs(row.feedForce),
    limit,
    says: row.feedForce < 0 ? ", held back" : ", pushed",
  }));
  return found === undefined
    ? undefined
    : draft(
        facts,
        "feed-force",
        "Feed force",
        "N",
        found,
        "Weight of the arm with its tool along the port's axis and what it leans on, with the friction there; the guide's friction, the fluid's lift, and pack and conduits outside are left out.",
      );
}

function rollRow(facts: Facts): Draft | undefined {
  const limit = facts.arm.description.drives?.roll?.torque;
  if (limit === undefined) return undefined;
  const found = worst(facts, (row) => ({ row, cable: -1, demand: Math.abs(row.rollTorque), limit }));
  return found === undefined
    ? undefined
    : draft(
        facts,
        "roll-torque",
        "Roll torque",
        "N m",
        found,
        "What weight, leaning and wound cables turn the base back with, about the port's axis; pack and guide are left out.",
      );
}

/** How far the tool may be off at the target by coarse counts and by gears that turn about. */
function lostRow(facts: Facts): Draft | undefined {
  const { tug, arm, drives } = facts;
  const told = arm.description.drives;
  const wayIn = drives?.rows.filter(({ way }) => way === "in") ?? [];
  const last = wayIn[wayIn.length - 1];
  if (tug === undefined || tug.length < arm.cables || told?.spool === undefined || last === undefined || facts.failure !== "")
    return undefined;
  const counted = (told.gear?.ratio ?? 1) * (told.motor?.counts ?? Number.POSITIVE_INFINITY);
  const backlash = told.gear?.backlash ?? 0;
  const holds = backShare(told.gear?.efficiency ?? 1) > 0;
  const [coarse, loose] = [new Float64Array(arm.cables), new Float64Array(arm.cables)];
  for (let c = 0; c < arm.cables; c++) {
    const radius = (last.torque[c] as number) / (last.tension[c] as number);
    // half a count either way
    coarse[c] = (Number.isFinite(radius) ? radius : told.spool.radius) * (Math.PI / counted) * (tug[c] as number);
    const turnsAbout = !holds && countPasses(wayIn, c) > 1;
    const slack = wayIn.some((row) => !((row.tension[c] as number) > 0));
    loose[c] = turnsAbout || slack ? (Number.isFinite(radius) ? radius : told.spool.radius) * backlash * (tug[c] as number) : 0;
  }
  const sum = (values: Float64Array): number => values.reduce((all, value) => all + value, 0);
  const demand = sum(coarse) + sum(loose);
  const limit = facts.target.tolerance;
  let worst = 0;
  for (let c = 1; c < arm.cables; c++)
    if ((coarse[c] as number) + (loose[c] as number) > (coarse[worst] as number) + (loose[worst] as number)) worst = c;
  const flank =
    backlash === 0
      ? ""
      : holds
        ? " Each cable's pull keeps its gear on one flank, so the backlash is not lost."
        : ` The gears do not let the cables drive them: ${mm(sum(loose))} of it is their backlash, where a cable turned about on the way in.`;
  return {
    id: "lost-motion",
    title: "Lost motion of the drives",
    unit: "m",
    demand,
    limit,
    use: demand / limit,
    where: { way: "in", depth: last.depth, cable: worst, section: arm.sectionOfCable[worst] as number },
    whereSays: `at the target, most by ${nameCable(arm, worst)}`,
    note: `How far the tool point may be off by half a count of each motor, all one way, against the tolerance of the target.${flank} The cables' own friction is in the dead band.`,
  };
}

/** What no row tells, by name. */
export function driveGaps(facts: Facts): string[] {
  const drives = facts.arm.description.drives;
  if (drives === undefined) return ["drive torque, speed and travel (the arm says nothing of its drives)"];
  const { motor, spool, feed, roll } = drives;
  return [
    ...(motor?.torque === undefined && motor?.peakTorque === undefined ? ["motor torque (the arm gives no limit)"] : []),
    ...(motor?.speed === undefined ? ["motor speed (the arm gives no limit)"] : []),
    ...(motor?.speed !== undefined && Number.isNaN(facts.drives?.feedRate ?? Number.NaN)
      ? ["motor speed (the job gives no feed-rate)"]
      : []),
    ...(drives.turnsIn === undefined || (drives.turnsOut === undefined && spool?.wound === undefined)
      ? ["travel of the spools (the arm does not give it both ways)"]
      : []),
    ...(feed?.force === undefined ? ["feed force (the arm gives no limit)"] : []),
    ...(roll?.torque === undefined ? ["roll torque (the arm gives no limit)"] : []),
  ];
}

/** What slows the feed, and how long the cables last. */
export function driveConditions(facts: Facts): string[] {
  const table = facts.drives;
  if (table === undefined) return [];
  const slow = table.ways.flatMap(({ way, brake }) =>
    brake === undefined
      ? []
      : [
          `On the way ${way} the feed slows from ${say(table.feedRate, "velocity")} to ${say(brake.rate, "velocity")} near ${mm(brake.depth)}: ${sayBrake(facts, brake)}.`,
        ],
  );
  const told = table.lives.filter(({ entries }) => Number.isFinite(entries));
  const life = told.reduce<(typeof told)[number] | undefined>(
    (least, one) => (least === undefined || one.entries < least.entries ? one : least),
    undefined,
  );
  if (life === undefined) return slow;
  const round = (value: number): string => String(Number(value.toPrecision(2)));
  const where = { spool: "its spool", guide: "a guide", hole: "the edges of its holes" }[life.at];
  return [
    ...slow,
    `Bending round ${where} (${Number(life.ratio.toPrecision(3))} times its diameter) wears out ${nameCable(facts.arm, life.cable)} first: an estimate of ${round(life.entries)} entries, ${round(life.least)} to ${round(life.most)}. Count the entries and look at the cables.`,
  ];
}

function sayBrake(facts: Facts, { drive, cable, by }: Brake): string {
  const whose = drive === "cable" ? nameCable(facts.arm, cable) : drive === "feed" ? "the feed itself" : "the roll";
  return by === "speed" ? `${whose} goes no faster` : `${whose} speeds up no harder`;
}

function say(value: number, kind: QuantityKind): string {
  return formatQuantity(value, kind, "metric", 3);
}
