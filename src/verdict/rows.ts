/** The margins that exist now, each from the results: demand, limit, use, where. */
import { nameCable, type Section } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import { type DepthRecord, sameBranch } from "../insertion/index.ts";
import { driveRows } from "./drive-rows.ts";
import { drumRows } from "./drum-rows.ts";
import type { Facts } from "./facts.ts";
import { guideRows } from "./guide-rows.ts";
import { lookRows } from "./look-rows.ts";
import { looseParts, sayTaken } from "./loose.ts";
import type { MarginPlace, MarginRow, MarginUnit } from "./model.ts";
import { outsideRows } from "./outside-rows.ts";
import { at, each, mm, placeOf, type Way } from "./places.ts";
import { poseRow } from "./pose-row.ts";
import { rollRows } from "./roll-row.ts";
import { touchForceRows, touchRow } from "./touch-rows.ts";
import { sayWarm, worstLine } from "./warm.ts";
import { zoneRows } from "./zone-rows.ts";

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
  /** a warning however large: it is a condition, and turns no answer */
  told?: boolean;
  /** no number of the arm that may not be surely known moves it */
  certain?: boolean;
}

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
  rows.push(
    ...guideRows(facts),
    ...drumRows(facts),
    ...rollRows(facts),
    ...lookRows(facts),
    ...driveRows(facts),
    ...zoneRows(facts),
    ...outsideRows(facts),
  );
  return sortRows(rows.map((draft) => finish(draft, facts)));
}

/** The tightest first. */
export function sortRows(rows: readonly MarginRow[]): MarginRow[] {
  return [...rows].sort((a, b) => rank(b) - rank(a));
}

export function finish(draft: Draft, facts: Pick<Facts, "gains" | "spreads">): MarginRow {
  const { warn = false, told = false, certain = false, ...row } = draft;
  const warnAbove = draft.warnAbove ?? 0.8;
  const state = told && !(draft.use <= warnAbove) ? "warning" : stateOf(draft.use, warn, warnAbove);
  const spread = facts.spreads?.[draft.id];
  const note = [draft.note ?? "", sayUnspread(facts, spread, certain)].filter((part) => part !== "").join(" ");
  const gains = facts.gains[draft.id] ?? [];
  return { ...row, warnAbove, state, gains, ...(spread === undefined ? {} : { spread }), ...(note === "" ? {} : { note }) };
}

/** Why a row has no spread, where the others have one. */
function sayUnspread({ spreads }: Pick<Facts, "spreads">, spread: number | undefined, certain: boolean): string {
  if (spreads === undefined || spread !== undefined) return "";
  return certain
    ? "No number of the arm that is not surely known moves it."
    : "How far it may be off for what is not surely known of the arm is not computed.";
}

function stateOf(use: number, warn: boolean, warnAbove: number): MarginRow["state"] {
  return Number.isNaN(use) ? "unknown" : use > 1 ? "over" : warn || use > warnAbove ? "warning" : "ok";
}

function rank(row: MarginRow): number {
  return row.state === "unknown" || Number.isNaN(row.use) ? Number.MAX_VALUE : row.use;
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
    certain: true,
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
    whereSays: `${at(found.record, found.way)}, joint ${found.span + 1} in section ${section + 1}${found.span < found.record.firstFree ? ", in the guide tube" : ""}`,
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
    whereSays: `${at(record, way)}, ${nameCable(facts.arm, cable)}${worse === undefined ? "" : `, ${sayWarm(facts, worse.at)}`}`,
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
    whereSays: `at the target, ${nameCable(facts.arm, cable)}${fact === undefined ? "" : `, arm rolled by ${Math.round((fact.roll * 180) / Math.PI)} deg${fact.at === undefined ? "" : `, ${sayWarm(facts, fact.at)}`}`}`,
    note: "Tension lost by the slackest cable when the arm, lengths locked, is rolled through a full turn under its load; a cable that loses all its pretension is slack.",
  };
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
