/** A scene of triangles and lines, with names -> the bytes of one GLB file (glTF 2.0). */
import type { Document, Material, Mesh, Node, Scene } from "@gltf-transform/core";
import { weldCorners } from "./weld-corners.ts";

/** How a surface or line looks. */
export interface GlbPaint {
  readonly name: string;
  /** [4] red, green, blue, opacity, 0 to 1, linear */
  readonly colour: readonly [number, number, number, number];
}

/** A surface or a line that any number of nodes may show. */
export interface GlbMesh {
  readonly name: string;
  readonly kind: "triangles" | "line";
  /** [triangle, 9] corners, or [point, 3] of a line, m; written in single precision */
  readonly points: Float64Array;
  readonly paint: GlbPaint;
}

export interface GlbNode {
  readonly name: string;
  /** [12] rotation row-major, then place: parent = R * own + place; none when absent */
  readonly frame?: ArrayLike<number>;
  readonly mesh?: GlbMesh;
  readonly nodes?: readonly GlbNode[];
  /** plain data kept with the node */
  readonly facts?: Readonly<Record<string, string | number | boolean>>;
}

/**
 * The library is loaded when the first scene is written: who only reads meshes does without.
 *
 * @param generator who wrote it, for the file's own record
 */
export async function writeGlb(scene: GlbNode, generator: string): Promise<Uint8Array> {
  const { Document, WebIO } = await import("@gltf-transform/core");
  const document = new Document();
  document.getRoot().getAsset().generator = generator;
  document.createBuffer();
  const made: Made = { document, meshes: new Map(), paints: new Map() };
  const top = document.createScene(scene.name);
  document.getRoot().setDefaultScene(top);
  addNode(scene, top, made);
  return new WebIO().writeBinary(document);
}

/** What was written once and is shown again. */
interface Made {
  readonly document: Document;
  readonly meshes: Map<GlbMesh, Mesh>;
  readonly paints: Map<GlbPaint, Material>;
}

function addNode(from: GlbNode, parent: Scene | Node, made: Made): void {
  const node = made.document.createNode(from.name);
  if (from.frame !== undefined) {
    const f = from.frame;
    node.setTranslation([f[9]!, f[10]!, f[11]!]).setRotation(quaternionOf(f));
  }
  if (from.mesh !== undefined) node.setMesh(meshOf(from.mesh, made));
  if (from.facts !== undefined) node.setExtras({ ...from.facts });
  parent.addChild(node);
  for (const child of from.nodes ?? []) addNode(child, node, made);
}

function meshOf(from: GlbMesh, made: Made): Mesh {
  let mesh = made.meshes.get(from);
  if (mesh !== undefined) return mesh;
  const { document } = made;
  const primitive = document.createPrimitive().setMaterial(paintOf(from.paint, made));
  if (from.kind === "line") primitive.setMode(3).setAttribute("POSITION", points(document, Float32Array.from(from.points)));
  else {
    const { positions, indices } = indexCorners(from.points);
    primitive.setAttribute("POSITION", points(document, positions));
    primitive.setIndices(document.createAccessor().setType("SCALAR").setArray(indices).setBuffer(bufferOf(document)));
  }
  mesh = document.createMesh(from.name).addPrimitive(primitive);
  made.meshes.set(from, mesh);
  return mesh;
}

function points(document: Document, array: Float32Array<ArrayBuffer>) {
  return document.createAccessor().setType("VEC3").setArray(array).setBuffer(bufferOf(document));
}

function bufferOf(document: Document) {
  return document.getRoot().listBuffers()[0]!;
}

function paintOf(from: GlbPaint, made: Made): Material {
  let paint = made.paints.get(from);
  if (paint !== undefined) return paint;
  paint = made.document
    .createMaterial(from.name)
    .setBaseColorFactor([...from.colour])
    .setMetallicFactor(0)
    .setRoughnessFactor(0.8)
    .setDoubleSided(true);
  if (from.colour[3] < 1) paint.setAlphaMode("BLEND");
  made.paints.set(from, paint);
  return paint;
}

/** Corners at one place are written once. Faces stay flat: no normals are given, so a viewer makes them of the triangles. */
function indexCorners(corners: Float64Array): { positions: Float32Array<ArrayBuffer>; indices: Uint32Array<ArrayBuffer> } {
  const first = weldCorners(corners);
  const number = new Int32Array(first.length);
  let count = 0;
  for (let k = 0; k < first.length; k++) number[k] = first[k] === k ? count++ : number[first[k]!]!;
  const positions = new Float32Array(3 * count);
  for (let k = 0; k < first.length; k++)
    if (first[k] === k) for (let i = 0; i < 3; i++) positions[3 * number[k]! + i] = corners[3 * k + i]!;
  return { positions, indices: Uint32Array.from(number) };
}

/** [12] frame -> [4] unit quaternion x, y, z, w; the largest of the four is found first, so that nothing is divided by a small number. */
function quaternionOf(f: ArrayLike<number>): [number, number, number, number] {
  const [a, b, c, d, e, g, h, i, j] = [f[0]!, f[1]!, f[2]!, f[3]!, f[4]!, f[5]!, f[6]!, f[7]!, f[8]!];
  const squares = [1 + a - e - j, 1 - a + e - j, 1 - a - e + j, 1 + a + e + j];
  const k = squares.indexOf(Math.max(...squares));
  const q = [
    [squares[0]!, b + d, c + h, i - g],
    [b + d, squares[1]!, g + i, c - h],
    [c + h, g + i, squares[2]!, d - b],
    [i - g, c - h, d - b, squares[3]!],
  ][k] as [number, number, number, number];
  const length = Math.sqrt(q[0] ** 2 + q[1] ** 2 + q[2] ** 2 + q[3] ** 2);
  return [q[0] / length, q[1] / length, q[2] / length, q[3] / length];
}
