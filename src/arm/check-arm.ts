/** Everything that can be wrong with an arm description, found at once: values, layout, and a cross-section that fits. */
import type { Fault, Quantity } from "../base/index.ts";
import { checkBase } from "./check-base.ts";
import { checkDrives } from "./check-drives.ts";
import { checkDrumValues } from "./check-drum.ts";
import type { ArmDescription, CableFriction, PullOut, RodMaterial, Section } from "./description.ts";
import { measureWebs } from "./measure-webs.ts";

/** Thinnest web between two holes, or a hole and the rim, that a vertebra is made with (common practice, no source), m. */
export const leastWeb = 0.2e-3;

/** @returns every fault, with paths as `sections[2].rods[0].diameter`; empty when the arm can be built */
export function checkArm(arm: ArmDescription): Fault[] {
  const faults: Fault[] = [];
  if (arm.sections.length === 0) {
    faults.push({ code: "arm.section-layout", path: "sections", problem: "has no section.", hint: "Give at least one section." });
  }
  arm.sections.forEach((section, j) => {
    const before = faults.length;
    checkValues(section, `sections[${j}]`, faults);
    if (faults.length === before) checkCrossSection(arm, j, faults);
  });
  checkPassive(arm, faults);
  const { tool } = arm;
  positive(tool.mass, "tool.mass", "kg", faults, true);
  if (tool.density !== undefined) positive(tool.density, "tool.density", "kg/m3", faults);
  positive(tool.diameter, "tool.diameter", "m", faults, true);
  positive(tool.length, "tool.length", "m", faults, true);
  tool.centre.forEach((value, k) => {
    if (!Number.isFinite(value)) bad("arm.tool", `tool.centre[${k}]`, value, "m", "Give a finite length", faults);
  });
  positive(arm.conduitLength, "conduitLength", "m", faults, true);
  if (arm.conduitStiffness !== undefined) positive(arm.conduitStiffness, "conduitStiffness", "N", faults);
  if (arm.driveStiffness !== undefined) positive(arm.driveStiffness, "driveStiffness", "N/m", faults);
  if (arm.damping !== undefined) checkDamping(arm.damping, faults);
  if (arm.friction !== undefined) checkFriction(arm.friction, faults);
  expands(arm.conduitExpansion, "conduitExpansion", faults);
  if (arm.base !== undefined) checkBase(arm.base, faults);
  if (!(arm.cableDesignFactor >= 1 && Number.isFinite(arm.cableDesignFactor))) {
    bad("arm.value", "cableDesignFactor", arm.cableDesignFactor, "", "Give a factor of 1 or more", faults);
  }
  if (!(arm.terminationFactor > 0 && arm.terminationFactor <= 1)) {
    bad("arm.value", "terminationFactor", arm.terminationFactor, "", "Give a share above 0 and up to 1", faults);
  }
  if (arm.pullOut !== undefined) checkPullOut(arm, arm.pullOut, faults);
  if (arm.drives !== undefined) faults.push(...checkDrives(arm.drives, "drives"));
  if (arm.drum !== undefined) faults.push(...checkDrumValues(arm.drum, "drum"));
  return faults;
}

function checkPullOut({ sections }: ArmDescription, { strength, weakLink }: PullOut, faults: Fault[]): void {
  positive(strength, "pullOut.strength", "N", faults);
  const names = sections.map(({ name }) => name);
  if (weakLink === undefined || names.includes(weakLink)) return;
  const hint = `Give the name of a section (${names.join(", ")}), or leave it out for the connector at the base.`;
  faults.push({ code: "arm.value", path: "pullOut.weakLink", problem: `is ${weakLink}.`, hint, received: weakLink });
}

function checkDamping({ nominal, low, high }: Quantity, faults: Fault[]): void {
  if (low >= 0 && low <= nominal && nominal <= high && high < 1) return;
  const received = low === high ? String(nominal) : `${nominal} (${low} to ${high})`;
  const hint = "Give a share of critical damping from 0 to below 1, its least and greatest on either side of it.";
  faults.push({ code: "arm.value", path: "damping", problem: `is ${received}.`, hint, received });
}

function checkFriction(friction: CableFriction, faults: Fault[]): void {
  for (const part of ["holes", "conduit"] as const) {
    const { low, nominal, high } = friction[part];
    if (!(low >= 0 && low <= nominal && nominal <= high && high <= 1)) {
      bad("arm.value", `friction.${part}`, `${low} .. ${high}`, "", "Give a range from 0 to 1, its low end first", faults);
    }
  }
  positive(friction.conduitTurn, "friction.conduitTurn", "rad", faults, true);
}

function checkValues(section: Section, path: string, faults: Fault[]): void {
  if (!(Number.isInteger(section.spans) && section.spans >= 1 && section.spans <= 10000)) {
    bad("arm.section-layout", `${path}.spans`, section.spans, "", "Give a whole number from 1 to 10000", faults);
  }
  positive(section.flexible, `${path}.flexible`, "m", faults);
  positive(section.pitch, `${path}.pitch`, "m", faults);
  positive(section.effectiveLength, `${path}.effectiveLength`, "m", faults);
  positive(section.outerDiameter, `${path}.outerDiameter`, "m", faults);
  positive(section.channelDiameter, `${path}.channelDiameter`, "m", faults, true);
  positive(section.vertebraMass, `${path}.vertebraMass`, "kg", faults, true);
  positive(section.jointLimit, `${path}.jointLimit`, "rad", faults);
  if (section.joint !== undefined) {
    positive(section.joint.radius, `${path}.joint.radius`, "m", faults);
    if (section.joint.kind === "pin" && !(section.alternating && section.spans > 1)) {
      faults.push({
        code: "arm.section-layout",
        path: `${path}.joint.kind`,
        problem: "is pin where the pins do not turn from vertebra to vertebra: the section would bend about one axis alone.",
        hint: "Use a backbone that alternates, with two vertebrae or more, or rocking faces.",
      });
    }
    const { low, high } = section.joint.friction;
    if (!(low >= 0 && low <= high && high <= 1))
      bad("arm.value", `${path}.joint.friction`, `${low} .. ${high}`, "", "Give a range from 0 to 1, its low end first", faults);
  }
  if (section.stopStiffness !== undefined) positive(section.stopStiffness, `${path}.stopStiffness`, "N m/rad", faults, true);
  if (section.play !== undefined) {
    positive(section.play.bend.high, `${path}.play.bend`, "rad", faults, true);
    positive(section.play.twist.high, `${path}.play.twist`, "rad", faults, true);
    if (section.play.hole !== undefined) positive(section.play.hole.high, `${path}.play.hole`, "m", faults, true);
  }
  positive(section.pretension, `${path}.pretension`, "N", faults, true);
  expands(section.vertebraExpansion, `${path}.vertebraExpansion`, faults);
  if (section.flexible > section.pitch * (1 + 1e-12)) {
    bad("arm.section-layout", `${path}.flexible`, section.flexible, "m", `Give no more than the pitch (${mm(section.pitch)})`, faults);
  }
  if (section.effectiveLength < section.flexible * (1 - 1e-12)) {
    bad(
      "arm.value",
      `${path}.effectiveLength`,
      section.effectiveLength,
      "m",
      `Give no less than the flexible length (${mm(section.flexible)})`,
      faults,
    );
  }
  if (section.rods.length === 0) {
    faults.push({ code: "arm.rods", path: `${path}.rods`, problem: "has no rod.", hint: "Give at least one backbone rod." });
  } else if (section.rods.every((rod) => rod.attachment === "sliding")) {
    faults.push({
      code: "arm.rods",
      path: `${path}.rods`,
      problem: "all rods slide, so nothing holds the vertebrae apart.",
      hint: "Clamp at least one.",
    });
  }
  section.rods.forEach((rod, k) => {
    const at = `${path}.rods[${k}]`;
    positive(rod.diameter, `${at}.diameter`, "m", faults);
    positive(rod.material.youngModulus, `${at}.material.youngModulus`, "Pa", faults);
    positive(rod.material.density, `${at}.material.density`, "kg/m3", faults, true);
    positive(rod.material.allowedStrain, `${at}.material.allowedStrain`, "", faults);
    positive(rod.material.fatigueStrain, `${at}.material.fatigueStrain`, "", faults);
    checkMaterial(rod.material, `${at}.material`, faults);
    const nu = rod.material.poissonRatio;
    if (!(nu >= 0 && nu <= 0.5)) bad("arm.value", `${at}.material.poissonRatio`, nu, "", "Give a number from 0 to 0.5", faults);
    if (!Number.isFinite(rod.x)) bad("arm.value", `${at}.x`, rod.x, "m", "Give a finite length", faults);
    if (!Number.isFinite(rod.y)) bad("arm.value", `${at}.y`, rod.y, "m", "Give a finite length", faults);
  });
  section.rest?.forEach((value, k) => {
    if (!Number.isFinite(value)) bad("arm.value", `${path}.rest[${k}]`, value, "rad/m", "Give a finite strain", faults);
  });
  section.hoses.forEach((hose, k) => {
    positive(hose.bendingStiffness, `${path}.hoses[${k}].bendingStiffness`, "N m2", faults, true);
    positive(hose.torsionStiffness, `${path}.hoses[${k}].torsionStiffness`, "N m2", faults, true);
    positive(hose.massPerLength, `${path}.hoses[${k}].massPerLength`, "kg/m", faults, true);
    if (hose.leastRadius !== undefined) positive(hose.leastRadius, `${path}.hoses[${k}].leastRadius`, "m", faults);
    if (hose.density !== undefined) positive(hose.density, `${path}.hoses[${k}].density`, "kg/m3", faults);
  });
  checkCables(section, path, faults);
}

/** Coefficients of expansion beyond this are a slip of unit: polymers reach a few 1e-4. */
const greatestExpansion = 1e-3;

function expands(value: number | undefined, path: string, faults: Fault[]): void {
  if (value === undefined || Math.abs(value) <= greatestExpansion) return;
  bad("arm.value", path, value, "1/K", "Give a coefficient of up to 1e-3 1/K either way (steels have 11e-6 to 17e-6)", faults);
}

function checkMaterial(material: RodMaterial, path: string, faults: Fault[]): void {
  const { linearStrain, plateauModulus, plateauRise } = material;
  expands(material.expansion, `${path}.expansion`, faults);
  if (linearStrain !== undefined) positive(linearStrain, `${path}.linearStrain`, "", faults);
  if (plateauRise !== undefined && !Number.isFinite(plateauRise)) {
    bad("arm.value", `${path}.plateauRise`, plateauRise, "Pa/K", "Give a finite number", faults);
  }
  if (plateauModulus === undefined) return;
  if (!(plateauModulus > 0 && plateauModulus < material.youngModulus)) {
    const hint = `Give a modulus above 0 and below Young's modulus (${material.youngModulus} Pa)`;
    bad("arm.value", `${path}.plateauModulus`, plateauModulus, "Pa", hint, faults);
  }
  if (linearStrain === undefined) {
    faults.push({
      code: "arm.value",
      path: `${path}.linearStrain`,
      problem: "is missing beside a plateau modulus.",
      hint: "Give the strain at which the straight line ends.",
    });
  }
}

function checkCables(section: Section, path: string, faults: Fault[]): void {
  positive(section.cable.diameter, `${path}.cable.diameter`, "m", faults);
  positive(section.cable.effectiveModulus, `${path}.cable.effectiveModulus`, "Pa", faults);
  positive(section.cable.breakingLoad, `${path}.cable.breakingLoad`, "N", faults);
  positive(section.cable.massPerLength, `${path}.cable.massPerLength`, "kg/m", faults, true);
  expands(section.cable.expansion, `${path}.cable.expansion`, faults);
  if (section.cable.creep !== undefined) positive(section.cable.creep, `${path}.cable.creep`, "", faults, true);
  positive(section.cableRadius, `${path}.cableRadius`, "m", faults);
  positive(section.holeDiameter, `${path}.holeDiameter`, "m", faults);
  if (section.holeDiameter < section.cable.diameter) {
    bad(
      "arm.cables",
      `${path}.holeDiameter`,
      section.holeDiameter,
      "m",
      `Give at least the cable's diameter (${mm(section.cable.diameter)})`,
      faults,
    );
  }
  if (
    section.holeEdge !== undefined &&
    !(2 * section.holeEdge >= section.cable.diameter * (1 - 1e-12) && Number.isFinite(section.holeEdge))
  ) {
    const hint = `Round the edges to at least half the cable's diameter (${mm(section.cable.diameter / 2)})`;
    bad("arm.cables", `${path}.holeEdge`, section.holeEdge, "m", hint, faults);
  }
  const angles = section.cableAngles;
  angles.forEach((angle, k) => {
    if (!Number.isFinite(angle)) bad("arm.cables", `${path}.cableAngles[${k}]`, angle, "rad", "Give a finite angle", faults);
  });
  if (angles.length > 0 && angles.length < 3) {
    faults.push({
      code: "arm.cables",
      path: `${path}.cableAngles`,
      problem: `has ${angles.length} cables.`,
      hint: "Give at least three: fewer cannot bend a section every way; or none, for a passive length.",
    });
  } else if (angles.length > 0 && angles.every(Number.isFinite) && widestGap(angles) >= Math.PI - 1e-9) {
    faults.push({
      code: "arm.cables",
      path: `${path}.cableAngles`,
      problem: "all cables lie on one side.",
      hint: "Place them so that no gap between neighbours is 180 degrees or more.",
    });
  }
}

/** A length without cables of its own is the first of the arm: behind a section that bends it nothing would hold it. */
function checkPassive({ sections }: ArmDescription, faults: Fault[]): void {
  const active = sections.findIndex((section) => section.cableAngles.length > 0);
  sections.forEach((section, j) => {
    if (section.cableAngles.length > 0 || (j < active && active >= 0)) return;
    faults.push({
      code: "arm.cables",
      path: `sections[${j}].cableAngles`,
      problem: active < 0 ? "is empty, and no section has any cable." : "is empty, after a section with cables.",
      hint: "Put passive lengths first, and give at least one section its cables.",
    });
  });
}

function widestGap(angles: readonly number[]): number {
  const turn = 2 * Math.PI;
  const sorted = angles.map((a) => ((a % turn) + turn) % turn).sort((a, b) => a - b);
  let widest = (sorted[0] as number) + turn - (sorted[sorted.length - 1] as number);
  for (let k = 1; k < sorted.length; k++) widest = Math.max(widest, (sorted[k] as number) - (sorted[k - 1] as number));
  return widest;
}

/** Holes for rods, channel and all cables that run through the section must leave webs between them and to the rim. */
function checkCrossSection(arm: ArmDescription, j: number, faults: Fault[]): void {
  for (const web of measureWebs(arm.sections, j)) {
    if (!(web.width < leastWeb)) continue;
    faults.push({
      code: "arm.cross-section",
      path: `sections[${j}]`,
      problem: `has a web that is too thin: ${web.says} leave a web of ${(web.width * 1e3).toFixed(2)} mm.`,
      hint: `Move or shrink them: at least ${(leastWeb * 1e3).toFixed(1)} mm must stand.`,
    });
  }
}

function positive(value: number, path: string, unit: string, faults: Fault[], zeroToo = false): void {
  if (Number.isFinite(value) && (zeroToo ? value >= 0 : value > 0)) return;
  bad("arm.value", path, value, unit, zeroToo ? "Give 0 or more" : "Give a number above 0", faults);
}

/** Lengths of an arm as its people say them. */
function mm(value: number): string {
  return `${Number((1e3 * value).toPrecision(6))} mm`;
}

function bad(code: Fault["code"], path: string, value: number | string, unit: string, hint: string, faults: Fault[]): void {
  const received =
    unit === "m" && typeof value === "number" && Number.isFinite(value) ? mm(value) : `${value}${unit === "" ? "" : ` ${unit}`}`;
  faults.push({ code, path, problem: `is ${received}.`, hint: `${hint}.`, received });
}
