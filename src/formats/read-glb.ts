/** Bytes of a GLB file (binary glTF 2.0) -> triangles of its scene, every node's placement applied, under the nodes' names. Metres. */
import { type GlbFile, type GlbFileNode, openGlb, readAccessor, readIndices } from "./glb-content.ts";
import { checkCorners, gatherParts, type MeshData, type NamedRun, refuseMesh } from "./mesh-data.ts";

/**
 * Lines, points, materials, skins, morphs and animations are passed over; what of them could change the surface is remarked.
 * A node's triangles bear its name, or its mesh's, or that of the nearest node above that has one.
 *
 * @throws InputError `mesh.empty`, `mesh.truncated`, `mesh.content`, `mesh.index`, `mesh.number`
 * @see docs/sources.md#gltf (glTF 2.0, ISO/IEC 12113)
 */
export function readGlb(bytes: Uint8Array): MeshData {
  const file = openGlb(bytes);
  const pieces: Float64Array[] = [];
  const runs: NamedRun[] = [];
  const told = new Set<string>();
  const visited = new Set<number>();
  const walk = (index: number, above: Float64Array, name: string, depth: number): void => {
    const node = file.nodes[index];
    if (node === undefined) refuseMesh("mesh.index", `names node ${index}; the file has ${file.nodes.length}.`, "Export it again.");
    if (visited.has(index) || depth > 1000)
      refuseMesh("mesh.content", `has node ${index} below itself or in two places.`, "Export it again: nodes are a tree.");
    visited.add(index);
    const frame = multiply(above, frameOf(node, index));
    const own = (node.name ?? "").trim() || name;
    if (node.skin !== undefined) told.add("a skin was not applied: the surface is that of its rest");
    if (node.mesh !== undefined) addMesh(file, node.mesh, frame, own, pieces, runs, told);
    for (const child of node.children ?? []) walk(child, frame, own, depth + 1);
  };
  for (const root of rootsOf(file)) walk(root, identity(), "", 0);
  const whole = new Float64Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  checkCorners(whole);
  return { ...gatherParts(whole, runs), remarks: [...told] };
}

/** The nodes of the scene to show; of a file without scenes those that are no other's child. */
function rootsOf({ scenes, scene, nodes }: GlbFile): readonly number[] {
  const shown = scenes[scene ?? 0];
  if (shown !== undefined) return shown.nodes ?? [];
  const children = new Set(nodes.flatMap((node) => node.children ?? []));
  return nodes.map((_, k) => k).filter((k) => !children.has(k));
}

function addMesh(
  file: GlbFile,
  index: number,
  frame: Float64Array,
  name: string,
  pieces: Float64Array[],
  runs: NamedRun[],
  told: Set<string>,
): void {
  const mesh = file.meshes[index];
  if (mesh === undefined) refuseMesh("mesh.index", `names mesh ${index}; the file has ${file.meshes.length}.`, "Export it again.");
  const called = name || (mesh.name ?? "").trim();
  for (const primitive of mesh.primitives) {
    const mode = primitive.mode ?? 4;
    if (mode < 4) continue;
    if (primitive.extensions !== undefined && "KHR_draco_mesh_compression" in primitive.extensions) {
      refuseMesh(
        "mesh.content",
        `has the mesh ${called || index} compressed (KHR_draco_mesh_compression).`,
        "Export it without compression.",
      );
    }
    if (primitive.targets !== undefined) told.add("a morph was not applied: the surface is that of its rest");
    const position = primitive.attributes["POSITION"];
    if (position === undefined) continue;
    const places = readAccessor(file, position, 3);
    const corners = primitive.indices === undefined ? undefined : readIndices(file, primitive.indices, places.length / 3);
    const piece = placeTriangles(places, corners, mode, frame);
    if (piece.length === 0) continue;
    pieces.push(piece);
    runs.push({ name: called, count: piece.length / 9 });
  }
}

/** Modes: 4 triangles, 5 strip, 6 fan. */
function placeTriangles(places: Float64Array, corners: Uint32Array | undefined, mode: number, m: Float64Array): Float64Array {
  const many = corners === undefined ? places.length / 3 : corners.length;
  const count = mode === 4 ? Math.floor(many / 3) : Math.max(0, many - 2);
  const piece = new Float64Array(9 * count);
  for (let k = 0; k < count; k++) {
    for (let c = 0; c < 3; c++) {
      const turn = mode === 4 ? 3 * k + c : mode === 5 ? k + c : c === 0 ? 0 : k + c;
      const at = 3 * (corners === undefined ? turn : corners[turn]!);
      const x = places[at]!;
      const y = places[at + 1]!;
      const z = places[at + 2]!;
      for (let i = 0; i < 3; i++) piece[9 * k + 3 * c + i] = m[4 * i]! * x + m[4 * i + 1]! * y + m[4 * i + 2]! * z + m[4 * i + 3]!;
    }
  }
  return piece;
}

function identity(): Float64Array {
  return Float64Array.of(1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0);
}

/** [3, 4] row-major, of a node in the one above it. */
function frameOf(node: GlbFileNode, index: number): Float64Array {
  const numbers = [...(node.matrix ?? []), ...(node.translation ?? []), ...(node.rotation ?? []), ...(node.scale ?? [])];
  if (!numbers.every((value) => typeof value === "number" && Number.isFinite(value)))
    refuseMesh("mesh.number", `places node ${index} by a number that is not finite.`, "Export it again.");
  const { matrix: m } = node;
  if (m !== undefined) {
    if (m.length !== 16)
      refuseMesh("mesh.content", `has ${m.length} numbers in the matrix of node ${index}.`, "Export it again: 16 belong there.");
    return Float64Array.from({ length: 12 }, (_, k) => m[4 * (k % 4) + Math.floor(k / 4)]!);
  }
  const [tx, ty, tz] = node.translation ?? [0, 0, 0];
  const [x, y, z, w] = node.rotation ?? [0, 0, 0, 1];
  const [sx, sy, sz] = node.scale ?? [1, 1, 1];
  // exporters write unit quaternions in single precision: the scale is taken from the length, not from its rounding
  const n = 2 / (x * x + y * y + z * z + w * w);
  return Float64Array.of(
    sx * (1 - n * (y * y + z * z)), sy * n * (x * y - z * w), sz * n * (x * z + y * w), tx,
    sx * n * (x * y + z * w), sy * (1 - n * (x * x + z * z)), sz * n * (y * z - x * w), ty,
    sx * n * (x * z - y * w), sy * n * (y * z + x * w), sz * (1 - n * (x * x + y * y)), tz,
  ); // biome-ignore format: a matrix
}

function multiply(a: Float64Array, b: Float64Array): Float64Array {
  const c = new Float64Array(12);
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 4; j++) {
      c[4 * i + j] = a[4 * i]! * b[j]! + a[4 * i + 1]! * b[4 + j]! + a[4 * i + 2]! * b[8 + j]! + (j === 3 ? a[4 * i + 3]! : 0);
    }
  }
  return c;
}
