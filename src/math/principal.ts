/** Principal values and axes of a symmetric 3 x 3: Jacobi's rotations until nothing is left beside the diagonal. */

const mostSweeps = 30;

/**
 * @param a [3, 3] symmetric; only its upper part is read
 * @param values [3] written, the largest first
 * @param axes [3, 3] written: row k is the unit axis of value k; the three are a right-handed set
 */
export function principalAxes(a: ArrayLike<number>, values: Float64Array, axes: Float64Array): void {
  const m = [0, 1, 2].map((r) => [0, 1, 2].map((c) => a[r <= c ? 3 * r + c : 3 * c + r] as number)) as Matrix;
  const v: Matrix = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ];
  for (let sweep = 0; sweep < mostSweeps; sweep++) {
    const rest = m[0][1] ** 2 + m[0][2] ** 2 + m[1][2] ** 2;
    if (rest === 0 || !(rest > 1e-34 * (m[0][0] ** 2 + m[1][1] ** 2 + m[2][2] ** 2))) break;
    for (const [p, q] of pairs) turn(m, v, p, q);
  }
  const order = ([0, 1, 2] as const).slice().sort((i, j) => m[j][j] - m[i][i]);
  order.forEach((from, k) => {
    values[k] = m[from][from];
    for (let r = 0; r < 3; r++) axes[3 * k + r] = (v[r as 0 | 1 | 2] as Row)[from];
  });
  if (handedness(axes) < 0) for (let r = 6; r < 9; r++) axes[r] = -(axes[r] as number);
}

type Row = [number, number, number];
type Matrix = [Row, Row, Row];

const pairs = [
  [0, 1],
  [0, 2],
  [1, 2],
] as const;

/** Turns the plane of p and q so that m[p][q] becomes 0 (Golub & Van Loan, symmetric Schur step). */
function turn(m: Matrix, v: Matrix, p: 0 | 1, q: 1 | 2): void {
  const off = m[p][q];
  if (off === 0) return;
  const tau = (m[q][q] - m[p][p]) / (2 * off);
  const t = (tau >= 0 ? 1 : -1) / (Math.abs(tau) + Math.sqrt(1 + tau * tau));
  const c = 1 / Math.sqrt(1 + t * t);
  const s = t * c;
  for (let k = 0; k < 3; k++) {
    const row = m[k as 0 | 1 | 2];
    const [x, y] = [row[p], row[q]];
    row[p] = c * x - s * y;
    row[q] = s * x + c * y;
    const axis = v[k as 0 | 1 | 2];
    const [g, h] = [axis[p], axis[q]];
    axis[p] = c * g - s * h;
    axis[q] = s * g + c * h;
  }
  const [above, below] = [m[p], m[q]];
  for (let k = 0; k < 3; k++) {
    const [x, y] = [above[k as 0 | 1 | 2], below[k as 0 | 1 | 2]];
    above[k as 0 | 1 | 2] = c * x - s * y;
    below[k as 0 | 1 | 2] = s * x + c * y;
  }
}

function handedness(axes: Float64Array): number {
  const [a, b, c, d, e, f, g, h, i] = axes as unknown as [number, number, number, number, number, number, number, number, number];
  return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
}
