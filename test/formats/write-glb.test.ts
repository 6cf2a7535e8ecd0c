import { type Mesh, type MeshStandardMaterial, type Object3D, Vector3 } from "three";
import { GLTFLoader } from "three/examples/jsm/loaders/GLTFLoader.js";
import { describe, expect, test } from "vitest";
import { type GlbMesh, type GlbNode, writeGlb } from "../../src/formats/index.ts";
import { bufferOf, pyramid } from "./files.ts";

const steel = { name: "steel", colour: [0.2, 0.4, 0.6, 1] } as const;
const glass = { name: "glass", colour: [0.5, 0.5, 0.5, 0.25] } as const;
const body: GlbMesh = { name: "pyramid", kind: "triangles", points: Float64Array.from(pyramid.flat()), paint: steel };
const route: GlbMesh = { name: "route", kind: "line", points: Float64Array.of(0, 0, 0, 1, 0, 0, 1, 2, 0), paint: glass };

/** [12] a turn by `angle` about a unit axis (Rodrigues), then a place. */
function frameAbout([x, y, z]: readonly [number, number, number], angle: number, at: readonly [number, number, number]): number[] {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const k = 1 - c;
  return [c + x * x * k, x * y * k - z * s, x * z * k + y * s, y * x * k + z * s, c + y * y * k, y * z * k - x * s, z * x * k - y * s, z * y * k + x * s, c + z * z * k, ...at]; // biome-ignore format: one row
}

/** As a general 3D library reads it. */
async function readBack(scene: GlbNode): Promise<Object3D> {
  const loaded = await new GLTFLoader().parseAsync(bufferOf(await writeGlb(scene, "a test")), "");
  loaded.scene.updateMatrixWorld(true);
  return loaded.scene;
}

function cornersOf(mesh: Mesh): number[] {
  const { geometry } = mesh;
  const place = geometry.getAttribute("position");
  const order = geometry.index === null ? Array.from({ length: place.count }, (_, k) => k) : [...geometry.index.array];
  return order.flatMap((k) => new Vector3().fromBufferAttribute(place, k).applyMatrix4(mesh.matrixWorld).toArray());
}

describe("GLB", () => {
  test("triangles, names, paints and facts come back", async () => {
    const scene = await readBack({
      name: "all",
      nodes: [
        {
          name: "rig",
          facts: { depth: 0.5, status: "met" },
          nodes: [
            { name: "one", mesh: body },
            { name: "two", mesh: route },
          ],
        },
      ],
    });
    const rig = scene.getObjectByName("rig")!;
    expect(rig.userData).toMatchObject({ depth: 0.5, status: "met" });
    const one = scene.getObjectByName("one") as Mesh;
    expect(cornersOf(one)).toEqual(pyramid.flat());
    // every corner is written once
    expect(one.geometry.getAttribute("position").count).toBe(4);
    const paint = one.material as MeshStandardMaterial;
    expect([paint.name, ...paint.color.toArray(), paint.opacity, paint.transparent]).toEqual(["steel", 0.2, 0.4, 0.6, 1, false]);
    const two = scene.getObjectByName("two") as Mesh;
    expect(two.type).toBe("Line");
    expect(cornersOf(two)).toEqual([...route.points]);
    expect([(two.material as MeshStandardMaterial).opacity, (two.material as MeshStandardMaterial).transparent]).toEqual([0.25, true]);
  });

  test("frames place their nodes, at every kind of turn", async () => {
    const axes = [[1, 0, 0], [0, 1, 0], [0, 0, 1], [0.6, 0, 0.8], [2 / 3, -1 / 3, 2 / 3]] as const; // biome-ignore format: one row
    for (const axis of axes) {
      for (const angle of [0, 0.3, Math.PI / 2, 2.8, Math.PI, -1.9]) {
        const frame = frameAbout(axis, angle, [0.1, -2, 3]);
        const scene = await readBack({ name: "all", nodes: [{ name: "one", frame, mesh: body }] });
        const corners = cornersOf(scene.getObjectByName("one") as Mesh);
        pyramid.flat().forEach((_, k, all) => {
          const [at, row] = [k - (k % 3), k % 3];
          const expected = [0, 1, 2].reduce((sum, i) => sum + frame[3 * row + i]! * all[at + i]!, frame[9 + row]!);
          // turns are written as single-precision quaternions by some writers: 2^-24 of the few metres here
          expect(Math.abs(corners[k]! - expected)).toBeLessThan(1e-6);
        });
      }
    }
  });

  test("what many nodes show is written once", async () => {
    const size = async (count: number): Promise<number> =>
      (await writeGlb({ name: "all", nodes: Array.from({ length: count }, (_, k) => ({ name: `${k}`, mesh: body })) }, "a test")).length;
    expect((await size(11)) - (await size(1))).toBeLessThan(10 * 60);
  });
});
