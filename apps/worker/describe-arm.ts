/** An arm as the page draws it: sizes and places, to scale. */
import { type ArmDescription, type ArmModel, createArm, leastWeb, measureWebs, type Web } from "../../src/arm/index.ts";
import type { ArmPicture } from "./protocol.ts";

/** Below this difference of its two bending stiffnesses a span counts as bending alike every way. */
const alike = 0.05;

export function describeArm(arm: ArmDescription): ArmPicture {
  const model = createArm(arm);
  const vertebrae = model.spans + 1;
  const below = new Float32Array(vertebrae);
  const above = new Float32Array(vertebrae);
  const diameter = new Float32Array(vertebrae);
  for (let v = 0; v < vertebrae; v++) {
    const span = Math.max(0, v - 1);
    below[v] = v === 0 ? (model.lead[0] as number) : (model.tail[v - 1] as number);
    above[v] = v === model.spans ? (model.tail[v - 1] as number) : (model.lead[v] as number);
    diameter[v] = arm.sections[model.sectionOfSpan[span] as number]?.outerDiameter ?? 0;
  }
  const { tool } = arm;
  return {
    name: arm.name,
    description: arm,
    along: Float32Array.from(model.along),
    easy: Float32Array.from({ length: model.spans }, (_, i) => easyAxis(model, i)),
    webs: arm.sections.map((_, j) => thinnestWebs(measureWebs(arm.sections, j))),
    leastWeb,
    spans: model.spans,
    sections: arm.sections.map((section, s) => ({
      name: section.name,
      firstSpan: model.firstSpan[s] as number,
      endSpan: model.firstSpan[s + 1] as number,
      outerDiameter: section.outerDiameter,
      channelDiameter: section.channelDiameter,
      pretension: section.pretension,
    })),
    cables: Array.from({ length: model.cables }, (_, c) => ({
      section: model.sectionOfCable[c] as number,
      x: model.cableX[c] as number,
      y: model.cableY[c] as number,
      workingLoad: model.workingLoad[c] as number,
    })),
    below,
    above,
    diameter,
    rods: Array.from({ length: model.spans }, (_, i) => {
      const turned = model.turned[i] === 1;
      const rods = arm.sections[model.sectionOfSpan[i] as number]?.rods ?? [];
      return rods.map((rod) => ({ x: turned ? -rod.y : rod.x, y: turned ? rod.x : rod.y, diameter: rod.diameter }));
    }),
    length: (model.along[model.spans] as number) + tool.length,
    jointLimit: Math.min(...arm.sections.map((section) => section.jointLimit)),
    tool: { name: tool.name, mass: tool.mass, diameter: tool.diameter, length: tool.length },
    ...(tool.camera === undefined ? {} : { camera: tool.camera }),
  };
}

/** Principal axes of the span's stiffness against bending about x and y. */
function easyAxis(model: ArmModel, span: number): number {
  const at = (row: number, column: number): number => model.stiffness[16 * span + 4 * row + column] as number;
  const half = (at(0, 0) - at(1, 1)) / 2;
  const size = Math.sqrt(half * half + at(0, 1) * at(0, 1));
  if (size < (alike * (at(0, 0) + at(1, 1))) / 2) return Number.NaN;
  // the stiffer axis lies at half the angle; the easier one across it
  const angle = Math.atan2(at(0, 1), half) / 2 + Math.PI / 2;
  return angle > Math.PI / 2 ? angle - Math.PI : angle;
}

function thinnestWebs(webs: readonly Web[]): Web[] {
  const thinnest = new Map<string, Web>();
  for (const web of webs) {
    const key = [...web.between].sort().join(" ");
    const known = thinnest.get(key);
    if (known === undefined || web.width < known.width - 1e-9) thinnest.set(key, web);
  }
  return [...thinnest.values()].sort((a, b) => a.width - b.width);
}
