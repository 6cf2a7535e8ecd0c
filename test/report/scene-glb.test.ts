import { getBounds, type Node, NodeIO } from "@gltf-transform/core";
import { Box3, type Object3D, Vector3 } from "three";
import { GLTFLoader } from "three/examples/jsm/loaders/GLTFLoader.js";
import { describe, expect, test } from "vitest";
import { writeGlb } from "../../src/formats/index.ts";
import { sceneGlb } from "../../src/report/index.ts";
import { bendRadius, makeBlocked, makeJob, makePlan, vertebrae } from "./made-plan.ts";

const job = makeJob();
const plan = makePlan(job);
const bytes = await sceneGlb(job, plan, [0.13, 0.041, 0.04]);
const document = await new NodeIO().readBinary(bytes);
const nodes = document.getRoot().listNodes();

function named(name: string): Node {
  const found = nodes.filter((node) => node.getName() === name);
  expect(found.length, name).toBe(1);
  return found[0]!;
}

describe("the scene as GLB", () => {
  test("holds every body, the route, the port, the target and one arm for each depth that was chosen", () => {
    const world = named("world");
    const [last, first] = [named("arm at 130.0 mm"), named("arm at 40.0 mm")];
    // fully out: all vertebrae and the tool; 40 mm out of 130: the exit lies 90 mm up, between vertebra 4 and 5
    expect(last.listChildren().length).toBe(vertebrae + 1);
    expect(first.listChildren().length).toBe(2 + 1);
    expect(nodes.length).toBe(1 + 1 + job.bodies.length + 3 + 2 + (vertebrae + 1) + 3);
    expect(
      named("machine")
        .listChildren()
        .map((node) => node.getName()),
    ).toEqual(job.bodies.map((body) => `body ${body.name}`));
    expect(world.getExtras()).toMatchObject({ simulated: true, unit: "m", job: job.name, verdict: "go with conditions" });
    expect(last.getExtras()["depthM"]).toBe(0.13);
    // vertebrae of one make share their mesh
    expect(
      document
        .getRoot()
        .listMeshes()
        .filter((mesh) => mesh.getName().startsWith("vertebra")).length,
    ).toBeLessThanOrEqual(6);
  });

  test("the arm lies where it should, up against gravity as +Y (bounds by geometry)", () => {
    const { min, max } = getBounds(named("arm at 130.0 mm"));
    // job: down is -z, the bend is in x-z; file: y = z of the job. The tool ends level, at the circle's lowest place and 10 mm on.
    expect(min[1]!).toBeCloseTo(-bendRadius - 0.008, 6);
    // the base vertebra's rim lies in the port's plane
    expect(max[1]!).toBeCloseTo(0, 6);
    const reach = [max[0]! - min[0]!, max[2]! - min[2]!].sort((a, b) => b - a);
    // from the rim of the first vertebra, 8 mm behind the axis, to the tool's end
    expect(reach[0]).toBeCloseTo(0.008 + bendRadius + 0.01, 6);
    expect(reach[1]).toBeCloseTo(0.016, 6);
  });

  test("a body keeps its size", () => {
    const { min, max } = getBounds(named("body block"));
    const size = [0, 1, 2].map((k) => max[k]! - min[k]!).sort();
    // single precision in the file
    [0.02, 0.04, 0.06].forEach((edge, k) => expect(size[k]).toBeCloseTo(edge, 7));
    expect(max[1]!).toBeCloseTo(-0.01, 7);
  });

  test("another reader sees the same nodes and bounds (three's loader)", async () => {
    const scene = await new Promise<Object3D>((resolve, reject) => {
      new GLTFLoader().parse(
        bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength) as ArrayBuffer,
        "",
        (gltf) => resolve(gltf.scene),
        reject,
      );
    });
    scene.updateMatrixWorld(true);
    let count = 0;
    scene.traverse(() => count++);
    // and the scene itself
    expect(count).toBe(nodes.length + 1);
    const box = new Box3().setFromObject(scene, true);
    const { min, max } = getBounds(document.getRoot().getDefaultScene()!);
    expect(box.min.distanceTo(new Vector3(...min))).toBeLessThan(1e-6);
    expect(box.max.distanceTo(new Vector3(...max))).toBeLessThan(1e-6);
  });

  test("the same input gives the same bytes; a blocked way gives the machine without route and arm", async () => {
    expect(await sceneGlb(makeJob(), makePlan(), [0.13, 0.041, 0.04])).toEqual(bytes);
    const blocked = await new NodeIO().readBinary(await sceneGlb(job, makeBlocked(job), [0.1]));
    const names = blocked
      .getRoot()
      .listNodes()
      .map((node) => node.getName());
    expect(names.filter((name) => name.startsWith("body")).length).toBe(job.bodies.length);
    expect(names.filter((name) => name === "route" || name.startsWith("arm"))).toEqual([]);
  });
});

test("frames turn points as they should, whatever the turn", async () => {
  // quarter and half turns about the axes and one about (1, 1, 1): each leaves another part of the quaternion largest
  const turns = [
    [1, 0, 0, 0, 1, 0, 0, 0, 1], [0, -1, 0, 1, 0, 0, 0, 0, 1], [1, 0, 0, 0, -1, 0, 0, 0, -1], [-1, 0, 0, 0, 1, 0, 0, 0, -1], [-1, 0, 0, 0, -1, 0, 0, 0, 1], [0, 0, 1, 1, 0, 0, 0, 1, 0],
  ]; // biome-ignore format: one list
  const paint = { name: "plain", colour: [1, 1, 1, 1] } as const;
  const corner = [0.1, 0.2, 0.3];
  const mesh = { name: "point", kind: "triangles", points: Float64Array.from([...corner, ...corner, ...corner]), paint } as const;
  const file = await writeGlb(
    { name: "world", nodes: turns.map((turn, k) => ({ name: `turn ${k}`, frame: [...turn, 1, 2, 3], mesh })) },
    "test",
  );
  const all = (await new NodeIO().readBinary(file))
    .getRoot()
    .listNodes()
    .filter((node) => node.getMesh() !== null);
  expect(all.length).toBe(turns.length);
  all.forEach((node, k) => {
    const turn = turns[k]!;
    const want = [0, 1, 2].map((r) => [1, 2, 3][r]! + corner.reduce((sum, value, c) => sum + turn[3 * r + c]! * value, 0));
    const { min, max } = getBounds(node);
    for (let r = 0; r < 3; r++) {
      // single precision
      expect(min[r]!).toBeCloseTo(want[r]!, 6);
      expect(max[r]!).toBeCloseTo(want[r]!, 6);
    }
  });
});
