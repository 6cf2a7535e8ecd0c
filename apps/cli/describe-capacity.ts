/** What `withy capacity` found -> one document, SI, with the unit in every name. */
import type { ArmModel } from "../../src/arm/index.ts";
import type {
  BackboneRow,
  Give,
  MapPoint,
  Payload,
  Ramp,
  RetentionCase,
  RetentionState,
  Stall,
  Swing,
  TipBand,
  TipStiffness,
  Vector,
} from "../../src/capacity/index.ts";
import type { CapacityRequest } from "./read-capacity.ts";

/** SI, with the unit in every name; infinite and unknown numbers are null. */
export type CapacityAnswer = ReturnType<typeof describeCapacity>;

/** What was found at one length and pretension. */
export interface AtStance {
  /** m */
  readonly length: number;
  /** N; NaN: the arm's own */
  readonly pretension: number;
  readonly stiffness: TipStiffness | undefined;
  readonly band: TipBand | undefined;
  readonly swing: Swing;
}

export interface NamedRamp extends Ramp {
  readonly name: string;
  readonly direction: Vector;
  readonly follows: boolean;
  readonly couple?: Vector;
  readonly length: number;
}

export function describeCapacity(
  arm: ArmModel,
  { map, names, damping, suddenDamping }: CapacityRequest,
  points: readonly MapPoint[],
  stances: readonly AtStance[],
  ramps: readonly NamedRamp[],
  backbones: readonly BackboneRow[],
  faults: RetentionState | undefined,
) {
  return {
    arm: arm.description.name,
    simulated: true,
    lockedAt: map.lockedAt,
    sagToleranceM: map.limits.sag ?? null,
    tolerance: 1e-3,
    damping: { nominal: damping.nominal, least: damping.low, most: damping.high },
    suddenDamping,
    points: points.map((p, k) => describePoint(arm, p, names[k % names.length] as string)),
    stiffness: stances.map(describeStiffness),
    ramps: ramps.map((r) => describeRamp(arm, r)),
    backbones: backbones.map((row) => describeBackbone(row, map.lengths[row.hold] as number)),
    swings: stances.map(({ length, pretension, swing }) => ({
      lengthM: length,
      pretensionN: known(pretension),
      found: swing.found,
      firstHz: known(swing.frequency),
      secondHz: known(swing.second),
      settlingS: known(swing.settling),
      settlingLeastS: known(swing.settlingLeast),
      settlingMostS: known(swing.settlingMost),
    })),
    ...(faults === undefined ? {} : { faults: describeFaults(arm, faults, Math.max(...map.lengths)) }),
  };
}

function describeStiffness({ length, pretension, stiffness: s, band }: AtStance) {
  return {
    lengthM: length,
    pretensionN: known(pretension),
    found: s !== undefined,
    along: s === undefined ? null : describeGive(s.along),
    acrossMost: s === undefined ? null : describeGive(s.acrossMost),
    acrossLeast: s === undefined ? null : describeGive(s.acrossLeast),
    axes: s === undefined ? [] : s.axes.map(describeGive),
    frictionBandM: known(band?.shift ?? Number.NaN),
    frictionBandRad: known(band?.turn ?? Number.NaN),
    complianceSI: s === undefined ? [] : s.compliance,
  };
}

function describeGive(g: Give) {
  return {
    directionXYZ: g.direction,
    giveMPerN: g.give,
    backboneMPerN: g.backbone,
    strandInArmMPerN: g.strandInArm,
    strandInConduitMPerN: g.strandInConduit,
    conduitMPerN: g.conduit,
    driveMPerN: g.drive,
    baseMPerN: g.base,
  };
}

function describeRamp(arm: ArmModel, ramp: NamedRamp) {
  const { end } = ramp;
  return {
    name: ramp.name,
    directionInTip: ramp.direction,
    coupleM: ramp.couple ?? [0, 0, 0],
    turnsWithTool: ramp.follows,
    lengthM: ramp.length,
    found: end.found,
    limitN: end.load,
    boundN: known(end.bound),
    endsAt: end.end,
    ...placeOfEnd(arm, end),
    rows: ramp.rows.map((row) => ({
      loadN: row.load,
      movedM: row.moved,
      alongM: row.along,
      turnedRad: row.turned,
      twistRad: row.twist,
      tensionN: row.tension,
      jointAngleRad: row.jointAngle,
      cableUse: row.uses.cable,
      stopUse: row.uses.stop,
      strainUse: row.uses.strain,
      slackCables: row.slack.map((c) => c + 1),
    })),
  };
}

function describeBackbone(row: BackboneRow, length: number) {
  return {
    backbone: row.kind,
    lengthM: length,
    status: row.status,
    shareCarried: row.share,
    sagM: known(row.sag),
    twistRad: known(row.twist),
    twistUnloadedRad: known(row.twistBefore),
    cableUse: known(row.status === "stable" || row.status === "slack" ? row.uses.cable : Number.NaN),
    stopUse: known(row.status === "stable" || row.status === "slack" ? row.uses.stop : Number.NaN),
    strainUse: known(row.status === "stable" || row.status === "slack" ? row.uses.strain : Number.NaN),
  };
}

/** Cable, joint and section where a payload ends, from 1 at the base. */
function placeOfEnd(arm: ArmModel, { end, at }: Pick<Payload, "end" | "at">) {
  const span = end === "stop" || end === "strain" ? at : -1;
  return {
    cable: end === "cable" ? at + 1 : null,
    joint: span < 0 ? null : span + 1,
    section: span < 0 ? (end === "cable" ? (arm.sectionOfCable[at] as number) + 1 : null) : (arm.sectionOfSpan[span] as number) + 1,
  };
}

function describePoint(arm: ArmModel, p: MapPoint, name: string) {
  return {
    lengthM: p.length,
    pretensionN: known(p.pretension),
    direction: name,
    alongXYZ: p.direction,
    offsetM: p.offset,
    found: p.found,
    payloadN: p.load,
    boundN: known(p.bound),
    endsAt: p.end,
    ...placeOfEnd(arm, p),
    movedM: p.uses.moved,
    cableUse: p.uses.cable,
    stopUse: p.uses.stop,
    strainUse: p.uses.strain,
    slackCables: p.slack.map((c) => c + 1),
    slackFromN: known(p.slackFrom),
  };
}

function describeFaults(arm: ArmModel, state: RetentionState, length: number) {
  return {
    lengthM: length,
    status: state.status,
    storedJ: known(state.stored),
    storedInRodsJ: known(state.storedInRods),
    cases: state.cases.map((c) => describeCase(arm, c)),
  };
}

function describeCase(arm: ArmModel, c: RetentionCase) {
  return {
    what: c.kind,
    cable: c.cable < 0 ? null : c.cable + 1,
    section: c.cable < 0 ? null : (arm.sectionOfCable[c.cable] as number) + 1,
    status: c.status,
    leapt: c.leapt,
    looseCables: c.tension.flatMap((t, k) => (t <= 0 && k !== c.cable && c.kind !== "released" ? [k + 1] : [])),
    movedM: known(c.moved),
    swingM: known(c.swing),
    dropM: known(c.drop),
    cableUse: known(c.uses.cable),
    swingCableUse: known(c.swingCable),
    stopUse: known(c.uses.stop),
    strainUse: known(c.uses.strain),
    storedJ: known(c.stored),
    storedInRodsJ: known(c.storedInRods),
    lostJ: c.lost,
    lowestM: known(c.lowest),
    toolPointM: c.point,
    tensionN: c.tension,
    shapeM: c.shape,
    stall: c.stall === undefined ? null : describeStall(arm, c.stall),
  };
}

function describeStall(arm: ArmModel, { share, limit, at, astray }: Stall) {
  return {
    shareBeforeLimit: share,
    limit: limit ?? null,
    ...placeOfEnd(arm, { end: limit ?? "most", at }),
    astrayM: known(astray),
  };
}

function known(x: number): number | null {
  return Number.isFinite(x) ? x : null;
}
