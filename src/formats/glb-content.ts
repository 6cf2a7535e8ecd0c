/** The two chunks of a GLB file: its JSON, and the numbers its accessors point to. */
import { refuseMesh } from "./mesh-data.ts";

export interface GlbFileNode {
  readonly name?: string;
  readonly mesh?: number;
  readonly skin?: number;
  readonly children?: readonly number[];
  readonly matrix?: readonly number[];
  readonly translation?: readonly [number, number, number];
  readonly rotation?: readonly [number, number, number, number];
  readonly scale?: readonly [number, number, number];
}

interface Primitive {
  readonly attributes: Readonly<Record<string, number>>;
  readonly indices?: number;
  readonly mode?: number;
  readonly targets?: readonly unknown[];
  readonly extensions?: Readonly<Record<string, unknown>>;
}

interface View {
  readonly buffer: number;
  readonly byteOffset?: number;
  readonly byteLength: number;
  readonly byteStride?: number;
  readonly extensions?: Readonly<Record<string, unknown>>;
}

interface Accessor {
  readonly bufferView?: number;
  readonly byteOffset?: number;
  readonly componentType: number;
  readonly normalized?: boolean;
  readonly count: number;
  readonly type: string;
  readonly sparse?: unknown;
}

export interface GlbFile {
  readonly scene?: number;
  readonly scenes: readonly { readonly nodes?: readonly number[] }[];
  readonly nodes: readonly GlbFileNode[];
  readonly meshes: readonly { readonly name?: string; readonly primitives: readonly Primitive[] }[];
  readonly accessors: readonly Accessor[];
  readonly views: readonly View[];
  readonly data: DataView;
}

const jsonChunk = 0x4e4f534a;
const dataChunk = 0x004e4942;
const copyAgain = "Copy or export it again.";

/** @throws InputError `mesh.truncated`, `mesh.content` */
export function openGlb(bytes: Uint8Array): GlbFile {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < 12 || view.getUint32(0, true) !== 0x46546c67)
    refuseMesh("mesh.content", "is no GLB: it does not begin with glTF.", "Export the scene as binary glTF 2.0, in one file.");
  const version = view.getUint32(4, true);
  if (version !== 2) refuseMesh("mesh.content", `is glTF ${version}.`, "Export it as glTF 2.0.");
  const length = view.getUint32(8, true);
  if (length > bytes.length) refuseMesh("mesh.truncated", `announces ${length} bytes and has ${bytes.length}.`, copyAgain);
  let text: string | undefined;
  let data: DataView = new DataView(new ArrayBuffer(0));
  for (let at = 12; at + 8 <= length; ) {
    const size = view.getUint32(at, true);
    const kind = view.getUint32(at + 4, true);
    if (at + 8 + size > length) refuseMesh("mesh.truncated", `ends within a chunk of ${size} bytes.`, copyAgain);
    if (kind === jsonChunk && text === undefined) text = new TextDecoder().decode(bytes.subarray(at + 8, at + 8 + size));
    else if (kind === dataChunk && data.byteLength === 0) data = new DataView(bytes.buffer, bytes.byteOffset + at + 8, size);
    at += 8 + size;
  }
  return { ...readJson(text ?? ""), data };
}

function readJson(text: string): Omit<GlbFile, "data"> {
  let json: Record<string, unknown> = {};
  try {
    json = JSON.parse(text) as Record<string, unknown>;
  } catch (error) {
    refuseMesh("mesh.content", `has a first chunk that is no JSON: ${(error as Error).message}.`, copyAgain);
  }
  const list = <T>(key: string): readonly T[] => {
    const value = json[key] ?? [];
    if (!Array.isArray(value) || !value.every((entry) => entry !== null && typeof entry === "object"))
      refuseMesh("mesh.content", `has ${key} that are no list of groups.`, "Export it again.");
    return value as T[];
  };
  const needed = (json["extensionsRequired"] ?? []) as readonly string[];
  const foreign = needed.filter((name) => !harmless.includes(name));
  if (foreign.length > 0)
    refuseMesh(
      "mesh.content",
      `needs ${foreign.join(", ")} to be read.`,
      "Export it without compression and without extensions of the mesh.",
    );
  const scene = json["scene"];
  const meshes = list<GlbFile["meshes"][number]>("meshes");
  for (const mesh of meshes)
    if (!Array.isArray(mesh.primitives) || !mesh.primitives.every((one) => one !== null && typeof one?.attributes === "object"))
      refuseMesh("mesh.content", "has a mesh without primitives.", "Export it again.");
  const nodes = list<GlbFileNode>("nodes");
  const scenes = list<{ readonly nodes?: readonly number[] }>("scenes");
  const lists = [
    ...scenes.map((one) => one.nodes),
    ...nodes.flatMap((one) => [one.children, one.matrix, one.translation, one.rotation, one.scale]),
  ];
  const sound =
    lists.every((one) => one === undefined || Array.isArray(one)) &&
    [...nodes, ...meshes].every(({ name }) => typeof (name ?? "") === "string");
  if (!sound) refuseMesh("mesh.content", "has a node or scene whose name is no text or whose numbers are no list.", "Export it again.");
  return {
    ...(typeof scene === "number" ? { scene } : {}),
    scenes,
    nodes,
    meshes,
    accessors: list("accessors"),
    views: list("bufferViews"),
  };
}

/** Extensions that may be required and yet change no surface, or that are read here. */
const harmless: readonly string[] = [
  "KHR_mesh_quantization", "KHR_texture_transform", "KHR_texture_basisu", "EXT_texture_webp", "KHR_materials_unlit",
]; // biome-ignore format: a list to scan

/** [component type] bytes, and what a normalized whole number is divided by */
const kinds: Readonly<Record<number, readonly [number, number]>> = {
  5120: [1, 127], 5121: [1, 255], 5122: [2, 32767], 5123: [2, 65535], 5125: [4, 1], 5126: [4, 1],
}; // biome-ignore format: one row

/** @returns [count, width] numbers */
export function readAccessor(file: GlbFile, index: number, width: number): Float64Array {
  const { at, stride, type, count, normalized } = locate(file, index, width, width === 1 ? "SCALAR" : `VEC${width}`);
  const { data } = file;
  const [size, most] = kinds[type] as readonly [number, number];
  const values = new Float64Array(count * width);
  for (let k = 0; k < count; k++) {
    for (let i = 0; i < width; i++) {
      const value = numberAt(data, at + stride * k + size * i, type);
      // whole numbers of either sign end at -1, not below
      values[width * k + i] = normalized ? Math.max(value / most, -1) : value;
    }
  }
  return values;
}

/** @param corners how many corners there are to name @throws InputError `mesh.index` */
export function readIndices(file: GlbFile, index: number, corners: number): Uint32Array {
  const { at, stride, type, count } = locate(file, index, 1, "SCALAR");
  const values = new Uint32Array(count);
  for (let k = 0; k < count; k++) {
    const value = numberAt(file.data, at + stride * k, type);
    if (!(value < corners)) refuseMesh("mesh.index", `names corner ${value}; the mesh has ${corners}, counted from 0.`, copyAgain);
    values[k] = value;
  }
  return values;
}

function locate(file: GlbFile, index: number, width: number, asked: string) {
  const accessor = file.accessors[index];
  if (accessor === undefined)
    return refuseMesh("mesh.index", `names accessor ${index}; the file has ${file.accessors.length}.`, "Export it again.");
  const { componentType: type, count, sparse, bufferView } = accessor;
  const kind = kinds[type];
  if (kind === undefined || accessor.type !== asked || !(Number.isInteger(count) && count >= 0))
    return refuseMesh("mesh.content", `has ${accessor.type} of kind ${type} in accessor ${index}.`, "Export it again.");
  if (sparse !== undefined || bufferView === undefined)
    return refuseMesh("mesh.content", `gives accessor ${index} by its changes alone.`, "Export it again without sparse accessors.");
  const view = file.views[bufferView];
  if (view === undefined || view.buffer !== 0 || view.extensions?.["EXT_meshopt_compression"] !== undefined)
    return refuseMesh("mesh.content", `keeps accessor ${index} outside the file, or compressed.`, "Export it as one GLB, uncompressed.");
  const stride = view.byteStride ?? kind[0] * width;
  const from = accessor.byteOffset ?? 0;
  const last = from + (count === 0 ? 0 : stride * (count - 1) + kind[0] * width);
  const at = (view.byteOffset ?? 0) + from;
  const whole = [at, from, stride, view.byteLength].every((value) => Number.isInteger(value) && value >= 0);
  if (!whole) return refuseMesh("mesh.content", `places accessor ${index} by a number that is not whole.`, "Export it again.");
  if (!(stride > 0 && last <= view.byteLength && (view.byteOffset ?? 0) + view.byteLength <= file.data.byteLength))
    return refuseMesh("mesh.truncated", `has ${file.data.byteLength} bytes of numbers, fewer than accessor ${index} needs.`, copyAgain);
  return { at, stride, type, count, normalized: accessor.normalized === true };
}

function numberAt(data: DataView, at: number, type: number): number {
  switch (type) {
    case 5120:
      return data.getInt8(at);
    case 5121:
      return data.getUint8(at);
    case 5122:
      return data.getInt16(at, true);
    case 5123:
      return data.getUint16(at, true);
    case 5125:
      return data.getUint32(at, true);
    default:
      return data.getFloat32(at, true);
  }
}
