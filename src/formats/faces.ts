/** Faces that name their corners by number -> triangles. */
import { addNumber, createNumberRow, joinNumbers, type NumberRow } from "./mesh-data.ts";
import { createPolygonWork, type PolygonWork, splitPolygon } from "./split-polygon.ts";

export interface FaceRow {
  readonly row: NumberRow;
  readonly work: PolygonWork;
  /** [corner] the face at hand; grows */
  face: Int32Array;
  /** faces of fewer than three corners */
  thin: number;
  /** faces that cross themselves or have no area */
  crossed: number;
}

export function createFaceRow(): FaceRow {
  return { row: createNumberRow(), work: createPolygonWork(), face: new Int32Array(16), thin: 0, crossed: 0 };
}

/** Puts corner number `k` of the face at hand. */
export function setCorner(faces: FaceRow, k: number, place: number): void {
  if (k >= faces.face.length) {
    const face = new Int32Array(2 * k);
    face.set(faces.face);
    faces.face = face;
  }
  faces.face[k] = place;
}

/** Cuts the face at hand, of `n` corners, into triangles. @param places [.., 3] */
export function closeFace(faces: FaceRow, n: number, places: Float64Array): void {
  if (n < 3) {
    faces.thin++;
    return;
  }
  const { face, row } = faces;
  const put = (k: number): void => {
    const at = 3 * face[k]!;
    addNumber(row, places[at]!);
    addNumber(row, places[at + 1]!);
    addNumber(row, places[at + 2]!);
  };
  const clean = splitPolygon(places, face, n, faces.work, (a, b, c) => {
    put(a);
    put(b);
    put(c);
  });
  if (!clean) faces.crossed++;
}

/** Triangles cut so far. */
export function countCut(faces: FaceRow): number {
  return faces.row.count / 9;
}

export function finishFaces(faces: FaceRow): { corners: Float64Array; remarks: string[] } {
  const remarks: string[] = [];
  if (faces.thin > 0) remarks.push(`${faces.thin} face(s) of fewer than three corners were left out`);
  if (faces.crossed > 0) remarks.push(`${faces.crossed} face(s) cross themselves or have no area and were cut as fans: look at them`);
  return { corners: joinNumbers(faces.row), remarks };
}
