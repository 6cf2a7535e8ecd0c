/** A binary heap of cells by key, least first, in flat arrays that grow. */
export interface CellHeap {
  /** [n] */
  heapKey: Float64Array;
  /** [n] */
  heapCell: Int32Array;
  heapCount: number;
}

export function pushHeap(heap: CellHeap, key: number, cell: number): void {
  if (heap.heapCount >= heap.heapKey.length) {
    const keys = new Float64Array(2 * heap.heapCount + 16);
    keys.set(heap.heapKey);
    heap.heapKey = keys;
    const cells = new Int32Array(2 * heap.heapCount + 16);
    cells.set(heap.heapCell);
    heap.heapCell = cells;
  }
  const { heapKey, heapCell } = heap;
  let at = heap.heapCount;
  heap.heapCount += 1;
  while (at > 0) {
    const above = (at - 1) >> 1;
    if (heapKey[above]! <= key) break;
    heapKey[at] = heapKey[above]!;
    heapCell[at] = heapCell[above]!;
    at = above;
  }
  heapKey[at] = key;
  heapCell[at] = cell;
}

/** Takes the cell with the least key; the heap must not be empty. */
export function popHeap(heap: CellHeap): number {
  const { heapKey, heapCell } = heap;
  const least = heapCell[0]!;
  heap.heapCount -= 1;
  const n = heap.heapCount;
  const key = heapKey[n]!;
  const cell = heapCell[n]!;
  let at = 0;
  for (let below = 1; below < n; below = 2 * at + 1) {
    if (below + 1 < n && heapKey[below + 1]! < heapKey[below]!) below += 1;
    if (heapKey[below]! >= key) break;
    heapKey[at] = heapKey[below]!;
    heapCell[at] = heapCell[below]!;
    at = below;
  }
  heapKey[at] = key;
  heapCell[at] = cell;
  return least;
}
