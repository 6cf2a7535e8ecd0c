/** Which leaves of the octree a straight line crosses, and for how long. */
import { type CellTree, locateCell } from "../space/index.ts";

/** Grows; overwritten by every walk. */
export interface CellWalk {
  /** [n] leaves in order */
  leaf: Int32Array;
  /** [n] length of the line inside each, m */
  inside: Float64Array;
}

export function createCellWalk(): CellWalk {
  return { leaf: new Int32Array(256), inside: new Float64Array(256) };
}

/** Returns the number of leaves crossed from a to b, or -1 when the line leaves the root cube. */
export function walkCells(tree: CellTree, ax: number, ay: number, az: number, bx: number, by: number, bz: number, walk: CellWalk): number {
  const { origin, place, level, levels } = tree;
  const dx = bx - ax;
  const dy = by - ay;
  const dz = bz - az;
  const length = Math.sqrt(dx * dx + dy * dy + dz * dz);
  const unit = tree.edge / (1 << levels);
  const nudge = length > 0 ? (1e-6 * unit) / length : 1;
  let t = 0;
  let count = 0;
  do {
    const at = Math.min(1, t + nudge);
    const leaf = locateCell(tree, ax + dx * at, ay + dy * at, az + dz * at);
    if (leaf < 0) return -1;
    const size = unit * (1 << (levels - level[leaf]!));
    const lx = origin[0] + place[3 * leaf]! * unit;
    const ly = origin[1] + place[3 * leaf + 1]! * unit;
    const lz = origin[2] + place[3 * leaf + 2]! * unit;
    // a face that is not ahead is one the line runs along, told apart by rounding alone
    let exit = 1;
    const ex = ((dx > 0 ? lx + size : lx) - ax) / dx;
    if (ex > at && ex < exit) exit = ex;
    const ey = ((dy > 0 ? ly + size : ly) - ay) / dy;
    if (ey > at && ey < exit) exit = ey;
    const ez = ((dz > 0 ? lz + size : lz) - az) / dz;
    if (ez > at && ez < exit) exit = ez;
    if (count >= walk.leaf.length) {
      const leaves = new Int32Array(2 * count);
      leaves.set(walk.leaf);
      walk.leaf = leaves;
      const inside = new Float64Array(2 * count);
      inside.set(walk.inside);
      walk.inside = inside;
    }
    walk.leaf[count] = leaf;
    walk.inside[count] = (exit - t) * length;
    count += 1;
    t = exit;
  } while (t < 1);
  return count;
}
