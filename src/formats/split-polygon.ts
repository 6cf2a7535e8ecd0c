/** A plane polygon -> triangles that cover just it, however it bends: ears are cut off, the fattest first. */

/** Scratch for polygons of up to `most` corners; grows. */
export interface PolygonWork {
  /** [corner] what is left of the polygon, as positions in it */
  left: Int32Array;
  /** [corner, 2] the polygon in its own plane */
  flat: Float64Array;
}

export function createPolygonWork(): PolygonWork {
  return { left: new Int32Array(16), flat: new Float64Array(32) };
}

/**
 * @param place  [.., 3] coordinates
 * @param face   [n] rows of `place`, in order round the polygon, n >= 3
 * @param emit   takes three positions in `face`
 * @returns false where the polygon crosses itself or has no area: it was then cut as a fan
 */
export function splitPolygon(
  place: Float64Array,
  face: Int32Array,
  n: number,
  work: PolygonWork,
  emit: (a: number, b: number, c: number) => void,
): boolean {
  if (n === 3) {
    emit(0, 1, 2);
    return true;
  }
  flatten(place, face, n, work);
  const { left, flat } = work;
  for (let k = 0; k < n; k++) left[k] = k;
  let many = n;
  while (many > 3) {
    const ear = findEar(left, flat, many);
    if (ear < 0) {
      for (let k = 1; k + 1 < many; k++) emit(left[0]!, left[k]!, left[k + 1]!);
      return false;
    }
    emit(left[(ear + many - 1) % many]!, left[ear]!, left[(ear + 1) % many]!);
    left.copyWithin(ear, ear + 1, many);
    many--;
  }
  emit(left[0]!, left[1]!, left[2]!);
  return true;
}

/** Projects along the axis that the polygon's area vector is nearest to, so that it runs anticlockwise. */
function flatten(place: Float64Array, face: Int32Array, n: number, work: PolygonWork): void {
  if (work.left.length < n) {
    work.left = new Int32Array(2 * n);
    work.flat = new Float64Array(4 * n);
  }
  const area = [0, 0, 0];
  const first = 3 * face[0]!;
  for (let k = 1; k + 1 < n; k++) {
    const [b, c] = [3 * face[k]!, 3 * face[k + 1]!];
    for (let i = 0; i < 3; i++) {
      const [j, l] = [(i + 1) % 3, (i + 2) % 3];
      area[i]! +=
        (place[b + j]! - place[first + j]!) * (place[c + l]! - place[first + l]!) -
        (place[b + l]! - place[first + l]!) * (place[c + j]! - place[first + j]!);
    }
  }
  const axis = [0, 1, 2].reduce((a, b) => (Math.abs(area[b]!) > Math.abs(area[a]!) ? b : a));
  const up = area[axis]! >= 0;
  const [u, v] = up ? [(axis + 1) % 3, (axis + 2) % 3] : [(axis + 2) % 3, (axis + 1) % 3];
  for (let k = 0; k < n; k++) {
    work.flat[2 * k] = place[3 * face[k]! + u]! - place[first + u]!;
    work.flat[2 * k + 1] = place[3 * face[k]! + v]! - place[first + v]!;
  }
}

/** The position in `left` of the ear whose triangle is fattest, -1 for none. */
function findEar(left: Int32Array, flat: Float64Array, many: number): number {
  let best = -1;
  let fattest = 0;
  for (let k = 0; k < many; k++) {
    const a = left[(k + many - 1) % many]!;
    const b = left[k]!;
    const c = left[(k + 1) % many]!;
    const area = turn(flat, a, b, c);
    if (!(area > 0)) continue;
    const fat = area / (span(flat, a, b) + span(flat, b, c) + span(flat, c, a));
    if (!(fat > fattest)) continue;
    let empty = true;
    for (let j = 0; j < many && empty; j++) {
      const p = left[j]!;
      if (p === a || p === b || p === c || same(flat, p, a) || same(flat, p, b) || same(flat, p, c)) continue;
      empty = !(turn(flat, a, b, p) >= 0 && turn(flat, b, c, p) >= 0 && turn(flat, c, a, p) >= 0);
    }
    if (!empty) continue;
    fattest = fat;
    best = k;
  }
  return best;
}

/** Twice the area of a, b, c, positive where they run anticlockwise. */
function turn(flat: Float64Array, a: number, b: number, c: number): number {
  return (
    (flat[2 * b]! - flat[2 * a]!) * (flat[2 * c + 1]! - flat[2 * a + 1]!) -
    (flat[2 * b + 1]! - flat[2 * a + 1]!) * (flat[2 * c]! - flat[2 * a]!)
  );
}

/** Squared length from a to b. */
function span(flat: Float64Array, a: number, b: number): number {
  return (flat[2 * b]! - flat[2 * a]!) ** 2 + (flat[2 * b + 1]! - flat[2 * a + 1]!) ** 2;
}

function same(flat: Float64Array, a: number, b: number): boolean {
  return flat[2 * a] === flat[2 * b] && flat[2 * a + 1] === flat[2 * b + 1];
}
