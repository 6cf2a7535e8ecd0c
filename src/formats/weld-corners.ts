/** Corners at the same place, to the last bit, get the same number. */

/**
 * @param corners  [triangle, 9], all finite
 * @returns [triangle, 3] the first corner (counted over all triangles) that lies where this one does
 */
export function weldCorners(corners: Float64Array): Int32Array {
  const count = corners.length / 3;
  const size = 2 ** Math.ceil(Math.log2(Math.max(2, 1.5 * count)));
  const table = new Int32Array(size).fill(-1);
  const place = new Int32Array(count);
  const number = new Float64Array(3);
  const bits = new Int32Array(number.buffer);
  for (let k = 0; k < count; k++) {
    const x = corners[3 * k]!;
    const y = corners[3 * k + 1]!;
    const z = corners[3 * k + 2]!;
    // adding 0 makes 0 of -0
    number[0] = x + 0;
    number[1] = y + 0;
    number[2] = z + 0;
    let hash = 0x9e3779b1 | 0;
    for (let i = 0; i < 6; i++) {
      hash = Math.imul(hash ^ bits[i]!, 0x85ebca77);
      hash ^= hash >>> 15;
    }
    hash = Math.imul(hash, 0xc2b2ae3d);
    let slot = (hash ^ (hash >>> 13)) & (size - 1);
    for (;;) {
      const there = table[slot]!;
      if (there < 0) {
        table[slot] = k;
        place[k] = k;
        break;
      }
      if (corners[3 * there] === x && corners[3 * there + 1] === y && corners[3 * there + 2] === z) {
        place[k] = there;
        break;
      }
      slot = (slot + 1) & (size - 1);
    }
  }
  return place;
}
