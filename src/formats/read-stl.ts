/** Bytes of an STL file, binary or text -> triangles. The stated normals are not used. */
import {
  addNumber,
  checkCorners,
  createNumberRow,
  gatherParts,
  joinNumbers,
  type MeshData,
  type NamedRun,
  refuseMesh,
} from "./mesh-data.ts";
import { createTextScan, peekWord, skipBlank, skipLine, type TextScan, takeNumber, takeRest, takeWord } from "./scan-text.ts";

const headerSize = 84;
const recordSize = 50;
/** More than any file that is asked about here, and than most chance bytes say. */
const mostTriangles = 50_000_000;

/**
 * Binary files may begin with the word `solid` too: what fits the announced count to the byte is binary.
 *
 * @throws InputError `mesh.empty`, `mesh.truncated`, `mesh.content`, `mesh.number`
 * @see docs/sources.md#stl
 */
export function readStl(bytes: Uint8Array): MeshData {
  if (bytes.length === 0) refuseMesh("mesh.empty", "is empty.", "Copy or export it again.");
  const fits = bytes.length >= headerSize && bytes.length === headerSize + recordSize * announced(bytes);
  const scan = createTextScan(bytes);
  const text = !fits && skipBlank(scan) && takeWord(scan, "solid");
  const mesh = text ? readText(scan) : readBinary(bytes);
  checkCorners(mesh.corners);
  return mesh;
}

function announced(bytes: Uint8Array): number {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(80, true);
}

function readBinary(bytes: Uint8Array): MeshData {
  if (bytes.length < headerSize)
    refuseMesh("mesh.content", `is no STL: ${bytes.length} bytes are fewer than its header.`, "Export the surface as STL, OBJ or PLY.");
  const count = announced(bytes);
  const held = Math.floor((bytes.length - headerSize) / recordSize);
  // a count beyond any surface was never a count
  if (count > held && count > mostTriangles)
    refuseMesh("mesh.content", "is no STL: neither text nor a count of triangles.", "Export the surface as STL, OBJ or PLY.");
  if (count > held) refuseMesh("mesh.truncated", `announces ${count} triangles and ends after ${held}.`, "Copy or export it again.");
  if (held > count && count > 0)
    refuseMesh(
      "mesh.content",
      `announces ${count} triangles and has bytes for ${held}.`,
      "Export it again; the count and the triangles must agree.",
    );
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const corners = new Float64Array(9 * count);
  for (let k = 0; k < count; k++) {
    const at = headerSize + recordSize * k + 12;
    for (let i = 0; i < 9; i++) corners[9 * k + i] = view.getFloat32(at + 4 * i, true);
  }
  const rest = bytes.length - headerSize - recordSize * count;
  return {
    ...gatherParts(corners, [{ name: "", count }]),
    remarks: rest > 0 && count > 0 ? [`${rest} bytes after the last triangle were not read`] : [],
  };
}

/** Any number of solids, one after the other; the first word `solid` is read already. */
function readText(scan: TextScan): MeshData {
  const row = createNumberRow();
  const runs: NamedRun[] = [];
  let name = takeRest(scan);
  let begun = 0;
  skipLine(scan);
  let open = true;
  let facet = 0;
  let remarks = 0;
  while (skipBlank(scan)) {
    if (facet > 0 && takeWord(scan, "vertex")) {
      if (facet === 4) refuseText(scan, "a facet with more than three corners", "Every facet has three.");
      for (let i = 0; i < 3; i++) {
        if (!skipBlank(scan)) refuseMesh("mesh.truncated", `ends in line ${scan.line}, within a corner.`, "Copy or export it again.");
        addNumber(row, takeCoordinate(scan));
      }
      facet++;
    } else if (open && facet === 0 && takeWord(scan, "facet")) {
      facet = 1;
      skipLine(scan);
    } else if (facet === 1 && takeWord(scan, "outer")) {
      skipLine(scan);
    } else if (facet === 4 && takeWord(scan, "endloop")) {
      // the facet's end closes it
    } else if (facet === 4 && takeWord(scan, "endfacet")) {
      facet = 0;
    } else if (facet === 0 && open && takeWord(scan, "endsolid")) {
      open = false;
      runs.push({ name, count: row.count / 9 - begun });
      begun = row.count / 9;
      skipLine(scan);
    } else if (facet === 0 && !open && takeWord(scan, "solid")) {
      open = true;
      name = takeRest(scan);
      skipLine(scan);
    } else if (facet === 0 && !open) {
      remarks++;
      skipLine(scan);
    } else {
      // a last word that breaks off is a file that breaks off
      const word = peekWord(scan);
      if (scan.at + word.length >= scan.end) break;
      refuseText(scan, `"${word}"`, facet > 1 && facet < 4 ? "A facet with three corners was expected." : "A facet was expected.");
    }
  }
  if (open) refuseMesh("mesh.truncated", `ends in line ${scan.line} without endsolid.`, "Copy or export it again.");
  return { ...gatherParts(joinNumbers(row), runs), remarks: remarks > 0 ? [`${remarks} lines after the last solid were not read`] : [] };
}

/** Numbers only, and the words by which programs write what is none. */
function takeCoordinate(scan: TextScan): number {
  const from = scan.at;
  const value = takeNumber(scan);
  if (!Number.isNaN(value)) return value;
  const after = scan.at;
  scan.at = from;
  const word = peekWord(scan);
  if (/^[-+]?(nan|inf|1\.#)/i.test(word)) {
    scan.at = after;
    return Number.NaN;
  }
  if (after >= scan.end) refuseMesh("mesh.truncated", `ends in line ${scan.line}, within a number.`, "Copy or export it again.");
  return refuseText(scan, `"${word}"`, "A number was expected.");
}

function refuseText(scan: TextScan, what: string, hint: string): never {
  return refuseMesh("mesh.content", `has ${what} in line ${scan.line}.`, hint);
}
