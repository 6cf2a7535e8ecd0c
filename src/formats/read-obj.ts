/** Bytes of an OBJ file -> triangles: corners, polygons and the names of objects and groups; everything else it may say is passed over. */
import { closeFace, countCut, createFaceRow, finishFaces, setCorner } from "./faces.ts";
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
import { createTextScan, peekWord, skipBlank, skipLine, skipSpaces, type TextScan, takeNumber, takeRest, takeWord } from "./scan-text.ts";

/** What a line may begin with and is passed over. */
const passed = [
  "vt", "vn", "vp", "s", "mg", "usemtl", "mtllib", "usemap", "maplib", "l", "p", "bevel", "c_interp", "d_interp", "lod",
  "shadow_obj", "trace_obj",
]; // biome-ignore format: a list to scan

/** Free-form curves and surfaces: passed over too, but the user must know. */
const freeForm = [
  "deg", "bmat", "step", "cstype", "curv", "curv2", "surf", "parm", "trim", "hole", "scrv", "sp", "end", "con", "ctech", "stech", "call", "csh",
]; // biome-ignore format: a list to scan

/**
 * Faces may name corners that come later; negative numbers count back from the face. A face belongs to what the last line before it
 * that began with `o` or `g` named.
 *
 * @throws InputError `mesh.empty`, `mesh.content`, `mesh.index`, `mesh.number`
 * @see docs/sources.md#obj
 */
export function readObj(bytes: Uint8Array): MeshData {
  if (bytes.length === 0) refuseMesh("mesh.empty", "is empty.", "Copy or export it again.");
  const places = createNumberRow();
  // every face as its number of corners, line and corners; corners counted from 0
  const named = createNumberRow();
  const scan = createTextScan(bytes);
  const runs: OpenRun[] = [];
  let name = "";
  let faces = 0;
  let curved = 0;
  while (skipBlank(scan)) {
    if (takeWord(scan, "v")) {
      for (let i = 0; i < 3; i++) addNumber(places, takeCoordinate(scan));
    } else if (takeWord(scan, "f") || takeWord(scan, "fo")) {
      takeFace(scan, places.count / 3, named);
      faces++;
    } else if (takeWord(scan, "o") || takeWord(scan, "g")) {
      runs.push({ name, end: faces });
      name = takeRest(scan);
    } else if (bytes[scan.at] !== 35) {
      if (freeForm.some((word) => takeWord(scan, word))) curved++;
      else if (!passed.some((word) => takeWord(scan, word)))
        refuseMesh(
          "mesh.content",
          `has "${peekWord(scan)}" in line ${scan.line}, which begins no line of an OBJ.`,
          "Export the surface as STL, OBJ or PLY.",
        );
    }
    finishLine(scan);
  }
  runs.push({ name, end: faces });
  const mesh = cutFaces(joinNumbers(places), joinNumbers(named), runs);
  checkCorners(mesh.corners);
  return {
    ...gatherParts(mesh.corners, mesh.runs),
    remarks: curved > 0 ? [...mesh.remarks, `${curved} lines of curved surfaces were not read: export them as triangles`] : mesh.remarks,
  };
}

/** Faces up to one past `end` have this name, from where the run before ended. */
interface OpenRun {
  readonly name: string;
  readonly end: number;
}

/** Moves behind the line, and behind all lines that a backslash adds to it. */
function finishLine(scan: TextScan): void {
  const { bytes } = scan;
  for (;;) {
    const from = scan.at;
    skipLine(scan);
    let last = scan.at - 1;
    while (last > from && bytes[last]! <= 32) last--;
    if (bytes[last] !== 92 || scan.at >= scan.end) return;
  }
}

/** Moves to the next word of the line; a lone backslash joins the next line to it. */
function skipJoined(scan: TextScan): boolean {
  while (skipSpaces(scan)) {
    if (!takeWord(scan, "\\")) return true;
    skipLine(scan);
  }
  return false;
}

function takeCoordinate(scan: TextScan): number {
  const line = scan.line;
  if (!skipJoined(scan)) {
    if (scan.at >= scan.end) refuseMesh("mesh.truncated", `ends in line ${line}, within a corner.`, "Copy or export it again.");
    refuseMesh("mesh.content", `has a corner of fewer than three numbers in line ${line}.`, "Give x, y and z.");
  }
  const word = peekWord(scan);
  const value = takeNumber(scan);
  if (Number.isNaN(value) && !/^[-+]?(nan|inf|1\.#)/i.test(word))
    refuseMesh("mesh.content", `has "${word}" in line ${line}, where a number was expected.`, "Export it again.");
  return value;
}

function takeFace(scan: TextScan, known: number, named: ReturnType<typeof createNumberRow>): void {
  const corners: number[] = [];
  const line = scan.line;
  while (skipJoined(scan)) {
    const word = peekWord(scan);
    const index = Number.parseInt(word, 10);
    if (!/^-?[0-9]+(\/[-0-9]*){0,2}$/.test(word) || index === 0)
      refuseMesh(
        "mesh.content",
        `has "${word}" as a corner of the face in line ${line}.`,
        "Corners are numbered from 1, or from -1 backwards.",
      );
    corners.push(index > 0 ? index - 1 : known + index);
    scan.at += word.length;
  }
  addNumber(named, corners.length);
  addNumber(named, line);
  for (const corner of corners) addNumber(named, corner);
}

function cutFaces(
  places: Float64Array,
  named: Float64Array,
  ends: readonly OpenRun[],
): { corners: Float64Array; remarks: string[]; runs: NamedRun[] } {
  const faces = createFaceRow();
  const count = places.length / 3;
  const runs: NamedRun[] = [];
  let run = 0;
  let face = 0;
  let cut = 0;
  const closeRuns = (): void => {
    for (; run < ends.length && ends[run]!.end <= face; run++) {
      runs.push({ name: ends[run]!.name, count: countCut(faces) - cut });
      cut = countCut(faces);
    }
  };
  for (let at = 0; at < named.length; face++) {
    closeRuns();
    const n = named[at]!;
    const line = named[at + 1]!;
    for (let k = 0; k < n; k++) {
      const corner = named[at + 2 + k]!;
      if (corner < 0 || corner >= count)
        refuseMesh("mesh.index", `names corner ${corner + 1} in line ${line}; the file has ${count}.`, "Copy or export it again.");
      setCorner(faces, k, corner);
    }
    closeFace(faces, n, places);
    at += 2 + n;
  }
  closeRuns();
  return { ...finishFaces(faces), runs };
}
