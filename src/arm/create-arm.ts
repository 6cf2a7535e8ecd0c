/** Arm description -> the model that the solver takes: stiffness, masses, cables, with every fault found at once. */
import { type Fault, type Quantity, refuse } from "../base/index.ts";
import { baseRootOf } from "./base-root.ts";
import { strengthOverBend } from "./bend-factor.ts";
import { checkArm } from "./check-arm.ts";
import type { ArmBase, ArmDescription, Joint, RodMaterial, Section } from "./description.ts";
import { toolVolume, vertebraVolume, volumePerLength } from "./displaced-volume.ts";
import type { ArmModel } from "./model.ts";
import { addRodStiffness, rimStiffness, rodMassPerLength } from "./rod-stiffness.ts";

export interface ArmOptions {
  /** strains held at rest in every span: for comparison with truths that leave them out */
  readonly lock?: readonly ("bend-x" | "bend-y" | "twist" | "axial")[];
}

const strainNames = ["bend-x", "bend-y", "twist", "axial"] as const;

/**
 * @throws InputError `arm.*` with the path of every fault, as `sections[2].rods[0].diameter`
 */
export function createArm(description: ArmDescription, options: ArmOptions = {}): ArmModel {
  const faults: Fault[] = checkArm(description);
  refuse(faults);
  const { sections } = description;
  const spans = sections.reduce((sum, s) => sum + s.spans, 0);
  const cables = sections.reduce((sum, s) => sum + s.cableAngles.length, 0);
  const rods = sections.reduce((sum, s) => sum + s.rods.length, 0);
  const last = sections[sections.length - 1] as Section;
  const face = (last.pitch - last.flexible) / 2;
  const arm: ArmModel = {
    description,
    spans,
    cables,
    sections: sections.length,
    lead: new Float64Array(spans),
    flexible: new Float64Array(spans),
    tail: new Float64Array(spans),
    along: new Float64Array(spans + 1),
    stiffness: new Float64Array(16 * spans),
    twistStretch: new Float64Array(4 * spans),
    stop: new Float64Array(2 * spans),
    play: new Float64Array(3 * spans),
    guidePlay: guidePlayOf(description.base),
    baseRoot: baseRootOf(description.base),
    rest: new Float64Array(4 * spans),
    freeStrain: new Uint8Array(4 * spans).fill(1),
    sectionOfSpan: new Int32Array(spans),
    firstSpan: new Int32Array(sections.length + 1),
    firstCable: new Int32Array(sections.length + 1),
    sectionOfCable: new Int32Array(cables),
    cableX: new Float64Array(cables),
    cableY: new Float64Array(cables),
    cableEA: new Float64Array(cables),
    pretension: new Float64Array(cables),
    workingLoad: new Float64Array(cables),
    holeFriction: spread(description.friction?.holes),
    conduitFriction: spread(description.friction?.conduit),
    conduitTurn: description.friction?.conduitTurn ?? 0,
    hoseLoss: new Float64Array(spans),
    jointRub: new Float64Array(spans),
    mass: new Float64Array(spans + 1),
    volume: new Float64Array(spans + 1),
    width: new Float64Array(spans + 1),
    toolVolume: toolVolume(description.tool, face),
    toolMiddle: (Math.max(face, description.tool.length) + face) / 2,
    rod: new Float64Array(5 * rods),
    softens: sections.some((s) => s.rods.some(({ material }) => softening(material) > 0)),
    soft: new Float64Array(2 * rods),
    firstRod: new Int32Array(sections.length + 1),
    turned: new Uint8Array(spans),
  };
  let span = 0;
  let cable = 0;
  let rod = 0;
  for (let j = 0; j < sections.length; j++) {
    const section = sections[j] as Section;
    arm.firstSpan[j] = span;
    arm.firstCable[j] = cable;
    arm.firstRod[j] = rod;
    for (let k = 0; k < section.spans; k++) fillSpan(arm, section, j, span++);
    for (const angle of section.cableAngles) fillCable(arm, section, j, angle, cable++);
    for (const r of section.rods) {
      arm.soft.set([softening(r.material), r.material.linearStrain ?? 0], 2 * rod);
      arm.rod.set([r.x, r.y, r.diameter, section.effectiveLength, r.attachment === "clamped" ? 1 : 0], 5 * rod++);
    }
  }
  arm.firstSpan[sections.length] = span;
  arm.firstCable[sections.length] = cable;
  arm.firstRod[sections.length] = rod;
  for (let i = 0; i < spans; i++) {
    arm.along[i + 1] = (arm.along[i] as number) + (arm.lead[i] as number) + (arm.flexible[i] as number) + (arm.tail[i] as number);
  }
  for (const name of options.lock ?? []) {
    for (let i = 0; i < spans; i++) arm.freeStrain[4 * i + strainNames.indexOf(name)] = 0;
  }
  return gatherMass(arm);
}

/** Modulus lost beyond the straight line, Pa; 0 where the line is straight throughout, or is taken to be. */
function softening({ youngModulus, linearStrain, plateauModulus }: RodMaterial): number {
  return linearStrain === undefined || plateauModulus === undefined ? 0 : youngModulus - plateauModulus;
}

function spread(value: Quantity | undefined): Float64Array {
  return Float64Array.of(value?.low ?? 0, value?.nominal ?? 0, value?.high ?? 0);
}

function fillSpan(arm: ArmModel, section: Section, j: number, span: number): void {
  const rigid = (section.pitch - section.flexible) / 2;
  arm.lead[span] = rigid;
  arm.tail[span] = rigid;
  arm.flexible[span] = section.flexible;
  arm.sectionOfSpan[span] = j;
  arm.turned[span] = section.alternating && span % 2 === 1 ? 1 : 0;
  arm.stop[2 * span] = section.jointLimit;
  arm.stop[2 * span + 1] = section.stopStiffness ?? rimStiffness(section);
  arm.play.set(playOf(section), 3 * span);
  arm.rest.set([...(section.rest ?? [0, 0, 0]), 0], 4 * span);
  if (section.joint !== undefined) bearOn(arm, section.joint, span);
  arm.hoseLoss[span] = section.hoses.reduce((sum, hose) => sum + ((hose.loss ?? 0) * hose.bendingStiffness) / section.pitch, 0);
  addRodStiffness(section, arm.turned[span] === 1, arm.stiffness.subarray(16 * span), arm.twistStretch.subarray(4 * span));
}

function playOf({ play, holeDiameter, cable, cableRadius }: Section): readonly [number, number, number] {
  if (play === undefined) return [0, 0, 0];
  const room = play.hole?.high ?? holeDiameter - cable.diameter;
  // opposed cables half a room farther out or in: the same lengths make a bend that differs by that over their radius
  return [play.bend.high, play.twist.high, room / 2 / cableRadius];
}

/** Corner to corner in the guide: half the play aside at its exit. */
function guidePlayOf(base: ArmBase | undefined): readonly [number, number] {
  const play = base?.guidePlay?.high ?? 0;
  return play === 0 ? [0, 0] : [play / 2, play / (base?.guideGrip as number)];
}

/** A joint whose vertebrae bear on each other: what it does not let turn is locked at rest. */
function bearOn(arm: ArmModel, { kind, radius, friction }: Joint, span: number): void {
  arm.jointRub[span] = friction.high * radius;
  if (kind === "pin") arm.freeStrain[4 * span + (arm.turned[span] === 1 ? 0 : 1)] = 0;
  arm.freeStrain[4 * span + 2] = 0;
  arm.freeStrain[4 * span + 3] = 0;
}

function fillCable(arm: ArmModel, section: Section, j: number, angle: number, cable: number): void {
  const { cableDesignFactor, terminationFactor } = arm.description;
  arm.sectionOfCable[cable] = j;
  arm.cableX[cable] = section.cableRadius * Math.cos(angle);
  arm.cableY[cable] = section.cableRadius * Math.sin(angle);
  arm.cableEA[cable] = (section.cable.effectiveModulus * Math.PI * section.cable.diameter ** 2) / 4;
  arm.pretension[cable] = section.pretension;
  const kept = section.holeEdge === undefined ? 1 : strengthOverBend((2 * section.holeEdge) / section.cable.diameter);
  arm.workingLoad[cable] = (section.cable.breakingLoad * terminationFactor * kept) / cableDesignFactor;
}

/** Rods, hoses and cables of a span hang half on each of its two vertebrae. */
function gatherMass(arm: ArmModel): ArmModel {
  const { sections } = arm.description;
  for (let i = 0; i < arm.spans; i++) {
    const j = arm.sectionOfSpan[i] as number;
    const section = sections[j] as Section;
    let perLength = section.hoses.reduce((sum, hose) => sum + hose.massPerLength, 0) + rodMassPerLength(section);
    for (let k = j; k < sections.length; k++) {
      const outer = sections[k] as Section;
      perLength += outer.cableAngles.length * outer.cable.massPerLength;
    }
    const half = (perLength * section.pitch) / 2;
    arm.mass[i] = (arm.mass[i] as number) + half;
    arm.mass[i + 1] = (arm.mass[i + 1] as number) + half + section.vertebraMass;
    const halfVolume = (volumePerLength(sections, j) * section.pitch) / 2;
    arm.volume[i] = (arm.volume[i] as number) + halfVolume;
    arm.volume[i + 1] = (arm.volume[i + 1] as number) + halfVolume + vertebraVolume(sections, j);
    if (i === 0) arm.width[0] = section.outerDiameter;
    arm.width[i + 1] = section.outerDiameter;
  }
  return arm;
}
