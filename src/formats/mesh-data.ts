/** What every reader of a mesh gives, and how it refuses one. */
import { type FaultCode, InputError } from "../base/index.ts";

export interface MeshData {
  /** [triangle, 9] three corners, file unit, all finite; part after part */
  readonly corners: Float64Array;
  /** in the order of the triangles, all of them in one part each; names differ, the one of what has no name is empty */
  readonly parts: readonly MeshPart[];
  /** what a person should know of the file, in words */
  readonly remarks: string[];
}

/** Triangles that the file calls by one name. */
export interface MeshPart {
  readonly name: string;
  /** first triangle, and how many (> 0) */
  readonly first: number;
  readonly count: number;
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

/** Triangles one after another under one name; a name may come again. */
export interface NamedRun {
  readonly name: string;
  readonly count: number;
}

/**
 * Runs of triangles -> parts: what bears one name is one part, at the place where the name comes first.
 *
 * @param runs in the order of the triangles, all of them
 * @returns the corners themselves where no name comes twice
 */
export function gatherParts(corners: Float64Array, runs: readonly NamedRun[]): { corners: Float64Array; parts: MeshPart[] } {
  const counts = new Map<string, number>();
  let split = false;
  let last: string | undefined;
  for (const { name, count } of runs) {
    if (count === 0) continue;
    split ||= counts.has(name) && name !== last;
    counts.set(name, (counts.get(name) ?? 0) + count);
    last = name;
  }
  const parts: MeshPart[] = [];
  let first = 0;
  for (const [name, count] of counts) {
    parts.push({ name, first, count });
    first += count;
  }
  if (!split) return { corners, parts };
  const next = new Map(parts.map((part) => [part.name, 9 * part.first]));
  const sorted = new Float64Array(corners.length);
  let from = 0;
  for (const { name, count } of runs) {
    const to = next.get(name) ?? 0;
    sorted.set(corners.subarray(from, from + 9 * count), to);
    next.set(name, to + 9 * count);
    from += 9 * count;
  }
  return { corners: sorted, parts };
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
