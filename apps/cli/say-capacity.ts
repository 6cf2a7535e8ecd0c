/** What `withy capacity` found, in tables. */
import { formatQuantity, type QuantityKind } from "../../src/base/index.ts";
import type { CommonOptions } from "./console.ts";
import type { CapacityAnswer } from "./describe-capacity.ts";
import { layTable } from "./lay-table.ts";
import { standardGravity } from "./read-solve.ts";
import { sayFaults } from "./say-faults.ts";

export type Say = (value: number | null, kind: QuantityKind) => string;

export function sayCapacity(answer: CapacityAnswer, options: CommonOptions): string {
  // what is left of a zero after rounding is not worth its digits
  const say: Say = (value, kind) => (value === null ? "" : formatQuantity(Math.abs(value) < 1e-9 ? 0 : value, kind, options.units, 3));
  const lines = [
    `${answer.arm}: largest load on the tip before the first limit, drives locked ${lockedWhen(answer.lockedAt)}; simulated, without contact.`,
    `Each is searched to within ${100 * answer.tolerance} %, found by letting the load grow. ${
      answer.sagToleranceM === null
        ? "No sag was given that would end it."
        : `The tool point may move by ${say(answer.sagToleranceM, "length")}.`
    }`,
    "",
    ...sayPoints(answer.points, say),
    ...(answer.points.some(isAlong)
      ? [
          "",
          "Outwards and inwards: pull and push on rods and cables alone. Clamps, crimps and the tool's joint are not counted: no pull-out rating.",
        ]
      : []),
    "",
    "How stiffly the tool point holds against a small force, drives locked, and what of its way across comes from where:",
    "",
    ...sayStiffness(answer.stiffness, say),
    ...answer.ramps.flatMap((ramp) => sayRamp(ramp, say)),
    "",
    `First swing, drives locked, damped by ${dampingWords(answer.damping)} of critical; settled within 2 %:`,
    "",
    layTable(
      [
        ["out", "pretension", "first swing", "second", "settles in"],
        ...answer.swings.map((s) => [
          say(s.lengthM, "length"),
          s.pretensionN === null ? "own" : say(s.pretensionN, "force"),
          s.found ? hertz(s.firstHz) : "not found",
          s.found ? hertz(s.secondHz) : "",
          settles(s),
        ]),
      ],
      [0, 1, 2, 3, 4],
    ),
  ];
  if (answer.backbones.length > 0) lines.push("", ...sayBackbones(answer.backbones, say));
  if (answer.faults !== undefined) lines.push("", ...sayFaults(answer.faults, answer.suddenDamping, say));
  return `${lines.join("\n")}\n`;
}

function dampingWords({ nominal, least, most }: CapacityAnswer["damping"]): string {
  return least === most ? String(nominal) : `${nominal} (${least} to ${most})`;
}

function settles(s: CapacityAnswer["swings"][number]): string {
  const seconds = (x: number | null): string => (x === null ? "never" : `${Number(x.toPrecision(3))} s`);
  if (!s.found) return "";
  const one = seconds(s.settlingS);
  return s.settlingLeastS === s.settlingMostS ? one : `${one} (${seconds(s.settlingLeastS)} to ${seconds(s.settlingMostS)})`;
}

function lockedWhen(when: "carrying" | "unloaded"): string {
  return when === "carrying" ? "while they carry weight and tool" : "before weight and tool come on";
}

function hertz(x: number | null): string {
  return x === null ? "" : `${x.toPrecision(3)} Hz`;
}

const pointHead = ["out", "pretension", "load", "hung at", "payload", "as a mass", "ends at", "where", "tip moved", "loose cables"];

/** Without the column of places where all loads hang at the tool point. */
function sayPoints(points: CapacityAnswer["points"], say: Say): string[] {
  const aside = points.some((p) => p.offsetM.some((x) => x !== 0));
  const rows = [pointHead, ...points.map((p) => pointRow(p, say))];
  if (aside) return [layTable(rows, [0, 1, 4, 5, 8])];
  return [
    layTable(
      rows.map((row) => row.filter((_, k) => k !== 3)),
      [0, 1, 3, 4, 7],
    ),
  ];
}

export const ends: Readonly<Record<string, string>> = {
  cable: "cable's working load",
  stop: "joint stop",
  strain: "rod strain",
  sag: "sag",
  unstable: "unstable",
  unconverged: "not known: no balance found beyond",
  most: "not known: no more was tried",
  "not-locked": "not known: no shape to lock",
};

function pointRow(p: CapacityAnswer["points"][number], say: Say): string[] {
  const more = p.found ? "" : "at least ";
  const held = p.endsAt !== "not-locked";
  return [
    say(p.lengthM, "length"),
    p.pretensionN === null ? "own" : say(p.pretensionN, "force"),
    p.direction,
    p.offsetM.map((x) => say(x, "length")).join(", "),
    held ? `${more}${say(p.payloadN, "force")}` : "",
    held && !isAlong(p) ? say(p.payloadN / standardGravity, "mass") : "",
    p.endsAt === "unstable" && p.boundN === 0 ? "unstable without any load" : (ends[p.endsAt] as string),
    placeWords(p),
    held ? say(p.movedM, "length") : "",
    p.slackCables.join(" "),
  ];
}

/** A load along the arm is a pull or a push on rods and cables, and no mass that anybody hangs there. */
function isAlong(p: CapacityAnswer["points"][number]): boolean {
  return p.direction === "outwards" || p.direction === "inwards";
}

const stiffnessHead = [
  "out",
  "pretension",
  "along the tool",
  "across, softest",
  "across, stiffest",
  "backbone",
  "strand in arm",
  "in conduit",
  "conduit",
  "drive",
  "base",
];

/** With a column for what friction keeps back where anything rubs. */
function sayStiffness(all: CapacityAnswer["stiffness"], say: Say): string[] {
  const rubs = all.some((s) => (s.frictionBandM ?? 0) > 0);
  const rows = [stiffnessHead, ...all.map((s) => stiffnessRow(s, say))];
  const band = ["friction band", ...all.map((s) => (s.frictionBandM === null ? "not known" : `+- ${say(s.frictionBandM, "length")}`))];
  return [
    layTable(
      rows.map((row, k) => (rubs ? [...row, band[k] as string] : row)),
      [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11],
    ),
  ];
}

function stiffnessRow(s: CapacityAnswer["stiffness"][number], say: Say): string[] {
  const head = [say(s.lengthM, "length"), s.pretensionN === null ? "own" : say(s.pretensionN, "force")];
  const { along, acrossMost, acrossLeast } = s;
  if (along === null || acrossMost === null || acrossLeast === null) return [...head, "not known", "", "", "", "", "", "", "", ""];
  const share = (part: number): string => `${Math.round((100 * part) / acrossMost.giveMPerN)} %`;
  return [
    ...head,
    ...[along, acrossMost, acrossLeast].map((g) => say(1 / g.giveMPerN, "stiffness")),
    ...[
      acrossMost.backboneMPerN,
      acrossMost.strandInArmMPerN,
      acrossMost.strandInConduitMPerN,
      acrossMost.conduitMPerN,
      acrossMost.driveMPerN,
      acrossMost.baseMPerN,
    ].map(share),
  ];
}

function sayRamp(ramp: CapacityAnswer["ramps"][number], say: Say): string[] {
  const how = ramp.turnsWithTool ? "turns with the tool" : "keeps its direction";
  const limit = ramp.found ? `ends at ${say(ramp.limitN, "force")}` : `held up to ${say(ramp.limitN, "force")}`;
  const place = placeWords(ramp);
  const lines = [
    "",
    `Tool ${ramp.name}, ${say(ramp.lengthM, "length")} out, a force that ${how}: ${limit}, ${ends[ramp.endsAt]}${place === "" ? "" : ` (${place})`}.`,
  ];
  if (ramp.rows.length === 0) return lines;
  const percent = (use: number): string => `${Math.round(100 * use)} %`;
  return [
    ...lines,
    layTable(
      [
        [
          "force",
          "tip moved",
          "along the force",
          "tool turned",
          "arm twisted",
          "tensions",
          "worst cable",
          "joint",
          "strain",
          "loose cables",
        ],
        ...ramp.rows.map((row) => [
          say(row.loadN, "force"),
          say(row.movedM, "length"),
          say(row.alongM, "length"),
          say(row.turnedRad, "angle"),
          say(row.twistRad, "angle"),
          `${say(Math.min(...row.tensionN), "force")} to ${say(Math.max(...row.tensionN), "force")}`,
          percent(row.cableUse),
          percent(row.stopUse),
          percent(row.strainUse),
          row.slackCables.join(" "),
        ]),
      ],
      [0, 1, 2, 3, 4, 5, 6, 7, 8],
    ),
  ];
}

const backboneWords: Readonly<Record<string, string>> = {
  given: "as it is",
  "one-rod": "one rod, as thick",
  "one-stiff-rod": "one rod, as stiff to bend",
  twin: "two rods, as thick",
};

function sayBackbones(rows: CapacityAnswer["backbones"], say: Say): string[] {
  const percent = (use: number | null): string => (use === null ? "" : `${Math.round(100 * use)} %`);
  return [
    "The same arm with another backbone, drives locked before weight and tool come on:",
    "",
    layTable(
      [
        ["out", "backbone", "stands", "tip sags", "twist", "twist by the load", "worst cable", "joint", "strain"],
        ...rows.map((row) => [
          say(row.lengthM, "length"),
          backboneWords[row.backbone] as string,
          row.sagM !== null ? "yes" : row.status === "buckled" ? "no: it falls" : "not known",
          say(row.sagM, "length"),
          say(row.twistRad, "angle"),
          say(row.twistRad === null || row.twistUnloadedRad === null ? null : row.twistRad - row.twistUnloadedRad, "angle"),
          ...[row.cableUse, row.stopUse, row.strainUse].map(percent),
        ]),
      ],
      [0, 3, 4, 5, 6, 7, 8],
    ),
  ];
}

export function placeWords(p: { readonly cable: number | null; readonly joint: number | null; readonly section: number | null }): string {
  return p.cable !== null
    ? `cable ${p.cable}${p.section === null ? "" : ` (section ${p.section})`}`
    : p.joint !== null
      ? `joint ${p.joint}, section ${p.section}`
      : "";
}
