import { Document, type Node, WebIO } from "@gltf-transform/core";
import { describe, expect, test } from "vitest";
import { InputError } from "../../src/base/index.ts";
import { readGlb, readMesh } from "../../src/formats/index.ts";
import { codeOf, encode, pyramid } from "./files.ts";

const places = new Float32Array([0, 0, 0, 0, 3, 0, 2, 0, 0, 0.5, 0.5, 1.25]);
const faces = new Uint16Array([0, 1, 2, 0, 2, 3, 2, 1, 3, 1, 0, 3]);

/** A scene by a general library: the pyramid, shown by whatever nodes `place` adds. */
async function made(place: (document: Document, show: (node: Node, mode?: number) => Node) => void): Promise<Uint8Array> {
  const document = new Document();
  const buffer = document.createBuffer();
  const position = document.createAccessor().setType("VEC3").setArray(places).setBuffer(buffer);
  const indices = document.createAccessor().setType("SCALAR").setArray(faces).setBuffer(buffer);
  const show = (node: Node, mode = 4): Node => {
    const primitive = document
      .createPrimitive()
      .setAttribute("POSITION", position)
      .setMode(mode as 4);
    if (mode === 4) primitive.setIndices(indices);
    return node.setMesh(document.createMesh("pyramid").addPrimitive(primitive));
  };
  document.getRoot().setDefaultScene(document.createScene());
  place(document, show);
  return new WebIO().writeBinary(document);
}

describe("GLB", () => {
  test("triangles where the nodes above put them, the library's own world matrices being the truth", async () => {
    let truth: readonly number[] = [];
    const bytes = await made((document, show) => {
      const inner = show(document.createNode("cone").setRotation([0.5, 0.5, -0.5, 0.5]).setScale([2, 3, 0.5]).setTranslation([0.1, -4, 7]));
      const outer = document
        .createNode("outer")
        .setTranslation([10, 20, 30])
        .setRotation([0, Math.SQRT1_2, 0, Math.SQRT1_2])
        .addChild(inner);
      document.getRoot().getDefaultScene()?.addChild(outer);
      truth = inner.getWorldMatrix();
    });
    const { corners, parts } = readGlb(bytes);
    expect(parts).toEqual([{ name: "cone", first: 0, count: 4 }]);
    faces.forEach((corner, k) => {
      const p = places.subarray(3 * corner, 3 * corner + 3);
      // single precision of the file's own numbers
      for (let i = 0; i < 3; i++)
        expect(corners[3 * k + i]).toBeCloseTo(truth[i]! * p[0]! + truth[4 + i]! * p[1]! + truth[8 + i]! * p[2]! + truth[12 + i]!, 5);
    });
  });

  test("names: the node's, else that of the node above; one name twice is one part", async () => {
    const bytes = await made((document, show) => {
      const scene = document.getRoot().getDefaultScene();
      scene?.addChild(show(document.createNode("bolt")));
      scene?.addChild(document.createNode("housing").addChild(show(document.createNode(""))));
      scene?.addChild(show(document.createNode("bolt").setTranslation([5, 0, 0])));
      scene?.addChild(show(document.createNode("")));
    });
    const { corners, parts } = readGlb(bytes);
    expect(parts).toEqual([
      { name: "bolt", first: 0, count: 8 },
      { name: "housing", first: 8, count: 4 },
      { name: "pyramid", first: 12, count: 4 },
    ]);
    expect([...corners.slice(0, 36)]).toEqual(readGlbOrder());
    expect(corners[36]).toBe(5);
  });

  test("strips and fans; lines are passed over", async () => {
    for (const [mode, order] of [
      [5, [0, 1, 2, 1, 2, 3]],
      [6, [0, 1, 2, 0, 2, 3]],
    ] as const) {
      const bytes = await made((document, show) => {
        document
          .getRoot()
          .getDefaultScene()
          ?.addChild(show(document.createNode("a"), mode))
          .addChild(show(document.createNode("b"), 3));
      });
      const { corners } = readGlb(bytes);
      expect([...corners]).toEqual(order.flatMap((k) => [...places.subarray(3 * k, 3 * k + 3)]));
    }
  });

  test("what cannot be read is said", async () => {
    const bytes = await made((document, show) =>
      document
        .getRoot()
        .getDefaultScene()
        ?.addChild(show(document.createNode("a"))),
    );
    expect(codeOf(() => readGlb(bytes.subarray(0, bytes.length - 4)))).toBe("mesh.truncated");
    expect(codeOf(() => readMesh("x.gltf", encode("{}")))).toBe("mesh.content");
    const swapped = (from: string, to: string): Uint8Array => {
      const text = Array.from(bytes, (byte) => String.fromCharCode(byte)).join("");
      expect(text).toContain(from);
      return Uint8Array.from(text.replace(from, to.padEnd(from.length)), (letter) => letter.charCodeAt(0));
    };
    expect(codeOf(() => readGlb(swapped('"mesh":0', '"mesh":7')))).toBe("mesh.index");
    expect(codeOf(() => readGlb(swapped('"nodes":[0]', '"nodes":[3]')))).toBe("mesh.index");
    expect(codeOf(() => readGlb(swapped('"componentType":5126', '"componentType":5124')))).toBe("mesh.content");
  });

  test("one byte changed anywhere: triangles or one fault, never anything else", async () => {
    const bytes = await made((document, show) =>
      document
        .getRoot()
        .getDefaultScene()
        ?.addChild(show(document.createNode("a"))),
    );
    for (let at = 0; at < bytes.length; at++) {
      for (const value of [0, 32, 34, 45, 57, 91, 123, 255]) {
        const broken = bytes.slice();
        broken[at] = value;
        try {
          const { corners } = readGlb(broken);
          expect(corners.length).toBeGreaterThan(0);
        } catch (error) {
          if (!(error instanceof InputError)) throw new Error(`byte ${at} as ${value}: ${error}`);
        }
      }
    }
  });
});

/** The pyramid as its indices order it. */
function readGlbOrder(): number[] {
  expect(pyramid.length).toBe(4);
  return [...faces].flatMap((k) => [...places.subarray(3 * k, 3 * k + 3)]);
}
