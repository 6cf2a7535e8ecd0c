/** `withy check`: every fault of a job without planning it, and what was understood. */
import { formatQuantity, type QuantityKind } from "../../src/base/index.ts";
import type { Job } from "../../src/job/index.ts";
import { createPlan } from "../../src/plan/index.ts";
import type { Body } from "../../src/space/index.ts";
import { type CommonOptions, type Console, hearOn } from "./console.ts";
import { exitCodes } from "./exit-codes.ts";
import { layTable } from "./lay-table.ts";
import { openJob } from "./read-files.ts";

export async function check(path: string, options: CommonOptions, console: Console): Promise<number> {
  const { job, files } = await openJob(path, console.signal, hearOn(console));
  createPlan(job);
  if (options.json) {
    const inputs = job.inputs.map(({ file, hash }) => ({ file, bytes: files.get(file)?.length ?? 0, hash }));
    console.out(
      `${JSON.stringify({ job: job.name, arm: armData(job), bodies: job.bodies.map(bodyData), inputs, remarks: job.remarks }, null, 2)}\n`,
    );
  } else console.out(sayJob(job, options));
  return exitCodes.go;
}

function sayJob(job: Job, options: CommonOptions): string {
  const say = (value: number, kind: QuantityKind): string => formatQuantity(value, kind, options.units, 4);
  const arm = armData(job);
  const bodies = job.bodies.map(bodyData);
  const lines = [
    `${job.name}: no fault found.`,
    `Arm ${arm.name}: ${arm.sections} sections, ${arm.cables} cables, ${say(arm.lengthM, "length")} long to the tool point, ` +
      `${say(arm.diameterM, "length")} thick; tool ${arm.tool}, ${say(arm.toolMassKg, "mass")}.`,
    `Port ${job.port.name}: bore ${say(job.port.bore, "length")}. Target ${job.target.name}: ${job.target.kind}.`,
    layTable(
      [
        ["body", "shape", "triangles", "touch"],
        ...bodies.map((b) => [b.name, b.shape, b.triangles === undefined ? "" : String(b.triangles), b.touch]),
      ],
      [2],
    ),
    ...job.remarks.map((remark) => `Note: ${remark}`),
  ];
  return `${lines.join("\n")}\n`;
}

function armData({ arm }: Job) {
  return {
    name: arm.name,
    sections: arm.sections.length,
    cables: arm.sections.reduce((sum, section) => sum + section.cableAngles.length, 0),
    lengthM: arm.sections.reduce((sum, section) => sum + section.spans * section.pitch, arm.tool.length),
    diameterM: Math.max(arm.tool.diameter, ...arm.sections.map((section) => section.outerDiameter)),
    tool: arm.tool.name,
    toolMassKg: arm.tool.mass,
  };
}

function bodyData({ name, shape, touch }: Body) {
  return { name, shape: shape.kind, touch: touch.kind, ...(shape.kind === "mesh" ? { triangles: shape.corners.length / 9 } : {}) };
}
