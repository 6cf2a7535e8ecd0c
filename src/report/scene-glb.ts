/** The arm at chosen depths in the machine, as a GLB: named nodes, metres, the job's world turned so that up is up. */

import type { ArmModel } from "../arm/index.ts";
import { createArm } from "../arm/index.ts";
import { type GlbMesh, type GlbNode, type GlbPaint, writeGlb } from "../formats/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { Job } from "../job/index.ts";
import { createFrameAlong } from "../math/index.ts";
import type { PlanResult } from "../plan/index.ts";
import { type Body, drawBody } from "../space/index.ts";

const wall: GlbPaint = { name: "wall", colour: [0.55, 0.58, 0.6, 0.35] };
const keepOff: GlbPaint = { name: "never to be touched", colour: [0.6, 0.25, 0.1, 0.35] };
const lineOf: GlbPaint = { name: "route", colour: [0, 0.16, 0.45, 1] };
const aimOf: GlbPaint = { name: "target", colour: [0.45, 0.03, 0.14, 1] };
const plain: GlbPaint = { name: "vertebra", colour: [0.28, 0.36, 0.43, 1] };
const second: GlbPaint = { name: "vertebra, every second section", colour: [0.62, 0.7, 0.75, 1] };
const toolOf: GlbPaint = { name: "tool", colour: [0.78, 0.34, 0, 1] };

/**
 * @param depths  m of feed; each is drawn as the nearest depth that was solved on the way in, once
 * @returns the file; its top node turns the world so that +Y is against gravity, below it all is in the job's own coordinates
 */
export async function sceneGlb(job: Job, result: PlanResult, depths: readonly number[]): Promise<Uint8Array> {
  const arm = createArm(job.arm);
  const chosen = [...new Set(depths.map((depth) => nearest(result.wayIn, depth)).filter((record) => record !== undefined))];
  const meshes = armMeshes(arm);
  const nodes: GlbNode[] = [
    { name: "machine", nodes: job.bodies.map((body) => bodyNode(body, job.bodies)) },
    ...routeNodes(result),
    { name: `port ${job.port.name}`, frame: createFrameAlong(job.port.centre, job.port.axis), facts: { boreM: job.port.bore } },
    targetNode(job),
    ...chosen.map((record) => armNode(arm, record, meshes)),
  ];
  const facts = { job: result.job, arm: result.arm, verdict: result.verdict.answer, simulated: true, unit: "m" };
  return writeGlb({ name: "world", frame: uprightFrame(job.conditions.gravity), nodes, facts }, `withy ${result.withy}`);
}

function nearest(records: readonly DepthRecord[], depth: number): DepthRecord | undefined {
  return records.reduce<DepthRecord | undefined>(
    (best, record) => (best === undefined || Math.abs(record.depth - depth) < Math.abs(best.depth - depth) ? record : best),
    undefined,
  );
}

function bodyNode(body: Body, bodies: readonly Body[]): GlbNode {
  const paint = body.touch.kind === "never" ? keepOff : wall;
  return {
    name: `body ${body.name}`,
    mesh: { name: body.name, kind: "triangles", points: drawBody(body, bodies), paint },
    facts: { touch: body.touch.kind, ...(body.touch.kind === "never" ? { standOffM: body.touch.standOff } : {}) },
  };
}

/** A best attempt is no way in: it is not drawn. */
function routeNodes({ route }: PlanResult): GlbNode[] {
  if (route.status !== "found" || route.curve === undefined) return [];
  return [{ name: "route", mesh: { name: "route", kind: "line", points: route.curve.point, paint: lineOf } }];
}

/** A line from the nearest place of the tool point, along the aim, to the place of interest. */
function targetNode(job: Job): GlbNode {
  const { target } = job;
  const long = Math.max(target.standOff[1], 1e-3);
  const points = Float64Array.of(0, 0, -long, 0, 0, 0);
  return {
    name: `target ${target.name}`,
    frame: createFrameAlong(target.place, target.direction),
    mesh: { name: "aim", kind: "line", points, paint: aimOf },
    facts: { task: target.kind, coneRad: target.cone },
  };
}

interface ArmMeshes {
  /** [vertebra] */
  readonly vertebra: readonly GlbMesh[];
  readonly tool: GlbMesh;
}

/** Vertebrae of the same make share one mesh. */
function armMeshes(arm: ArmModel): ArmMeshes {
  const made = new Map<string, GlbMesh>();
  const vertebra = Array.from({ length: arm.spans + 1 }, (_, i) => {
    const s = arm.sectionOfSpan[Math.max(0, i - 1)]!;
    const section = arm.description.sections[s]!;
    const back = i === 0 ? 0 : arm.tail[i - 1]!;
    const ahead = i < arm.spans ? arm.lead[i]! : back;
    const key = [s, back, ahead].join(" ");
    const mesh = made.get(key) ?? {
      name: `vertebra of section ${s + 1}`,
      kind: "triangles" as const,
      points: cylinder(section.outerDiameter / 2, -back, ahead),
      paint: s % 2 === 0 ? plain : second,
    };
    made.set(key, mesh);
    return mesh;
  });
  const { tool } = arm.description;
  return { vertebra, tool: { name: "tool", kind: "triangles", points: cylinder(tool.diameter / 2, 0, tool.length), paint: toolOf } };
}

/** Vertebrae in the guide are left out, as they are behind the wall. */
function armNode(arm: ArmModel, record: DepthRecord, meshes: ArmMeshes): GlbNode {
  const digits = String(arm.spans).length;
  const nodes: GlbNode[] = [];
  for (let i = record.firstFree; i <= arm.spans; i++) {
    nodes.push({ name: `vertebra ${String(i).padStart(digits, "0")}`, frame: frameAt(record, i), mesh: meshes.vertebra[i]! });
  }
  if (arm.description.tool.length > 0)
    nodes.push({ name: `tool ${arm.description.tool.name}`, frame: frameAt(record, arm.spans), mesh: meshes.tool });
  return {
    name: `arm at ${(record.depth * 1e3).toFixed(1)} mm`,
    nodes,
    facts: {
      depthM: record.depth,
      rollRad: record.roll,
      leastClearanceM: Number.isFinite(record.leastClearance) ? record.leastClearance : "none near",
    },
  };
}

function frameAt(record: DepthRecord, i: number): Float64Array {
  return record.frames.subarray(12 * i, 12 * i + 12);
}

const sides = 24;

/** @returns [triangle, 9] closed cylinder about z */
function cylinder(radius: number, from: number, to: number): Float64Array {
  const out: number[] = [];
  const at = (k: number, z: number): number[] => [
    radius * Math.cos((2 * Math.PI * (k % sides)) / sides),
    radius * Math.sin((2 * Math.PI * (k % sides)) / sides),
    z,
  ];
  for (let k = 0; k < sides; k++) {
    out.push(...at(k, from), ...at(k + 1, from), ...at(k + 1, to));
    out.push(...at(k, from), ...at(k + 1, to), ...at(k, to));
    out.push(0, 0, from, ...at(k + 1, from), ...at(k, from));
    out.push(0, 0, to, ...at(k, to), ...at(k + 1, to));
  }
  return Float64Array.from(out);
}

/** Turns the world so that the direction against gravity becomes +Y, as viewers expect; z stands for it where there is no gravity. */
function uprightFrame(gravity: readonly [number, number, number]): Float64Array {
  const g = Math.sqrt(gravity[0] ** 2 + gravity[1] ** 2 + gravity[2] ** 2);
  const up = g > 0 ? gravity.map((value) => -value / g) : [0, 0, 1];
  const f = createFrameAlong([0, 0, 0], up);
  // rows: the frame's y, its z (up), its x, so that y x up = x keeps the turn right-handed
  return Float64Array.of(f[1]!, f[4]!, f[7]!, f[2]!, f[5]!, f[8]!, f[0]!, f[3]!, f[6]!, 0, 0, 0);
}
