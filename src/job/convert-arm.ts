/** An arm file in SI -> ArmDescription, with a way back from the description's paths to the file's. */
import {
  type ArmBase,
  type ArmDescription,
  type CableStock,
  type Camera,
  type Drum,
  type Fitted,
  type Hose,
  type Play,
  type PullOut,
  type Ratings,
  type Rod,
  type RodMaterial,
  type Section,
  type Tool,
  vertebraVolume,
} from "../arm/index.ts";
import type { Fault } from "../base/index.ts";
import { convertDrives, driveKey } from "./convert-drives.ts";
import { nearestWord } from "./nearest-word.ts";
import { type ArmFile, greatestArm, type SectionFile } from "./schema-arm.ts";
import { cableStocks, rodMaterials } from "./stock.ts";
import type { PathStep } from "./yaml-text.ts";

export interface ConvertedArm {
  readonly arm: ArmDescription;
  /** [section of the arm] where its pattern stands in the file */
  readonly sectionPaths: readonly (readonly PathStep[])[];
}

/** A fault whose place in the text is still to be found. */
export interface OpenFault extends Pick<Fault, "code" | "problem" | "hint" | "received"> {
  readonly at: readonly PathStep[];
}

/**
 * @param faults  every name not in stock and every value at odds with another is added
 */
export function convertArm(file: ArmFile, faults: OpenFault[]): ConvertedArm {
  const patterns = patternsOf(file);
  const total = patterns.reduce((sum, { pattern }) => sum + pattern.count, 0);
  if (tooLarge(patterns, total, faults)) return { arm: describe(file, [], faults), sectionPaths: [] };
  const passive = patterns.reduce((sum, { pattern }) => sum + (pattern.cables.count === 0 ? pattern.count : 0), 0);
  const sectionPaths: (readonly PathStep[])[] = [];
  const sections: Section[] = [];
  for (const { pattern, at } of patterns) {
    const before = faults.length;
    const parts = convertParts(pattern, at, faults);
    if (faults.length > before) continue;
    for (let k = 0; k < pattern.count; k++) {
      const j = sections.length;
      const stem = pattern.name ?? "section";
      const name = pattern.name !== undefined && pattern.count === 1 ? stem : `${stem} ${pattern.name === undefined ? j + 1 : k + 1}`;
      const angles = pattern.cables.angles ?? spreadEvenly(pattern.cables.count as number, j - passive, total - passive);
      sections.push({ name, ...parts, cableAngles: angles, vertebraMass: 0 });
      sectionPaths.push(at);
    }
  }
  const weighed = sections.map((section, j) => {
    const { pattern } = patterns.find((p) => p.at === sectionPaths[j]) as Pattern;
    return { ...section, vertebraMass: pattern["vertebra-mass"] ?? (pattern["vertebra-density"] ?? 0) * vertebraVolume(sections, j) };
  });
  return { arm: describe(file, weighed, faults), sectionPaths };
}

function describe(file: ArmFile, sections: readonly Section[], faults: OpenFault[]): ArmDescription {
  return {
    name: file.name,
    sections,
    tool: convertTool(file),
    conduitLength: file["conduit-length"],
    ...(file["conduit-stiffness"] === undefined ? {} : { conduitStiffness: file["conduit-stiffness"] }),
    ...(file["drive-stiffness"] === undefined ? {} : { driveStiffness: file["drive-stiffness"] }),
    ...(file.damping === undefined ? {} : { damping: file.damping }),
    friction: {
      holes: file.friction.holes,
      conduit: file.friction.conduit,
      conduitTurn: file.friction["conduit-turn"] ?? (file["conduit-length"] > 0 ? Math.PI / 2 : 0),
    },
    ...given("conduitExpansion", file["conduit-expansion"]),
    ...(file.base === undefined ? {} : { base: convertBase(file.base, faults) }),
    cableDesignFactor: file["cable-design-factor"],
    terminationFactor: file["termination-factor"],
    ...(file.fitted === undefined ? {} : { fitted: convertFitted(file.fitted) }),
    ...(file.drives === undefined ? {} : { drives: convertDrives(file.drives) }),
    ...(file["pull-out"] === undefined ? {} : { pullOut: convertPullOut(file["pull-out"]) }),
    ...(file.drum === undefined ? {} : { drum: convertDrum(file.drum, sections) }),
    ...convertRatings(file.ratings),
  };
}

function convertRatings(ratings: ArmFile["ratings"]): { readonly ratings?: Ratings } {
  if (ratings === undefined) return {};
  return { ratings: { ...given("temperature", ratings.temperature), ...given("dose", ratings.dose) } };
}

/** Turns that lie side by side are this many widths of a vertebra apart: common practice, no source. */
const usualPitch = 1.05;

function convertDrum(drum: Exclude<ArmFile["drum"], undefined>, sections: readonly Section[]): Drum {
  const widest = Math.max(0, ...sections.map((section) => section.outerDiameter));
  return {
    radius: drum["core-diameter"] / 2,
    lay: drum.lay,
    pitch: drum.pitch ?? usualPitch * widest,
    ...given("width", drum.width),
    ...given("flange", drum["flange-diameter"]),
    ...given("cover", drum.cover),
    bentBy: drum["bent-by"],
    start: drum.start,
    ...given("roll", drum.roll),
    friction: drum.friction,
    pull: drum.pull,
  };
}

function convertPullOut({ strength, "weak-link": weakLink }: NonNullable<ArmFile["pull-out"]>): PullOut {
  return { strength, ...(weakLink === undefined ? {} : { weakLink }) };
}

function convertFitted({ spreads, ...fitted }: NonNullable<ArmFile["fitted"]>): Fitted {
  const told = Object.entries(spreads).filter(([, spread]) => spread !== undefined);
  return { ...fitted, spreads: Object.fromEntries(told) };
}

/** An arm of more parts than any arm is refused before it is built. */
function tooLarge(patterns: readonly Pattern[], sections: number, faults: OpenFault[]): boolean {
  const sum = (of: (pattern: SectionFile) => number): number => patterns.reduce((all, { pattern }) => all + pattern.count * of(pattern), 0);
  const parts = [
    ["sections", sections, greatestArm.sections],
    ["vertebrae", sum((pattern) => pattern.spans), greatestArm.vertebrae],
    ["cables", sum(({ cables }) => cables.angles?.length ?? cables.count ?? 0), greatestArm.cables],
  ] as const;
  const before = faults.length;
  for (const [what, found, most] of parts) {
    if (found > most)
      faults.push({
        code: "shape.count",
        at: ["sections"],
        problem: `make ${found} ${what}.`,
        hint: `An arm has at most ${most} ${what}.`,
      });
  }
  return faults.length > before;
}

interface Pattern {
  readonly pattern: SectionFile;
  readonly at: readonly PathStep[];
}

function patternsOf(file: ArmFile): Pattern[] {
  const { sections } = file;
  if (!Array.isArray(sections)) return [{ pattern: sections as SectionFile, at: ["sections"] }];
  return (sections as SectionFile[]).map((pattern, k) => ({ pattern, at: ["sections", k] }));
}

type Parts = Omit<Section, "name" | "cableAngles" | "vertebraMass">;

function convertParts(pattern: SectionFile, at: readonly PathStep[], faults: OpenFault[]): Parts {
  const add = (code: Fault["code"], steps: readonly PathStep[], problem: string, hint: string): void => {
    faults.push({ code, at: [...at, ...steps], problem, hint });
  };
  const { cables } = pattern;
  if (cables.angles === undefined && cables.count === undefined) {
    add("shape.missing-key", ["cables", "count"], "is missing.", "Say how many cables the section has, or give their angles.");
  }
  if (cables.angles !== undefined && cables.count !== undefined && cables.angles.length !== cables.count) {
    add(
      "shape.count",
      ["cables", "angles"],
      `has ${cables.angles.length} entries where count says ${cables.count}.`,
      "Give one angle a cable, or leave count away.",
    );
  }
  if (pattern["vertebra-mass"] === undefined && pattern["vertebra-density"] === undefined) {
    add("shape.missing-key", ["vertebra-mass"], "is missing.", "Give the mass of one vertebra, or vertebra-density.");
  }
  if (pattern["vertebra-mass"] !== undefined && pattern["vertebra-density"] !== undefined) {
    add("shape.count", ["vertebra-density"], "is given beside vertebra-mass.", "Keep one of them.");
  }
  const rods = convertRods(pattern, add);
  const rest = pattern.rest;
  return {
    spans: pattern.spans,
    pitch: pattern.pitch,
    flexible: pattern.hinge,
    effectiveLength: pattern["effective-length"] ?? pattern.hinge,
    outerDiameter: pattern.diameter,
    channelDiameter: pattern.channel,
    rods,
    alternating: pattern.backbone.layout === "twin" || (pattern.backbone.layout === "rods" && pattern.backbone.alternating),
    hoses: pattern.hoses.map(convertHose),
    cableRadius: cables["circle-radius"],
    holeDiameter: cables.hole,
    ...(cables["hole-edge"] === undefined ? {} : { holeEdge: cables["hole-edge"] }),
    cable: convertStock(cables.stock, add),
    pretension: cables.pretension,
    ...given("vertebraExpansion", pattern["vertebra-expansion"]),
    // a hinge bent to the arc whose inner rim has closed: gap / rim radius
    jointLimit: pattern["joint-limit"] ?? Math.min(Math.PI, (2 * pattern.hinge) / pattern.diameter),
    ...(pattern["stop-stiffness"] === undefined ? {} : { stopStiffness: pattern["stop-stiffness"] }),
    ...(pattern.joint === undefined ? {} : { joint: pattern.joint }),
    ...(pattern.play === undefined ? {} : { play: convertPlay(pattern.play) }),
    ...(rest === undefined ? {} : { rest }),
  };
}

/** The key with its value, or nothing when the file leaves it out. */
function given<K extends string>(key: K, value: number | undefined): { readonly [k in K]?: number } {
  return value === undefined ? {} : ({ [key]: value } as { readonly [k in K]?: number });
}

type AddFault = (code: Fault["code"], steps: readonly PathStep[], problem: string, hint: string) => void;

function convertRods({ backbone }: SectionFile, add: AddFault): Rod[] {
  switch (backbone.layout) {
    case "single": {
      const material = convertMaterial(backbone.material, ["backbone", "material"], add);
      return [{ x: 0, y: 0, diameter: backbone.diameter, material, attachment: "clamped" }];
    }
    case "twin": {
      const material = convertMaterial(backbone.material, ["backbone", "material"], add);
      const { diameter, spacing } = backbone;
      return [-1, 1].map((side) => ({ x: (side * spacing) / 2, y: 0, diameter, material, attachment: "clamped" }));
    }
    case "rods":
      return backbone.rods.map((rod, k) => ({
        x: rod.x,
        y: rod.y,
        diameter: rod.diameter,
        material: convertMaterial(rod.material, ["backbone", "rods", k, "material"], add),
        attachment: rod.attachment,
      }));
  }
}

function convertMaterial(written: MaterialFile, steps: readonly PathStep[], add: AddFault): RodMaterial {
  if (typeof written === "string") return byName(written, rodMaterials, "material", steps, add);
  return {
    name: written.name,
    youngModulus: written["young-modulus"],
    poissonRatio: written["poisson-ratio"],
    density: written.density,
    allowedStrain: written["allowed-strain"],
    fatigueStrain: written["fatigue-strain"],
    ...given("expansion", written.expansion),
    ...given("linearStrain", written["linear-strain"]),
    ...given("plateauModulus", written["plateau-modulus"]),
    ...given("plateauRise", written["plateau-rise"]),
  };
}

type MaterialFile = Extract<SectionFile["backbone"], { layout: "single" }>["material"];

function convertStock(written: SectionFile["cables"]["stock"], add: AddFault): CableStock {
  if (typeof written === "string") return byName(written, cableStocks, "cable", ["cables", "stock"], add);
  return {
    name: written.name,
    diameter: written.diameter,
    effectiveModulus: written["effective-modulus"],
    breakingLoad: written["breaking-load"],
    massPerLength: written["mass-per-length"],
    ...given("expansion", written.expansion),
    ...given("creep", written.creep),
  };
}

function byName<T extends { readonly name: string }>(
  name: string,
  table: readonly T[],
  what: string,
  steps: readonly PathStep[],
  add: AddFault,
): T {
  const found = table.find((entry) => entry.name === name);
  if (found !== undefined) return found;
  const near = nearestWord(
    name,
    table.map((entry) => entry.name),
  );
  const did = near === undefined ? "" : `Did you mean ${near}? `;
  add(
    "job.stock",
    steps,
    `is ${name}, a ${what} that is not in the table.`,
    `${did}Known are: ${table.map((entry) => entry.name).join(", ")}; or give its numbers.`,
  );
  return table[0] as T;
}

function convertHose(hose: SectionFile["hoses"][number]): Hose {
  return {
    name: hose.name,
    bendingStiffness: hose["bending-stiffness"],
    torsionStiffness: hose["twisting-stiffness"],
    massPerLength: hose["mass-per-length"],
    ...given("loss", hose.loss),
    ...(hose.density === undefined ? {} : { density: hose.density }),
    ...given("leastRadius", hose["least-radius"]),
  };
}

/** m cables of the j-th of n sections: even, and turned on by a share of the gap so that no two sections' cables fall together. */
function spreadEvenly(cables: number, j: number, sections: number): number[] {
  const turn = 2 * Math.PI;
  return Array.from({ length: cables }, (_, k) => (turn * k) / cables + (turn * j) / (sections * cables));
}

function convertPlay({ bend, twist, hole }: NonNullable<SectionFile["play"]>): Play {
  return { bend, twist, ...(hole === undefined ? {} : { hole }) };
}

function convertBase(file: NonNullable<ArmFile["base"]>, faults: OpenFault[]): ArmBase {
  const { turn, shift, compliance, "guide-play": guidePlay, "guide-grip": guideGrip } = file;
  if (compliance !== undefined && (turn !== undefined || shift !== undefined)) {
    faults.push({
      code: "shape.count",
      at: ["base", "compliance"],
      problem: "is given beside turn or shift.",
      hint: "Keep the whole matrix, or the six numbers of its diagonal.",
    });
  }
  const diagonal = turn === undefined && shift === undefined ? undefined : [...(turn ?? [0, 0, 0]), ...(shift ?? [0, 0, 0])];
  const whole = compliance ?? diagonal;
  return {
    ...(whole === undefined ? {} : { compliance: whole }),
    ...(guidePlay === undefined ? {} : { guidePlay }),
    ...given("guideGrip", guideGrip),
  };
}

type CameraFile = NonNullable<NonNullable<ArmFile["tool"]>["camera"]>;

function convertCamera({ "field-of-view": fieldOfView, pixels, "pixels-down": pixelsDown, focus }: CameraFile): Camera {
  return { fieldOfView, pixels, ...(pixelsDown === undefined ? {} : { pixelsDown }), ...(focus === undefined ? {} : { focus }) };
}

function convertTool(file: ArmFile): Tool {
  const { tool } = file;
  if (tool === undefined) return { name: "no tool", mass: 0, centre: [0, 0, 0], diameter: 0, length: 0 };
  const camera = tool.camera;
  return {
    name: tool.name,
    mass: tool.mass,
    ...(tool.density === undefined ? {} : { density: tool.density }),
    centre: tool.centre ?? [0, 0, tool.length / 2],
    ...convertRatings(tool.ratings),
    diameter: tool.diameter,
    length: tool.length,
    ...(camera === undefined ? {} : { camera: convertCamera(camera) }),
  };
}

/**
 * The file's own path for a path of the description, as `sections[2].rods[0].diameter` -> `sections.backbone.diameter`.
 * What the file leaves out is answered by the group it would stand in.
 */
export function filePathOf(descriptionPath: string, sectionPaths: readonly (readonly PathStep[])[]): readonly PathStep[] {
  const section = /^sections\[(\d+)\](?:\.(.*))?$/.exec(descriptionPath);
  if (section === null) {
    const outer: Record<string, string> = {
      conduitLength: "conduit-length",
      conduitStiffness: "conduit-stiffness",
      driveStiffness: "drive-stiffness",
      conduitExpansion: "conduit-expansion",
      friction: "friction",
      cableDesignFactor: "cable-design-factor",
      terminationFactor: "termination-factor",
    };
    const [first = "", ...rest] = descriptionPath.split(/[.[\]]+/).filter((step) => step !== "");
    if (first === "drum") return ["drum", ...rest.map((key) => ({ radius: "core-diameter", flange: "flange-diameter" })[key] ?? key)];
    if (first === "drives") return ["drives", ...rest.map((key, k) => driveKey(key, rest[k - 1]))];
    if (first === "pullOut") return ["pull-out", ...rest.map((key) => (key === "weakLink" ? "weak-link" : key))];
    if (first === "base") return ["base", ...rest.map(plainStep)];
    if (first === "tool") return ["tool", ...rest.map(plainStep)];
    return first === "" ? [] : [outer[first] ?? first];
  }
  const base = sectionPaths[Number(section[1])] ?? ["sections"];
  return [...base, ...withinSection(section[2] ?? "")];
}

function withinSection(rest: string): readonly PathStep[] {
  const plain: Record<string, readonly PathStep[]> = {
    flexible: ["hinge"],
    effectiveLength: ["effective-length"],
    outerDiameter: ["diameter"],
    channelDiameter: ["channel"],
    vertebraMass: ["vertebra-mass"],
    alternating: ["backbone"],
    rods: ["backbone"],
    cableAngles: ["cables"],
    cableRadius: ["cables", "circle-radius"],
    holeDiameter: ["cables", "hole"],
    holeEdge: ["cables", "hole-edge"],
    pretension: ["cables", "pretension"],
    cable: ["cables", "stock"],
    jointLimit: ["joint-limit"],
    stopStiffness: ["stop-stiffness"],
  };
  const steps = rest
    .split(/[.[\]]+/)
    .filter((step) => step !== "")
    .map((step) => (/^\d+$/.test(step) ? Number(step) : step));
  if (steps.length === 0) return [];
  const [first, second, ...more] = steps as [PathStep, PathStep?, ...PathStep[]];
  if (first === "rods" && typeof second === "number") return ["backbone", "rods", second, ...more.map(kebab)];
  if (first === "cableAngles" && typeof second === "number") return ["cables", "angles", second];
  if (first === "cable" && second !== undefined) return ["cables", "stock", kebab(second)];
  return plain[String(first)] ?? steps.map(kebab);
}

function plainStep(step: string): PathStep {
  return /^\d+$/.test(step) ? Number(step) : (kebab(step) as string);
}

function kebab(step: PathStep): PathStep {
  if (typeof step === "number") return step;
  if (step === "torsionStiffness") return "twisting-stiffness";
  return step.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
}
