/** Bytes of a PLY file, text or binary of either byte order -> triangles. */
import { closeFace, createFaceRow, finishFaces, setCorner } from "./faces.ts";
import { checkCorners, gatherParts, type MeshData, refuseMesh } from "./mesh-data.ts";
import { type PlyElement, type PlyHeader, readPlyHeader, sizes } from "./ply-header.ts";
import { createTextScan, peekWord, skipBlank, type TextScan, takeNumber } from "./scan-text.ts";

/** Gives the next number of the file, of a type; one shape for both kinds of file. */
interface PlySource {
  /** text */
  readonly scan: TextScan;
  /** binary */
  readonly view: DataView;
  readonly little: boolean;
  readonly text: boolean;
  at: number;
  /** for messages: what is being read */
  what: string;
}

/**
 * @throws InputError `mesh.empty`, `mesh.truncated`, `mesh.content`, `mesh.index`, `mesh.number`
 * @see docs/sources.md#ply
 */
export function readPly(bytes: Uint8Array): MeshData {
  if (bytes.length === 0) refuseMesh("mesh.empty", "is empty.", "Copy or export it again.");
  const header = readPlyHeader(bytes);
  const vertices = header.elements.find((element) => element.name === "vertex");
  const faces = header.elements.find((element) => element.name === "face");
  if (vertices === undefined || faces === undefined || vertices.count === 0 || faces.count === 0)
    refuseMesh("mesh.empty", "announces no corners or no faces.", "Export the surface, not only points or lines.");
  if (header.elements.indexOf(faces) < header.elements.indexOf(vertices))
    refuseMesh("mesh.content", "has its faces before its corners.", "Export it again as STL, OBJ or PLY.");
  const source: PlySource = {
    scan: createTextScan(bytes, header.dataAt),
    view: new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength),
    little: header.format === "binary_little_endian",
    text: header.format === "ascii",
    at: header.dataAt,
    what: "",
  };
  source.scan.line = header.lines + 1;
  return readElements(header, vertices, faces, source, bytes.length);
}

function readElements(header: PlyHeader, vertices: PlyElement, faces: PlyElement, source: PlySource, length: number): MeshData {
  let places: Float64Array = new Float64Array(0);
  const row = createFaceRow();
  for (const element of header.elements) {
    source.what = element.name;
    // nothing is made for a count that the file cannot hold
    if (element.count * leastSize(element, source.text) > length - header.dataAt + 1)
      refuseMesh("mesh.truncated", `announces ${element.count} of ${element.name} and is too short for them.`, "Copy or export it again.");
    if (element === vertices) places = readVertices(element, source);
    else if (element === faces) readFaces(element, places, source, row);
    else for (let k = 0; k < element.count; k++) skipRow(element, source, k);
    // what comes after the faces says nothing of the surface
    if (element === faces) break;
  }
  const mesh = finishFaces(row);
  checkCorners(mesh.corners);
  return { ...gatherParts(mesh.corners, [{ name: "", count: mesh.corners.length / 9 }]), remarks: mesh.remarks };
}

/** The least number of bytes that one row takes: in text a digit and a blank a number. */
function leastSize({ properties }: PlyElement, text: boolean): number {
  return properties.reduce((sum, { type, count }) => sum + (text ? 2 : count === undefined ? sizes[type] : sizes[count]), 0);
}

function readVertices(element: PlyElement, source: PlySource): Float64Array {
  const axes = ["x", "y", "z"].map((axis) => element.properties.findIndex((p) => p.name === axis && p.count === undefined));
  if (axes.includes(-1)) refuseMesh("mesh.content", "has corners without x, y and z.", "Export it again.");
  const places = new Float64Array(3 * element.count);
  for (let k = 0; k < element.count; k++) {
    element.properties.forEach((property, p) => {
      if (property.count !== undefined) {
        skipList(property.count, property.type, source, k);
        return;
      }
      const value = next(source, property.type, k);
      const axis = axes.indexOf(p);
      if (axis >= 0) places[3 * k + axis] = value;
    });
  }
  return places;
}

function readFaces(element: PlyElement, places: Float64Array, source: PlySource, row: ReturnType<typeof createFaceRow>): void {
  const list = element.properties.findIndex((p) => (p.name === "vertex_indices" || p.name === "vertex_index") && p.count !== undefined);
  if (list < 0) refuseMesh("mesh.content", "has faces without a list vertex_indices.", "Export it again.");
  const count = places.length / 3;
  for (let k = 0; k < element.count; k++) {
    element.properties.forEach((property, p) => {
      if (property.count === undefined) {
        next(source, property.type, k);
        return;
      }
      if (p !== list) {
        skipList(property.count, property.type, source, k);
        return;
      }
      const n = listLength(source, property.count, k);
      for (let i = 0; i < n; i++) {
        const corner = next(source, property.type, k);
        if (!(corner >= 0 && corner < count && Number.isInteger(corner)))
          refuseMesh("mesh.index", `names corner ${corner} in face ${k + 1}; the file has 0 to ${count - 1}.`, "Copy or export it again.");
        setCorner(row, i, corner);
      }
      closeFace(row, n, places);
    });
  }
}

function skipRow(element: PlyElement, source: PlySource, k: number): void {
  for (const { type, count } of element.properties) {
    if (count === undefined) next(source, type, k);
    else skipList(count, type, source, k);
  }
}

function skipList(count: string, type: string, source: PlySource, k: number): void {
  const n = listLength(source, count, k);
  for (let i = 0; i < n; i++) next(source, type, k);
}

function listLength(source: PlySource, type: string, k: number): number {
  const n = next(source, type, k);
  if (!(n >= 0 && Number.isInteger(n)))
    refuseMesh("mesh.content", `has a list of ${n} in ${source.what} ${k + 1}.`, "Copy or export it again.");
  return n;
}

function next(source: PlySource, type: string, k: number): number {
  if (source.text) return nextOfText(source, k);
  const { view, at, little } = source;
  const size = sizes[type]!;
  if (at + size > view.byteLength) refuseMesh("mesh.truncated", `ends within ${source.what} ${k + 1}.`, "Copy or export it again.");
  source.at = at + size;
  switch (type) {
    case "char":
      return view.getInt8(at);
    case "uchar":
      return view.getUint8(at);
    case "short":
      return view.getInt16(at, little);
    case "ushort":
      return view.getUint16(at, little);
    case "int":
      return view.getInt32(at, little);
    case "uint":
      return view.getUint32(at, little);
    case "float":
      return view.getFloat32(at, little);
    default:
      return view.getFloat64(at, little);
  }
}

function nextOfText({ scan, what }: PlySource, k: number): number {
  if (!skipBlank(scan)) refuseMesh("mesh.truncated", `ends within ${what} ${k + 1}.`, "Copy or export it again.");
  const from = scan.at;
  const value = takeNumber(scan);
  if (!Number.isNaN(value)) return value;
  scan.at = from;
  const word = peekWord(scan);
  if (/^[-+]?(nan|inf|1\.#)/i.test(word)) {
    scan.at = from + word.length;
    return Number.NaN;
  }
  // a last word that breaks off is a file that breaks off
  if (from + word.length >= scan.end) refuseMesh("mesh.truncated", `ends within ${what} ${k + 1}.`, "Copy or export it again.");
  return refuseMesh("mesh.content", `has "${word}" in line ${scan.line}, where a number was expected.`, "Export it again.");
}
