/** The margins that exist now, each from the results: demand, limit, use, where. */
import type { ArmModel, Section } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import { type DepthRecord, type Loose, type Rub, sameBranch } from "../insertion/index.ts";
import type { Target, TouchRule } from "../space/index.ts";
import { drumRows } from "./drum-rows.ts";
import type { Facts } from "./facts.ts";
import { looseParts, sayTaken } from "./loose.ts";
import type { MarginPlace, MarginRow, MarginUnit } from "./model.ts";
import { rollRows } from "./roll-row.ts";
import { sayWarm, worstLine } from "./warm.ts";

export interface Draft {
  id: string;
  title: string;
  unit: MarginUnit;
  demand: number;
  limit: number;
  use: number;
  where: MarginPlace;
  whereSays: string;
  note?: string;
  warnAbove?: number;
  /** a warning however small the use */
  warn?: boolean;
}

type Way = "in" | "out";

export function marginRows(facts: Facts): MarginRow[] {
  const reach = reachRow(facts);
  const rows = Number.isNaN(reach.demand) ? [] : [reach];
  const last = facts.wayIn[facts.wayIn.length - 1];
  if (last !== undefined)
    rows.push(
      clearanceRow(facts),
      touchRow(facts),
      ...touchForceRows(facts),
      jointRow(facts),
      strainRow(facts),
      cableRow(facts),
      twistRow(facts),
    );
  if (facts.failure === "" && last !== undefined)
    rows.push(sagRow(facts, last), slackRow(facts, last), poseRow(facts, last), wayOutRow(facts));
  const { deadBand } = facts.limits;
  if (facts.failure === "" && last !== undefined && deadBand !== undefined) rows.push(deadBandRow(facts, last, deadBand));
  rows.push(...drumRows(facts), ...rollRows(facts));
  return rows.map((draft) => finish(draft, facts)).sort((a, b) => rank(b) - rank(a));
}

function finish(draft: Draft, facts: Facts): MarginRow {
  const { warn = false, ...row } = draft;
  const warnAbove = draft.warnAbove ?? 0.8;
  const state = Number.isNaN(draft.use) ? "unknown" : draft.use > 1 ? "over" : warn || draft.use > warnAbove ? "warning" : "ok";
  const spread = facts.spreads?.[draft.id];
  return { ...row, warnAbove, state, gains: facts.gains[draft.id] ?? [], ...(spread === undefined ? {} : { spread }) };
}

function rank(row: MarginRow): number {
  return row.state === "unknown" ? Number.MAX_VALUE : row.use;
}

function mm(value: number): string {
  return formatQuantity(value, "length", "metric", 3);
}

function each(facts: Facts, visit: (record: DepthRecord, way: Way) => void): void {
  for (const record of facts.wayIn) visit(record, "in");
  for (const record of facts.wayOut) visit(record, "out");
}

function at(record: DepthRecord, way: Way): string {
  return `way ${way}, ${mm(record.depth)} deep`;
}

function placeOf(record: DepthRecord, vertebra: number): readonly [number, number, number] {
  const f = 12 * vertebra + 9;
  return [record.frames[f] as number, record.frames[f + 1] as number, record.frames[f + 2] as number];
}

function reachRow(facts: Facts): Draft {
  const { arm, route } = facts;
  const full = (arm.along[arm.spans] as number) + arm.description.tool.length - facts.guideLength;
  const last = facts.wayIn[facts.wayIn.length - 1];
  const missing = route.obstacles.find((o) => o.kind === "length");
  const demand = last?.depth ?? missing?.is ?? Number.NaN;
  return {
    id: "reach",
    title: "Reach",
    unit: "m",
    demand,
    limit: full,
    use: demand / full,
    where: { depth: demand },
    whereSays: facts.failure === "" ? "length out at the target" : "length out where the walk stopped",
    note: "Length from the guide's exit to the tool point against all the arm has but what stays in the guide.",
    warnAbove: 0.97,
  };
}

function clearanceRow(facts: Facts): Draft {
  let worst = { record: facts.wayIn[0] as DepthRecord, way: "in" as Way, use: -1 };
  each(facts, (record, way) => {
    const need = record.askedBody < 0 ? 0 : (facts.need[record.askedBody] as number);
    const use = record.asked <= 0 ? Number.POSITIVE_INFINITY : need / record.asked;
    if (use > worst.use || (use === worst.use && record.asked < worst.record.asked)) worst = { record, way, use };
  });
  const { record, way, use } = worst;
  const { asked, askedBody: body, askedVertebra: vertebra } = record;
  const need = body < 0 ? 0 : (facts.need[body] as number);
  // the bound fails, yet every solved shape holds: neither met nor missed
  const unproven = use > 1 && record.askedSeen >= need;
  return {
    id: "clearance",
    title: "Clearance",
    unit: "m",
    demand: need,
    limit: asked,
    use: unproven || (use > 1 && !record.settled) ? Number.NaN : use,
    where: { way, depth: record.depth, ...(body < 0 ? {} : { vertebra, place: placeOf(record, vertebra), body }) },
    whereSays:
      body < 0 ? "nothing that asks for clearance is near" : `${at(record, way)}, vertebra ${vertebra}, to ${facts.bodies[body]?.name}`,
    note: unproven
      ? `The solved shapes keep ${mm(record.askedSeen)}, but between them no more than this could be guaranteed.`
      : `Guaranteed least distance of the true hull, at and between the depths, to the bodies that must not be touched, their stand-off taken off${sayTaken(record, vertebra)}; slip jumps and snap-through are left out.`,
  };
}

function touchRow(facts: Facts): Draft {
  let use = 0;
  let demand = 0;
  let limit = Number.POSITIVE_INFINITY;
  let where: MarginPlace = {};
  let says = "nothing is touched that must not be";
  let open = false;
  each(facts, (record, way) => {
    for (let i = 0; i < record.swept.length; i++) {
      const body = record.sweptNearest[i] as number;
      if (body < 0) continue;
      const rule = facts.bodies[body]?.touch;
      const keep = rule?.kind === "never" ? rule.standOff : 0;
      const distance = (record.swept[i] as number) + keep;
      const share = distance <= 0 ? Number.POSITIVE_INFINITY : keep / distance;
      if (rule?.kind !== "never" && distance <= 0 && isSettledTouch(record, rule)) continue;
      if (share > use || (share === use && distance < limit)) {
        use = share;
        demand = keep;
        limit = distance;
        where = { way, depth: record.depth, vertebra: i, body, place: placeOf(record, i) };
        says = `${at(record, way)}, vertebra ${i}, ${facts.bodies[body]?.name} (${rule?.kind === "free" ? "free to touch" : rule?.kind === "light" ? "light touch" : "never"})${record.contact?.state === "jammed" ? ": it jams, cables would break before the arm bends as asked" : ""}`;
        // a body that may be touched: what happens then was not found; a bound that fails where every solved shape holds proves nothing
        open = rule?.kind !== "never" || record.seenSpare >= 0 || !record.settled;
      }
    }
  });
  return {
    id: "touch",
    title: "Touch rules",
    unit: "m",
    demand,
    limit,
    use: use > 1 && open ? Number.NaN : use,
    where,
    whereSays: says,
    note: "A body that may be touched counts by its force, in a row of its own, where the shape that leans on it was found, and here where it was not. Looks at the body that is nearest to each vertebra.",
  };
}

/** Where a body that may be touched is: the leaning shape was found, or touching it changes nothing that is asked. */
function isSettledTouch({ contact }: DepthRecord, rule: TouchRule | undefined): boolean {
  if (contact !== undefined) return contact.state === "held";
  // no shape that was solved presses; between them it may be brushed, which only a light touch asks about
  return rule?.kind === "free";
}

/** One row, where something is leaned on. */
function touchForceRows(facts: Facts): Draft[] {
  let best: Draft | undefined;
  each(facts, (record, way) => {
    const { contact } = record;
    if (contact?.state !== "held") return;
    contact.pressed.forEach((force, body) => {
      if (!(force > 0)) return;
      const rule = facts.bodies[body]?.touch;
      const limit = rule?.kind === "light" ? rule.force : Number.POSITIVE_INFINITY;
      const use = force / limit;
      if (best !== undefined && (use < best.use || (use === best.use && force <= best.demand))) return;
      const touch = contact.body.indexOf(body);
      const vertebra = touch < 0 ? undefined : (contact.vertebra[touch] as number);
      const place = [0, 1, 2].map((r) => contact.place[3 * touch + r] as number) as unknown as readonly [number, number, number];
      best = {
        id: "touch-force",
        title: "Touch force",
        unit: "N",
        demand: force,
        limit,
        use,
        where: { way, depth: record.depth, body, ...(vertebra === undefined ? {} : { vertebra, place }) },
        whereSays: `${at(record, way)}${vertebra === undefined ? ", on the way to it" : ""}, on ${facts.bodies[body]?.name} (${rule?.kind === "light" ? "light touch" : "free to touch"})`,
        note: "All pushes on one body at one depth added up, the arm's commands kept; friction on the walls left out. A body that is free to touch has no limit.",
      };
    });
  });
  return best === undefined ? [] : [best];
}

/** Worst of a per-span share over all depths. */
function worstSpan(
  facts: Facts,
  share: (record: DepthRecord, span: number, section: Section) => number,
): { record: DepthRecord; way: Way; span: number } {
  let best = { record: facts.wayIn[0] as DepthRecord, way: "in" as Way, span: facts.arm.spans - 1 };
  let worst = Number.NEGATIVE_INFINITY;
  each(facts, (record, way) => {
    for (let i = 0; i < facts.arm.spans; i++) {
      const value = share(record, i, sectionOf(facts, i));
      if (value > worst) {
        worst = value;
        best = { record, way, span: i };
      }
    }
  });
  return best;
}

function sectionOf(facts: Facts, span: number): Section {
  return facts.arm.description.sections[facts.arm.sectionOfSpan[span] as number] as Section;
}

function spanPlace(facts: Facts, found: { record: DepthRecord; way: Way; span: number }): { where: MarginPlace; whereSays: string } {
  const section = facts.arm.sectionOfSpan[found.span] as number;
  return {
    where: { way: found.way, depth: found.record.depth, section, vertebra: found.span + 1, place: placeOf(found.record, found.span + 1) },
    whereSays: `${at(found.record, found.way)}, joint ${found.span + 1} in section ${section + 1}`,
  };
}

function jointRow(facts: Facts): Draft {
  const angle = (record: DepthRecord, i: number): number => (record.jointAngle[i] as number) + (record.rub?.joint[i] ?? 0);
  const found = worstSpan(facts, (record, i, section) => angle(record, i) / section.jointLimit);
  const demand = angle(found.record, found.span);
  const limit = sectionOf(facts, found.span).jointLimit;
  const leaning = found.record.jointAngle.reduce((count, angle, i) => count + (angle > sectionOf(facts, i).jointLimit ? 1 : 0), 0);
  const rubbed = found.record.rub?.joint[found.span] ?? 0;
  const said = rubbed > 0 ? ` ${formatQuantity(rubbed, "angle", "metric", 2)} of it for what friction may shift.` : "";
  const note =
    leaning === 0
      ? said === ""
        ? {}
        : { note: said.trim() }
      : {
          note: `${leaning} ${leaning === 1 ? "joint leans on its stop" : "joints lean on their stops"} there: the vertebrae touch.${said}`,
        };
  return { id: "joint", title: "Joint angle", unit: "rad", demand, limit, use: demand / limit, ...spanPlace(facts, found), ...note };
}

function allowedStrain(section: Section): number {
  return Math.min(...section.rods.map((rod) => rod.material.allowedStrain));
}

function strainRow(facts: Facts): Draft {
  const found = worstSpan(facts, (record, i, section) => (record.strain[i] as number) / allowedStrain(section));
  const { warm } = facts;
  const set = (found.record.strain[found.span] as number) / allowedStrain(sectionOf(facts, found.span));
  const worse = warm !== undefined && warm.strain.use > set ? warm.strain : undefined;
  const span = worse?.span ?? found.span;
  const demand = worse?.strain ?? (found.record.strain[span] as number);
  const limit = allowedStrain(sectionOf(facts, span));
  const stress = formatQuantity(worse?.stress ?? (found.record.stress[span] as number), "pressure", "metric", 3);
  const record = worse === undefined ? found.record : (facts.wayIn.find((one) => one.depth === worse.depth) ?? found.record);
  const place = spanPlace(facts, worse === undefined ? found : { record, way: "in", span });
  const line = worstLine(facts);
  const bent = line !== undefined && line.use > 1;
  return {
    id: "strain",
    title: "Rod strain and stress",
    unit: "1",
    demand,
    limit,
    use: lostUse(facts, demand / limit),
    where: place.where,
    whereSays: worse === undefined ? place.whereSays : `${place.whereSays}, ${sayWarm(facts, worse.at)}`,
    warn: bent,
    note: `${facts.arm.softens ? `Stress ${stress} there, along the softer line where a rod has one` : `Elastic stress ${stress} there (strain x modulus: an upper bound where the material leaves its straight line)`}. Allowed strain is for a load that is not repeated.${
      bent
        ? ` ${line.material} leaves its straight line: ${(100 * line.strain).toFixed(2)} % where it ends at ${(100 * line.limit).toFixed(2)} %${line.says === "" ? "" : `, ${line.says}`}.`
        : ""
    }`,
  };
}

/** Unknown where no balance was found at an end of the temperatures. */
function lostUse(facts: Facts, use: number): number {
  return use <= 1 && (facts.warm?.lost ?? 0) > 0 ? Number.NaN : use;
}

function cableRow(facts: Facts): Draft {
  // whichever way it went last, as high as its friction may be, anywhere from the drive to its end
  const greatest = (record: DepthRecord, c: number): number => record.rub?.most[c] ?? (record.tension[c] as number);
  let worst = Number.NEGATIVE_INFINITY;
  let found = { record: facts.wayIn[0] as DepthRecord, way: "in" as Way, cable: 0 };
  each(facts, (record, way) => {
    for (let c = 0; c < facts.arm.cables; c++) {
      const share = greatest(record, c) / (facts.arm.workingLoad[c] as number);
      if (share > worst) {
        worst = share;
        found = { record, way, cable: c };
      }
    }
  });
  const worse = facts.warm !== undefined && facts.warm.cable.use > worst ? facts.warm.cable : undefined;
  const cable = worse?.cable ?? found.cable;
  const record = worse === undefined ? found.record : (facts.wayIn.find((one) => one.depth === worse.depth) ?? found.record);
  const way = worse === undefined ? found.way : "in";
  const section = facts.arm.sectionOfCable[cable] as number;
  return {
    id: "cable-load",
    title: "Cable working load",
    unit: "N",
    demand: worse?.tension ?? greatest(record, cable),
    limit: facts.arm.workingLoad[cable] as number,
    use: lostUse(facts, worse?.use ?? worst),
    where: { way, depth: record.depth, section, cable },
    whereSays: `${at(record, way)}, cable ${cable + 1} of section ${section + 1}${worse === undefined ? "" : `, ${sayWarm(facts, worse.at)}`}`,
    note: `${record.rub === undefined ? "Without friction: the pull at the drive is higher by what the holes and the conduit eat." : `Greatest anywhere from the drive to the cable's end, with the friction at the high end of its range; ${formatQuantity(record.tension[cable] as number, "force", "metric", 3)} where it enters the arm${worse === undefined ? "" : " as set up; warmth changes it in proportion"}.`} Loss of strength over the holes' bends and the locked rolls are not in it.`,
  };
}

function sagRow(facts: Facts, last: DepthRecord): Draft {
  const { loose } = last;
  // a load that comes on or turns over takes the play with it; the port stays where it is
  const play = loose === undefined ? 0 : (loose.tip[0] as number) + (loose.tip[1] as number);
  const demand = last.sag + play;
  return {
    id: "sag",
    title: "Sag",
    unit: "m",
    demand,
    limit: facts.limits.sag,
    use: demand / facts.limits.sag,
    where: { way: "in", depth: last.depth },
    whereSays: `at the target, ${mm(last.depth)} deep`,
    note: `Tip motion between gravity and tool on and off, drives locked, strand stretch included${loose === undefined || play === 0 ? "" : `; ${mm(play)} of it for ${looseParts(loose, [0, 1])}`}.`,
  };
}

function twistRow(facts: Facts): Draft {
  let found = { record: facts.wayIn[0] as DepthRecord, way: "in" as Way };
  const tip = (record: DepthRecord): number => Math.abs(record.twist[facts.arm.spans] as number) + (record.loose?.twist ?? 0);
  each(facts, (record, way) => {
    if (tip(record) > tip(found.record)) found = { record, way };
  });
  const play = found.record.loose?.twist ?? 0;
  const demand = tip(found.record);
  return {
    id: "twist",
    title: "Twist",
    unit: "rad",
    demand,
    limit: facts.limits.twist,
    use: demand / facts.limits.twist,
    where: { way: found.way, depth: found.record.depth },
    whereSays: `${at(found.record, found.way)}, at the tip`,
    note: `Twist of the arm about its own axis, gathered from the guide's exit to the tip${play === 0 ? "" : `, all play of the joints one way (${formatQuantity(play, "angle", "metric", 2)})`}.`,
  };
}

function slackRow(facts: Facts, last: DepthRecord): Draft {
  const fact = facts.slack;
  const cable = fact?.cable ?? 0;
  const section = facts.arm.sectionOfCable[cable] as number;
  const pretension = facts.arm.pretension[cable] as number;
  const least = fact?.least ?? Number.NaN;
  return {
    id: "slack",
    title: "Slack cables",
    unit: "N",
    demand: pretension - least,
    limit: pretension,
    use: Number.isNaN(least) ? Number.NaN : least > 0 ? 1 - least / pretension : Number.POSITIVE_INFINITY,
    where: { way: "in", depth: last.depth, section, cable },
    whereSays: `at the target, cable ${cable + 1} of section ${section + 1}${fact === undefined ? "" : `, arm rolled by ${Math.round((fact.roll * 180) / Math.PI)} deg${fact.at === undefined ? "" : `, ${sayWarm(facts, fact.at)}`}`}`,
    note: "Tension lost by the slackest cable when the arm, lengths locked, is rolled through a full turn under its load; a cable that loses all its pretension is slack.",
  };
}

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

function poseRow(facts: Facts, last: DepthRecord): Draft {
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

function wayOutRow(facts: Facts): Draft {
  const gap = facts.branchGap;
  const limit = sameBranch + gap.explained;
  return {
    id: "way-out",
    title: "Way out",
    unit: "m",
    demand: gap.shape,
    limit,
    use: gap.shape / limit,
    where: { way: "out", depth: gap.depth },
    whereSays: gap.shape < 1e-9 ? "the same shapes as on the way in" : `differs most from the way in at ${mm(gap.depth)}`,
    note:
      gap.explained > 0
        ? `Solved again with the commands reversed, every cable sliding its own way, and checked as the way in is; friction explains a difference of up to ${mm(gap.explained)}, more would be another shape.`
        : "Solved again with the commands reversed; without friction this only looks for a second shape under the same commands.",
  };
}

/** How far friction may hold the tool from where its lengths put it: judged where the job gives a limit. */
function deadBandRow(facts: Facts, last: DepthRecord, limit: number): Draft {
  const demand = last.rub?.fullTip ?? 0;
  return {
    id: "dead-band",
    title: "Dead band",
    unit: "m",
    demand,
    limit,
    use: demand / limit,
    where: { way: "in", depth: last.depth },
    whereSays: `at the target, ${mm(last.depth)} deep`,
    note: `Greatest distance of the tool from where the cables' lengths put it when nobody knows which way each cable slid last${facts.arm.hoseLoss.some((loss) => loss > 0) ? ", and for what the hoses keep back" : ""}; come to a place the same way each time, and the rest is in the other margins.`,
  };
}
