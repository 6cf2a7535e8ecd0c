/** Every field of a plan's result, as docs/plan-json.md lists them. */
import type { FaultEvent, FaultFinding, FaultResult, Link, Stop, WayFound } from "../faults/index.ts";
import type { DepthContact, DepthRecord, Loose, Rub, SweepBound } from "../insertion/index.ts";
import type { Obstacle, Passage, Route, RouteCurve, RouteMeasures } from "../path/index.ts";
import type { Choice, OfferedRoute, PlanResult, Sought, Turn, Visit, WayCost } from "../plan/index.ts";
import type { Wound } from "../rod/index.ts";
import type { Gain, MarginPlace, MarginRow, SightFact, Verdict } from "../verdict/index.ts";
import { type Coding, floats, group, length, list, named, number, oneOf, text, truth, whole, wholes } from "./coding.ts";
import { driveCoding } from "./drive-coding.ts";

type Triple = readonly [number, number, number];
type Pair = readonly [number, number];
const place = list(length, 3) as unknown as Coding<Triple>;
const lengths = floats(length);
const numbers = floats(number);
const answer = oneOf("go", "go with conditions", "no go", "undecided");

const curve = group<RouteCurve>({
  count: whole,
  point: lengths,
  tangent: lengths,
  arc: lengths,
  curvature: numbers,
  distance: lengths,
  body: wholes,
});

const obstacle = group<Obstacle>({
  kind: oneOf("narrow", "bend", "length", "start", "target", "unreached"),
  place,
  is: length,
  needed: length,
  body: whole,
  says: text,
});

const route = group<Route>(
  { status: oneOf("found", "no-passage", "not-found"), curve, obstacles: list(obstacle), resolution: length, place },
  ["curve", "place"],
);

const contact = group<DepthContact>({
  state: oneOf("held", "jammed", "not-found"),
  pressed: numbers,
  vertebra: wholes,
  body: wholes,
  force: numbers,
  place: lengths,
});

const rub = group<Rub>({
  hull: lengths,
  joint: numbers,
  tip: length,
  aim: number,
  fullTip: length,
  fullAim: number,
  drive: numbers,
  most: numbers,
  least: numbers,
});

const wound = group<Wound>({ longest: length, moment: number, locked: number });

const loose = group<Loose>({ hull: lengths, tip: lengths, aim: numbers, twist: number });

export const depthRecord = group<DepthRecord>(
  {
    depth: length,
    status: oneOf("stable", "slack", "buckled", "jammed", "not-converged"),
    residual: number,
    iterations: whole,
    solves: whole,
    settled: truth,
    roll: number,
    firstFree: whole,
    frames: lengths,
    tool: lengths,
    bend: numbers,
    tension: numbers,
    drawn: lengths,
    clearance: lengths,
    nearest: wholes,
    spare: length,
    tightest: whole,
    leastClearance: length,
    swept: lengths,
    sweptNearest: wholes,
    sweptSpare: length,
    seenSpare: length,
    asked: length,
    askedSeen: length,
    askedVertebra: whole,
    askedBody: whole,
    sideways: length,
    jointAngle: numbers,
    strain: numbers,
    stress: numbers,
    twist: numbers,
    sag: length,
    wound,
    loose,
    rub,
    contact,
    deviation: list(length, 2) as unknown as Coding<Pair>,
    inherent: list(length, 2) as unknown as Coding<Pair>,
  },
  ["wound", "loose", "rub", "contact"],
);

const where = group<MarginPlace>(
  { visit: whole, way: oneOf("in", "out"), depth: length, section: whole, cable: whole, vertebra: whole, body: whole, place },
  ["visit", "way", "depth", "section", "cable", "vertebra", "body", "place"],
);

const gain = group<Gain>({ says: text, from: oneOf("estimated", "planned") });

const marginRow = group<MarginRow>(
  {
    id: text,
    title: text,
    demand: number,
    limit: number,
    unit: oneOf("m", "rad", "N", "Pa", "1", "kg", "N m", "rad/s"),
    use: number,
    warnAbove: number,
    state: oneOf("ok", "warning", "over", "unknown"),
    where,
    whereSays: text,
    gains: list(gain),
    spread: number,
    note: text,
  },
  ["spread", "note"],
);

const verdict = group<Verdict>({
  answer,
  says: text,
  reasons: list(text),
  rows: list(marginRow),
  conditions: list(text),
  notChecked: list(text),
  assumptions: list(text),
  cautions: list(text),
});

const look = group<NonNullable<SightFact["look"]>>(
  {
    shift: length,
    room: length,
    cutBy: oneOf("body", "arm"),
    vertebra: whole,
    body: whole,
    near: place,
    pixel: number,
    footprint: number,
    worstFootprint: number,
  },
  ["cutBy", "vertebra", "pixel", "footprint", "worstFootprint"],
);

const sight = group<SightFact>(
  { place, distance: length, depth: length, offAxis: number, normal: place, tilt: number, open: length, turn: number, look },
  ["look"],
);
const { driveRow, brake, driveWay, cableLife, driveTable } = driveCoding(length, number);

const choice = group<Choice>({ target: text, taken: truth, says: text });

const sweep = group<SweepBound>({ allowance: length, confirmed: whole });

const visit = group<Visit>(
  {
    target: text,
    written: whole,
    choice: whole,
    choices: list(choice),
    from: length,
    route,
    wayIn: list(depthRecord),
    wayOut: list(depthRecord),
    sweep,
    verdict,
    sight,
    cost: group<WayCost>({ feed: length, turning: number }),
  },
  ["from", "sight"],
);

const turn = group<Turn>({ says: text, answer, uses: named(number), tightest: text, size: number }, ["size"]);
const leftOut = group<Sought["leftOut"][number]>({ says: text, why: text });
const sought = group<Sought>({ found: turn, leftOut: list(leftOut) }, ["found"]);

const passage = group<Passage>({ place, free: length, body: whole });

const measures = group<RouteMeasures>({
  length,
  clearance: length,
  clearanceAt: place,
  clearanceBody: whole,
  bend: length,
  bendAt: place,
  passage,
});

const offer = group<OfferedRoute>({ number: whole, route, measures, ask: whole, came: text }, ["measures", "came"]);
const link = group<Link>({ kind: oneOf("given", "rods", "cables"), section: whole, strength: number, demand: number });

const stop = group<Stop>({
  kind: oneOf("touch", "press", "pull", "cable", "rod", "balance", "between"),
  depth: length,
  vertebra: whole,
  cable: whole,
  body: whole,
  is: number,
  limit: number,
});

const faultEvent = group<FaultEvent>({
  moved: length,
  drop: length,
  swing: length,
  swingSpare: length,
  lost: number,
  stored: number,
  leapt: truth,
});

const wayFound = group<WayFound>(
  {
    depth: length,
    outcome: oneOf("out", "stuck", "unknown"),
    by: oneOf("hold", "plan", "ease", "limp"),
    stop,
    pull: number,
    pullAt: length,
    pullUse: number,
    link,
    pressed: list(number),
    event: faultEvent,
  },
  ["stop", "link", "event"],
);

const finding = group<FaultFinding>({
  kind: oneOf("broken", "stalled", "locked", "released"),
  cable: whole,
  holding: list(wayFound),
  helping: list(wayFound),
});

const faults = group<FaultResult>({
  step: length,
  findings: list(finding),
  withoutFriction: truth,
  strengthGiven: number,
  notes: list(text),
});

export const planCoding = group<PlanResult>(
  {
    version: oneOf(1),
    withy: text,
    job: text,
    arm: text,
    inputs: list(group<{ file: string; hash: string }>({ file: text, hash: text })),
    route,
    wayIn: list(depthRecord),
    wayOut: list(depthRecord),
    sweep,
    verdict,
    sight,
    visits: list(visit),
    drives: driveTable,
    routes: list(offer),
    taken: whole,
    faults,
    turns: list(turn),
    sought,
  },
  ["sight", "visits", "drives", "routes", "taken", "faults", "turns", "sought"],
);

/** The groups of the format by name, for whoever writes about it. */
export const planGroups = {
  plan: planCoding,
  route,
  curve,
  obstacle,
  depthRecord,
  contact,
  wound,
  loose,
  rub,
  verdict,
  marginRow,
  where,
  gain,
  faults,
  finding,
  wayFound,
  stop,
  faultEvent,
  link,
  sight,
  look,
  visit,
  choice,
  turn,
  sought,
  leftOut,
  offer,
  measures,
  passage,
  driveTable,
  driveRow,
  driveWay,
  brake,
  cableLife,
} as const;
