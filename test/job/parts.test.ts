import { describe, expect, test } from "vitest";
import { writeSurface } from "../../src/formats/index.ts";
import { type Job, loadJob } from "../../src/job/index.ts";
import { createSpace, createSpaceAnswer, createSpaceWork, sampleSpace } from "../../src/space/index.ts";
import { stepText } from "../formats/cad-files.ts";
import { bytes, faultsOf, loadSample, sampleText } from "./example.ts";

/** Two cubes and a loose triangle, in file units of a millimetre. */
function obj(): string {
  const cube = (x: number): string => {
    const v = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => `v ${x + 10 * (k & 1)} ${10 * ((k >> 1) & 1)} ${10 * (k >> 2)}`).join("\n");
    const f = ["-8 -7 -5 -6", "-4 -2 -1 -3", "-8 -4 -3 -7", "-6 -5 -1 -2", "-8 -6 -2 -4", "-7 -3 -1 -5"]
      .map((face) => `f ${face}`)
      .join("\n");
    return `${v}\n${f}\n`;
  };
  return `o left\n${cube(0)}o right\n${cube(200)}g\nv 0 0 500\nv 1 0 500\nv 0 1 500\nf -3 -2 -1\n`;
}

function jobText(mesh: string): string {
  const text = sampleText("gallery", "job.yaml");
  return text.replace("bodies:\n", `bodies:\n${mesh}`);
}

function load(mesh: string, file: string, content: Uint8Array, more: ReadonlyMap<string, Uint8Array> = new Map()) {
  const files = new Map(more);
  files.set("job.yaml", bytes(jobText(mesh)));
  files.set("arm.yaml", bytes(sampleText("gallery", "arm.yaml")));
  files.set("gallery.stl", galleryBytes());
  files.set(file, content);
  return loadJob("job.yaml", files);
}

function galleryBytes(): Uint8Array {
  const job = loadSample("gallery");
  const shape = job.bodies.find((body) => body.shape.kind === "mesh")?.shape;
  if (shape?.kind !== "mesh") throw new Error("the sample has a mesh");
  const stl = new Uint8Array(84 + (50 * shape.corners.length) / 9);
  const view = new DataView(stl.buffer);
  view.setUint32(80, shape.corners.length / 9, true);
  for (let k = 0; k < shape.corners.length; k++) view.setFloat32(84 + 50 * Math.floor(k / 9) + 12 + 4 * (k % 9), shape.corners[k]!, true);
  return stl;
}

function loaded(mesh: string): Job {
  const answer = load(mesh, "two.obj", bytes(obj()));
  if (answer.kind !== "job") throw new Error("it needs more");
  return answer.job;
}

const entry = "  - name: pump\n    shape: mesh\n    file: two.obj\n    unit: mm\n    touch: never\n    stand-off: 2 mm\n";

describe("a file of several parts", () => {
  test("is a body for each, named body / part; what has no name is the body's own", () => {
    const job = loaded(entry);
    expect(job.bodies.slice(0, 3).map(({ name, touch }) => [name, touch])).toEqual([
      ["pump / left", { kind: "never", standOff: 2e-3 }],
      ["pump / right", { kind: "never", standOff: 2e-3 }],
      ["pump", { kind: "never", standOff: 2e-3 }],
    ]);
    expect(job.bodies.slice(0, 3).map(({ shape }) => shape.kind === "mesh" && shape.corners.length / 9)).toEqual([12, 12, 1]);
  });

  test("parts have touch rules of their own, and the rest of a rule from the body", () => {
    const rules = "    parts:\n      - { name: left, touch: light, touch-force: 3 N }\n      - { name: right, stand-off: 5 mm }\n";
    expect(
      loaded(entry + rules)
        .bodies.slice(0, 3)
        .map(({ touch }) => touch),
    ).toEqual([
      { kind: "light", force: 3 },
      { kind: "never", standOff: 5e-3 },
      { kind: "never", standOff: 2e-3 },
    ]);
  });

  test("a part that is left out is no surface, and that is told", () => {
    const job = loaded(`${entry}    parts:\n      - { name: right, leave-out: true }\n`);
    expect(job.bodies.map(({ name }) => name)).not.toContain("pump / right");
    expect(job.remarks).toContain("pump: left out, as the job says: right.");
  });

  test("wrong names, names twice, rules at odds: each said at its line", () => {
    const parts =
      "    parts:\n      - { name: lift, touch: free }\n      - { name: left, touch: light }\n      - { name: left, touch: free }\n      - { name: right, touch: free, leave-out: true }\n";
    const faults = faultsOf(() => loaded(entry + parts));
    expect(faults.map(({ code, path }) => [code, path])).toEqual([
      ["job.part", "bodies[0].parts[0].name"],
      ["job.part", "bodies[0].parts[2].name"],
      ["job.part", "bodies[0].parts[3].leave-out"],
      ["job.body", "bodies[0].parts[1].touch-force"],
    ]);
    expect(faults[0]?.hint).toBe("Did you mean left? The file has: left, right.");
    expect(faults.every(({ line }) => line !== undefined)).toBe(true);
  });

  test("a size that fits no machine is remarked once for all parts of a file, with units to choose from, and changes nothing", () => {
    const job = loaded(entry.replace("unit: mm", "unit: m"));
    const said = job.remarks.filter((remark) => remark.includes("Is its unit right?"));
    expect(said.length).toBe(1);
    // from corner to corner of 210 x 10 x 500
    expect(said[0]).toMatch(/^pump is 542\.4 m .* as mm it is 500 mm/);
    const [left] = job.bodies;
    expect(left?.shape.kind === "mesh" && left.shape.unit).toBe(1);
  });

  test("a missing unit is answered with what the size makes likely, and nothing is assumed", () => {
    const [fault] = faultsOf(() => loaded(entry.replace("    unit: mm\n", "")));
    expect([fault?.code, fault?.path]).toEqual(["shape.missing-key", "bodies[0].unit"]);
    expect(fault?.hint).toMatch(/as mm it is 500 mm/);
  });
});

describe("a CAD file", () => {
  const cad = "  - name: pump\n    shape: mesh\n    file: pump.step\n    touch: never\n";
  const step = bytes(stepText([{ name: "block", box: [0, 0, 0, 10, 10, 10] }]));

  test("is asked for as a surface, and known again by its content", () => {
    const answer = load(cad, "pump.step", step);
    if (answer.kind !== "needs") throw new Error("no surface was asked for");
    expect(answer.paths).toEqual([]);
    expect(answer.surfaces).toMatchObject([{ file: "pump.step", kind: "step", deflection: 0.1 }]);
    const finer = load(`${cad}    tolerance: 20 um\n`, "pump.step", step);
    expect(finer).toMatchObject({ kind: "needs", surfaces: [{ deflection: 0.02 }] });
  });

  test("its tolerance is kept free beside the stand-off: a distance is that much less", () => {
    const triangle = { corners: Float64Array.of(0, 0, 0, 10, 0, 0, 0, 10, 0), parts: [{ name: "block", first: 0, count: 1 }], remarks: [] };
    for (const [tolerance, off] of [
      ["", 1e-4],
      ["    tolerance: 0.5 mm\n", 5e-4],
    ] as const) {
      const asked = load(cad + tolerance, "pump.step", step);
      if (asked.kind !== "needs") throw new Error("no surface was asked for");
      const key = asked.surfaces?.[0]?.key ?? "";
      const answer = load(cad + tolerance, "pump.step", step, new Map([[key, writeSurface(triangle)]]));
      if (answer.kind !== "job") throw new Error("it needs more");
      const space = createSpace(answer.job.bodies.slice(0, 1));
      const found = createSpaceAnswer(1);
      sampleSpace(space, Float64Array.of(1e-3, 1e-3, 7e-3), 1, Infinity, found, createSpaceWork(space));
      expect(found.distance[0]).toBeCloseTo(7e-3 - off, 15);
      expect(answer.job.inputs.map(({ file }) => file)).toContain("pump.step");
    }
  });

  test("what is wrong with it is said where it is named", () => {
    const code = (mesh: string, file = "pump.step", content = step) =>
      faultsOf(() => load(mesh, file, content)).map((fault) => [fault.code, fault.path]);
    expect(code(cad, "pump.step", step.subarray(0, 900))).toEqual([["mesh.truncated", "bodies[0].file"]]);
    expect(code(cad, "pump.step", bytes("solid"))).toEqual([["mesh.content", "bodies[0].file"]]);
    expect(code(`${cad}    tolerance: 0 mm\n`)).toEqual([["job.body", "bodies[0].tolerance"]]);
    const brep = cad.replace("pump.step", "pump.brep");
    expect(code(brep, "pump.brep", bytes("CASCADE Topology V1"))).toEqual([["job.body", "bodies[0].unit"]]);
    const asked = load(cad, "pump.step", step);
    const key = asked.kind === "needs" ? (asked.surfaces?.[0]?.key ?? "") : "";
    const files = new Map([["job.yaml", bytes(jobText(cad))], ["arm.yaml", bytes(sampleText("gallery", "arm.yaml"))], ["pump.step", step], ["gallery.stl", galleryBytes()]]); // biome-ignore format: a map
    const [fault] = faultsOf(() => loadJob("job.yaml", files, new Map([[key, "it was not done within 300 s"]])));
    expect([fault?.code, fault?.problem]).toEqual(["mesh.cad", "pump.step was not made into triangles: it was not done within 300 s."]);
    const unit = load(`${cad}    unit: mm\n`, "pump.step", step);
    expect(unit.kind).toBe("needs");
  });
});
