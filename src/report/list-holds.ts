/** Depths at which an operator stops and looks: where something changes on the way in, and the same on the way out. */
import type { ArmModel } from "../arm/index.ts";
import type { DriveRow, DriveTable } from "../drive/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { Job } from "../job/index.ts";
import type { RouteCurve } from "../path/index.ts";
import type { PlanResult } from "../plan/index.ts";

export interface Hold {
  readonly way: "in" | "out";
  readonly record: DepthRecord;
  readonly row: DriveRow;
  /** why here, in words */
  readonly why: readonly string[];
  /** something can go wrong by hand: two people */
  readonly together: boolean;
}

interface Wish {
  readonly depth: number;
  readonly why: string;
  /** the depth solved at or before it, at or after it, or nearest */
  readonly side: "before" | "after" | "near";
  readonly together?: boolean;
}

/** In the order they are come to; empty where nothing was laid. */
export function listHolds(job: Job, arm: ArmModel, result: PlanResult, table: DriveTable): Hold[] {
  const { wayIn, wayOut } = result;
  const last = wayIn[wayIn.length - 1];
  if (last === undefined) return [];
  const wishes: Wish[] = [
    { depth: wayIn[0]!.depth, why: "the tool enters", side: "near", together: true },
    ...(result.route.curve === undefined ? [] : passages(job, result.route.curve, last.depth)),
    ...touches(job, wayIn),
    { depth: hardest(wayIn).depth, why: "here the cables pull hardest", side: "near" },
    { depth: last.depth - 3 * arm.description.tool.length, why: "close to the target: creep from here", side: "before" },
    { depth: last.depth, why: "at the target", side: "near" },
  ];
  const rows = (way: "in" | "out"): DriveRow[] => table.rows.filter((row) => row.way === way);
  const inward = gather("in", wishes, wayIn, rows("in"));
  // on the way out the same places, where they are met again
  const outward = wayOut.length === 0 ? [] : gather("out", outWishes(job, wishes, wayOut), wayOut, rows("out"));
  return [...inward, ...outward];
}

/** Necks of the route beyond the port, and its sharpest bend, as the tool comes to them. */
function passages(job: Job, curve: RouteCurve, deepest: number): Wish[] {
  const wishes: Wish[] = [];
  const { arc, distance, curvature, count } = curve;
  const necks = Array.from({ length: count }, (_, k) => k)
    .filter((k) => arc[k]! > job.port.bore && arc[k]! < deepest && Number.isFinite(distance[k]!))
    .filter((k) => isLeast(distance, k, count, arc))
    .sort((a, b) => distance[a]! - distance[b]!)
    .slice(0, 2);
  for (const k of necks) {
    const body = job.bodies[curve.body[k]!];
    wishes.push({ depth: arc[k]!, why: `before a neck${body === undefined ? "" : ` (${body.name})`}`, side: "before" });
  }
  let sharp = 0;
  for (let k = 1; k < count; k++) if (curvature[k]! > curvature[sharp]!) sharp = k;
  if (curvature[sharp]! > 0.5) {
    const [from, to] = bendAbout(curve, sharp);
    wishes.push({ depth: arc[from]!, why: "before the sharpest bend", side: "before" });
    if (arc[to]! < deepest) wishes.push({ depth: arc[to]!, why: "past the sharpest bend", side: "after" });
  }
  return wishes;
}

/** Nothing within 30 mm along the way is nearer. */
function isLeast(distance: Float64Array, k: number, count: number, arc: Float64Array): boolean {
  for (let i = 0; i < count; i++) if (Math.abs(arc[i]! - arc[k]!) < 30e-3 && distance[i]! < distance[k]!) return false;
  return true;
}

/** The stretch about the sharpest place that is more than half as sharp. */
function bendAbout({ curvature, count }: RouteCurve, sharp: number): [number, number] {
  let [from, to] = [sharp, sharp];
  while (from > 0 && curvature[from - 1]! > curvature[sharp]! / 2) from--;
  while (to < count - 1 && curvature[to + 1]! > curvature[sharp]! / 2) to++;
  return [from, to];
}

/** Where the arm begins to lean on a body, and where it is free again. */
function touches(job: Job, records: readonly DepthRecord[]): Wish[] {
  const wishes: Wish[] = [];
  let on = new Set<number>();
  for (const record of records) {
    const now = new Set<number>(record.contact?.state === "held" ? Array.from(record.contact.body) : []);
    for (const body of now)
      if (!on.has(body)) wishes.push({ depth: record.depth, why: `first leans on ${nameOf(job, body)}`, side: "near", together: true });
    for (const body of on)
      if (!now.has(body)) wishes.push({ depth: record.depth, why: `free of ${nameOf(job, body)} again`, side: "near" });
    on = now;
  }
  return wishes;
}

function nameOf(job: Job, body: number): string {
  return job.bodies[body]?.name ?? "a body";
}

/** The way back in fewer stops: off the target, where cables pull hardest, and before the tool is drawn through the port. */
function outWishes(job: Job, wishes: readonly Wish[], wayOut: readonly DepthRecord[]): Wish[] {
  const least = wayOut[wayOut.length - 1]!.depth;
  return [
    { depth: wayOut[0]!.depth, why: "off the target: cables slide the other way from here", side: "near" },
    { depth: hardest(wayOut).depth, why: "here the cables pull hardest", side: "near" },
    ...wishes
      .filter(({ why }) => why.includes("sharpest bend"))
      .map((wish): Wish => ({ ...wish, why: wish.why.startsWith("before") ? "past the sharpest bend" : "before the sharpest bend" })),
    ...touches(job, wayOut),
    { depth: least, why: "the tool comes out: hold it", side: "near", together: true },
  ];
}

function hardest(records: readonly DepthRecord[]): DepthRecord {
  const most = (record: DepthRecord): number => (record.rub?.most ?? record.tension).reduce((a, b) => Math.max(a, b), 0);
  return records.reduce((best, record) => (most(record) > most(best) ? record : best));
}

/** Wishes that fall on one depth, or on neighbours less than a hundredth of the way apart, are one hold. */
function gather(way: "in" | "out", wishes: readonly Wish[], records: readonly DepthRecord[], rows: readonly DriveRow[]): Hold[] {
  const span = Math.max(...records.map(({ depth }) => depth));
  const found = wishes.map((wish) => ({ wish, k: choose(wish, records) })).sort((a, b) => a.k - b.k);
  const holds: { k: number; why: string[]; together: boolean }[] = [];
  for (const { wish, k } of found) {
    const before = holds[holds.length - 1];
    const near = before !== undefined && Math.abs(records[before.k]!.depth - records[k]!.depth) <= span / 100;
    if (!near) holds.push({ k, why: [wish.why], together: wish.together === true });
    else {
      if (!before.why.includes(wish.why)) before.why.push(wish.why);
      before.together ||= wish.together === true;
      // the target itself is never moved
      if (wish.why === "at the target") before.k = k;
    }
  }
  return holds.map(({ k, why, together }) => ({ way, record: records[k]!, row: rows[k]!, why, together }));
}

function choose({ depth, side }: Wish, records: readonly DepthRecord[]): number {
  let best = 0;
  for (let k = 1; k < records.length; k++) {
    const [a, b] = [records[k]!.depth - depth, records[best]!.depth - depth];
    const allowed = (d: number): boolean => side === "near" || (side === "before" ? d <= 1e-9 : d >= -1e-9);
    if (allowed(a) && !allowed(b)) best = k;
    else if (allowed(a) === allowed(b) && Math.abs(a) < Math.abs(b)) best = k;
  }
  return best;
}
