/** What every reader of a mesh gives, and how it refuses one. */
import { type FaultCode, InputError } from "../base/index.ts";

export interface MeshData {
  /** [triangle, 9] three corners, file unit, all finite */
  readonly corners: Float64Array;
  /** what a person should know of the file, in words */
  readonly remarks: string[];
}

/** Numbers in a row whose count is not known beforehand. They wait in blocks, so that growing copies nothing. */
export interface NumberRow {
  blocks: Float64Array[];
  block: Float64Array;
  used: number;
  count: number;
}

const blockSize = 9 * 32768;

export function createNumberRow(): NumberRow {
  return { blocks: [], block: new Float64Array(blockSize), used: 0, count: 0 };
}

export function addNumber(row: NumberRow, value: number): void {
  if (row.used === blockSize) {
    row.blocks.push(row.block);
    row.block = new Float64Array(blockSize);
    row.used = 0;
  }
  row.block[row.used++] = value;
  row.count++;
}

/** All numbers in one array; the row is empty afterwards. */
export function joinNumbers(row: NumberRow): Float64Array {
  const whole = new Float64Array(row.count);
  let at = 0;
  for (const block of row.blocks) {
    whole.set(block, at);
    at += blockSize;
  }
  whole.set(row.block.subarray(0, row.used), at);
  row.blocks = [];
  row.used = 0;
  row.count = 0;
  return whole;
}

export function refuseMesh(code: FaultCode, problem: string, hint: string): never {
  throw new InputError([{ code, path: "", problem, hint }]);
}

/** Refuses a mesh without triangles or with corners that are not finite. */
export function checkCorners(corners: Float64Array): void {
  if (corners.length === 0) refuseMesh("mesh.empty", "holds no triangle.", "Export the surface, not only points or lines.");
  let bad = 0;
  let first = -1;
  for (let k = 0; k < corners.length; k++) {
    if (corners[k]! - corners[k]! === 0) continue;
    bad++;
    if (first < 0) first = k;
  }
  if (bad === 0) return;
  refuseMesh(
    "mesh.number",
    `has ${bad} coordinate${bad === 1 ? " that is" : "s that are"} not finite, the first (${corners[first]}) in triangle ${Math.floor(first / 9) + 1}.`,
    "Mend the surface where it was made and export it again.",
  );
}
