import { describe, expect, test } from "vitest";
import { faultsOf, loadSample, sampleText } from "./example.ts";

/** The box sample with more bodies. */
function withBodies(text: string) {
  return { "job.yaml": sampleText("box", "job.yaml").replace(/^bodies:\n/m, `bodies:\n${text}`) };
}

const drawn = `
  - {name: elbow, shape: bend, bend-radius: 80 mm, bore: 40 mm, angle: 90 deg, at: [5 m, 0 m, 0 m]}
  - {name: cone, shape: reducer, diameters: [60 mm, 40 mm], length: 50 mm, at: [6 m, 0 m, 0 m]}
  - name: cross
    shape: tee
    at: [7 m, 0 m, 0 m]
    run: {bore: 60 mm, length: 300 mm}
    branch: {bore: 40 mm, length: 120 mm, angle: 60 deg}
  - {name: bearing, shape: annulus, shaft: 40 mm, casing: 60 mm, length: 100 mm, at: [8 m, 0 m, 0 m]}
  - {name: float, shape: sphere, diameter: 100 mm, at: [9 m, 0 m, 0 m]}
  - {name: cascade, shape: vanes, count: 4, chord: 40 mm, thickness: 3 mm, span: 50 mm, stagger: 30 deg, pitch: 30 mm, at: [10 m, 0 m, 0 m]}
  - {name: gates, shape: vanes, row: radial, ring: 300 mm, count: 12, chord: 60 mm, thickness: 6 mm, span: 50 mm, camber: 20 deg, stagger: 50 deg, at: [11 m, 0 m, 0 m]}
  - {name: stub, shape: bore, joins: [main], at: [12 m, 0 m, 0 m], points: [{at: [0 m, 0 m, 0 m], radius: 15 mm}, {at: [200 mm, 0 m, 0 m], radius: 15 mm}]}
  - {name: main, shape: bore, at: [12 m, 0 m, 0 m], points: [{at: [0 m, 0 m, -200 mm], radius: 30 mm}, {at: [0 m, 0 m, 200 mm], radius: 30 mm}]}
`;

describe("drawn bodies of a job file", () => {
  test("diameters become radii, a ring's vanes stand all round, joins are kept", () => {
    const { bodies } = loadSample("box", withBodies(drawn.slice(1)));
    const shapeOf = (name: string) => bodies.find((body) => body.name === name)?.shape;
    expect(shapeOf("elbow")).toEqual({ kind: "bend", bendRadius: 0.08, boreRadius: 0.02, angle: Math.PI / 2 });
    expect(shapeOf("cone")).toEqual({ kind: "reducer", radii: [0.03, 0.02], length: 0.05 });
    expect(shapeOf("cross")).toMatchObject({ kind: "tee", runRadius: 0.03, runLength: 0.3, branchRadius: 0.02, branchLength: 0.12 });
    expect(shapeOf("bearing")).toEqual({ kind: "annulus", innerRadius: 0.02, outerRadius: 0.03, length: 0.1 });
    expect(shapeOf("float")).toEqual({ kind: "sphere", radius: 0.05 });
    expect(shapeOf("cascade")).toMatchObject({ row: "straight", count: 4, pitch: 0.03, camber: 0 });
    const gates = shapeOf("gates");
    expect(gates?.kind === "vanes" && gates.pitch * 12).toBeCloseTo(2 * Math.PI * 0.15, 12);
    expect(bodies.find((body) => body.name === "stub")?.joins).toEqual(["main"]);
  });

  test.each([
    ["a bend that folds", "shape: bend, bend-radius: 80 mm", "shape: bend, bend-radius: 10 mm", "space.dimension", "bodies[0].bend-radius"],
    ["a branch wider than its run", "branch: {bore: 40 mm", "branch: {bore: 70 mm", "space.dimension", "bodies[2].branch.bore"],
    ["a shaft as thick as its casing", "shaft: 40 mm", "shaft: 60 mm", "space.dimension", "bodies[3].shaft"],
    [
      "vanes that run into each other",
      "stagger: 30 deg, pitch: 30 mm",
      "stagger: 85 deg, pitch: 30 mm",
      "space.dimension",
      "bodies[5].pitch",
    ],
    ["a straight row without a pitch", "stagger: 30 deg, pitch: 30 mm", "stagger: 30 deg", "job.body", "bodies[5].pitch"],
    ["a ring without a diameter", "row: radial, ring: 300 mm", "row: radial", "job.body", "bodies[6].ring"],
    ["a name that nobody has", "joins: [main]", "joins: [mane]", "space.join", "bodies[7].joins[0]"],
    ["a branch too short to leave its run", "length: 120 mm, angle", "length: 20 mm, angle", "space.join", "bodies[2].branch.bore"],
  ])("%s is told at its key", (_, from, to, code, path) => {
    const text = drawn.slice(1).replace(from, to);
    expect(text).not.toBe(drawn.slice(1));
    const faults = faultsOf(() => loadSample("box", withBodies(text)));
    expect(faults.map((fault) => [fault.code, fault.path])).toEqual([[code, path]]);
  });
});

describe("zones of a job file", () => {
  const zones = `
zones:
  - {name: relief valve, kind: keep-out, shape: cylinder, diameter: 80 mm, length: 200 mm, at: [3 m, 0 m, 0 m], stand-off: 5 mm}
  - {name: hot leg, kind: hot, shape: box, size: [1 m, 1 m, 1 m], temperature: 120 degC, at: [4 m, 0 m, 0 m]}
  - {name: beam, kind: dose, shape: sphere, diameter: 1 m, rate: 36 Gy/h}
`;
  const withZones = (text: string) => ({ "job.yaml": sampleText("box", "job.yaml").replace(/^port:/m, `${text.trim()}\nport:`) });

  test("keep-outs are bodies after those of the file; the others are zones", () => {
    const job = loadSample("box", withZones(zones));
    expect(job.bodies.at(-1)).toMatchObject({
      name: "relief valve",
      zone: "keep-out",
      shape: { kind: "cylinder", radius: 0.04, length: 0.2 },
      touch: { kind: "never", standOff: 5e-3 },
    });
    expect(job.zones).toMatchObject([
      { name: "hot leg", holds: { kind: "hot", temperature: 393.15 } },
      { name: "beam", holds: { kind: "dose", rate: 0.01 }, shape: { kind: "sphere", radius: 0.5 } },
    ]);
  });

  test.each([
    [
      "a dimension of another shape",
      "diameter: 80 mm, length",
      "size: [1 m, 1 m, 1 m], diameter: 80 mm, length",
      "shape.unknown-key",
      "zones[0].size",
    ],
    ["a dimension that is missing", "shape: sphere, diameter: 1 m", "shape: sphere", "shape.missing-key", "zones[2].diameter"],
    ["the name of a body", "name: relief valve", "name: tube bundle", "space.name", "zones[0].name"],
  ])("%s is told at its key", (_, from, to, code, path) => {
    const faults = faultsOf(() => loadSample("box", withZones(zones.replace(from, to))));
    expect(faults.map((fault) => [fault.code, fault.path])).toEqual([[code, path]]);
  });
});
