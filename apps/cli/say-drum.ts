/** What `withy drum` found, in words and tables. */
import { formatQuantity, type QuantityKind } from "../../src/base/index.ts";
import type { CommonOptions } from "./console.ts";
import type { DrumAnswer } from "./drum.ts";
import { layTable } from "./lay-table.ts";

type Say = (value: number, kind: QuantityKind) => string;
type Row = DrumAnswer["rows"][number];

export function sayDrum(answer: DrumAnswer, options: CommonOptions): string {
  // what is left of a zero after rounding is not worth its digits
  const say: Say = (value, kind) => formatQuantity(Math.abs(value) < 1e-9 ? 0 : value, kind, options.units, 3);
  const full = answer.rows[0] as Row;
  const lines = [
    `${answer.arm} on a core of ${say(answer.coreRadiusM, "length")} radius, ${
      answer.lay === "helix" ? `a helix of ${say(answer.pitchM ?? 0, "length")} pitch` : "a spiral"
    }, bent by ${answer.bentBy === "drum" ? "core and cover" : "its own sections"}: ${answer.fits ? "it goes" : "it does not go"}. Simulated.`,
    ...answer.faults.map((fault) => `  - ${fault.says}`),
    "",
    `Wound up: ${full.turns.toFixed(2)} turns, ${say(answer.coilWidthM, "length")} wide, ${say(answer.coilDiameterM, "length")} across; the base rolled so that it bends ${say(
      answer.rollRad,
      "angle",
    )} from its x towards its y.`,
    "",
    "As it is paid out: the worst joint, rod and cable, and what the drives must pull while it is wound up and paid out.",
    "",
    layTable([head, ...answer.rows.map((row) => line(row, say))], [0, 1, 2, 3, 4, 5, 6, 7, 8]),
    "",
    "Bends that lay it round the core, all of it wound up:",
    "",
    layTable(
      [
        ["section", "bend", "about, from x to y"],
        ...full.bends.map((b) => [String(b.section), say(b.bendRad, "angle"), say(b.aboutRad, "angle")]),
      ],
      [0, 1, 2],
    ),
    "",
    ...sayCore(answer, full, say),
    ...sayHang(answer, say),
    ...(full.bowOutM === null || full.bowInM === null
      ? []
      : [
          `Between its ends a section bows by up to ${say(full.bowOutM, "length")} off the core and ${say(full.bowInM, "length")} into it.`,
          "",
        ]),
    "Assumed: what is on the drum lies on the core and what is off it is straight in its tube; weight is the core's to carry; the slackest place of",
    answer.bentBy === "drum"
      ? "every cable is kept at its pretension while core and cover bend the arm."
      : "every cable is kept at its pretension. The core is not pressed against: what bows out or in by more than it gives is shown, not pushed back.",
  ];
  return `${lines.join("\n")}\n`;
}

const head = ["paid out", "on drum", "turns", "joint", "of stop", "strain", "of allowed", "winding up", "paying out", "cable"];

function line(row: Row, say: Say): string[] {
  const pull = (one: Row["windingUp"] | null): string => {
    if (one === null) return "";
    return one.status === "stable" || one.status === "slack"
      ? `${say(one.mostN ?? Number.NaN, "force")} (${percent(one.use)})`
      : one.status === "buckled"
        ? "not steady"
        : "not found";
  };
  const { windingUp, payingOut } = row;
  return [
    say(row.paidOutM, "length"),
    String(row.onDrum),
    row.turns.toFixed(2),
    row.joint.angleRad === null ? "" : say(row.joint.angleRad, "angle"),
    percent(row.joint.use),
    row.strain.strain === null ? "" : `${(100 * row.strain.strain).toFixed(2)} %`,
    percent(row.strain.use),
    pull(windingUp),
    pull(payingOut),
    payingOut === null || payingOut.strongest === windingUp.strongest
      ? String(windingUp.strongest)
      : `${windingUp.strongest}, ${payingOut.strongest}`,
  ];
}

function percent(value: number | null): string {
  if (value === null) return "";
  return Number.isFinite(value) ? `${Math.round(100 * value)} %` : "beyond all";
}

function sayCore(answer: DrumAnswer, full: Row, say: Say): string[] {
  const { friction } = answer;
  const range = friction.low === friction.high ? String(friction.nominal) : `${friction.low} to ${friction.high}`;
  const span = (least: number, most: number): string =>
    say(least, "force") === say(most, "force") ? say(least, "force") : `${say(least, "force")} to ${say(most, "force")}`;
  return [
    ...sayCapstan(answer, full, say),
    `Arm on the core, friction ${range}: of a pull at the mouth ${percent(full.anchorLeast)} to ${percent(full.anchorMost)} come to the anchor${
      answer.pullN > 0 ? ` (${span(full.anchorLeastN, full.anchorMostN)} of ${say(answer.pullN, "force")})` : ""
    };`,
    `sliding all of it round a core that stands still takes ${span(full.slideLeastN, full.slideMostN)} by its weight alone, times e^(friction x turning) more for what holds it back.`,
    `A push of 1 N at the mouth lifts it by ${(full.liftPerPushPerM).toFixed(1)} N/m: paid out by pushing, it needs a cover or a band.`,
    ...(answer.longestInsertM === null ? [] : [`A stiff piece of up to ${say(answer.longestInsertM, "length")} stays in its channel.`]),
  ];
}

function sayHang({ hang }: DrumAnswer, say: Say): string[] {
  if (hang === null) return [];
  if (hang.offM === null) return ["The last half turn: with its own weight no balance was found.", ""];
  const allowed = hang.allowedM === null ? "it leans on the cover" : `${say(hang.allowedM, "length")} are allowed`;
  return [
    `The last half turn, from joint ${hang.fromJoint} on, drives locked: its weight takes vertebra ${hang.vertebra} ${say(hang.offM, "length")} off the core where that hangs lowest; ${allowed}.`,
    "",
  ];
}

function sayCapstan(answer: DrumAnswer, { capstan }: Row, say: Say): string[] {
  const { cable, turnedRad, factor, most } = capstan;
  if (turnedRad === null || factor === null || most === null) return [];
  const turns = `Cables: cable ${cable} turns most, ${say(turnedRad, "angle")} gathered;`;
  return [
    answer.cablesRub
      ? `${turns} its pull falls by ${factor.toFixed(2)} along it (${most.toFixed(2)} with the high coefficient).`
      : `${turns} the arm gives no friction, so nothing is lost by it.`,
  ];
}
